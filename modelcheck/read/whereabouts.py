"""Where the models say that an element is: storey, space, grid lines, and of what trade.

Only the elements that are asked for are looked at, by the relations that lead from them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import ifcopenshell.util.element
import numpy as np

from modelcheck.geometry.neighbours import bodies_at
from modelcheck.model.element import ElementRef, Point
from modelcheck.model.whereabouts import Whereabouts
from modelcheck.read.curves import DAMAGED, Scales
from modelcheck.read.grids import Grid, grids_of, nearest_lines
from modelcheck.read.ifc_file import ModelFile
from modelcheck.read.placements import Placements
from modelcheck.read.property_values import Entity
from modelcheck.read.spaces import SpaceBody, space_bodies, space_name
from modelcheck.read.spatial import Storeys, holders_of, spaces_up_to_storey, text_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """An element, the place that is told of it, and its system if that is known already."""

    ref: ElementRef
    at: Point  # project coordinates [m]
    system: str = ""


def whereabouts_of(
    files: Sequence[ModelFile], subjects: Sequence[Subject]
) -> tuple[Whereabouts, ...]:
    """Whereabouts of each subject, in their order; what no model tells stays empty.

    Grids and bodies of spaces tell of the elements of every file: the files are one project.

    Parameters
    ----------
    files : sequence of ModelFile
        Of one project.
    subjects : sequence of Subject
        Of these files.
    """
    if not subjects:
        return ()
    by_model = {file.model: _File(file) for file in files}
    told = [by_model[each.ref.model].whereabouts(each) for each in subjects]
    return _with_grids([*by_model.values()], subjects, _with_spaces(by_model, subjects, told))


class _File:
    """One file and what was worked of it."""

    def __init__(self, file: ModelFile) -> None:
        self.model = file.model
        self._handle = file.handle
        self._scales = Scales.of(file.handle)
        self._placements = Placements(self._scales, file.copies)
        self._storeys = Storeys(file.handle, self._scales, self._placements)
        self._homes: dict[int, list[Entity]] = {}  # by holder
        self._known: dict[int, tuple[str, str, tuple[Entity, ...]]] = {}  # by element

    @cached_property
    def grids(self) -> tuple[Grid, ...]:
        """Every grid."""
        return tuple(grids_of(self._handle, self.model, self._placements, self._scales))

    @cached_property
    def space_bodies(self) -> tuple[SpaceBody, ...]:
        """Every space that can say what it holds."""
        return tuple(space_bodies(self._handle, self._placements, self._scales))

    def whereabouts(self, subject: Subject) -> Whereabouts:
        """What the relations of one element say."""
        step_id = subject.ref.step_id
        if step_id not in self._known:
            self._known[step_id] = self._relations_of(self._handle.by_id(step_id))
        space, trade, homes = self._known[step_id]
        where = Whereabouts(system=subject.system, space=space, trade=trade)
        return self.on_storey(where, homes, subject.at)

    def on_storey(self, where: Whereabouts, homes: Sequence[Entity], at: Point) -> Whereabouts:
        """`where` with the storey that is among `homes` and the height of `at` above it.

        An element that stands in several storeys has no height above one.
        """
        storeys = {each.id(): each for each in homes if each.is_a("IfcBuildingStorey")}
        names = {name for storey in storeys.values() if (name := _name(storey))}
        elevation_m, height_m = None, None
        if len(storeys) == 1:
            (storey,) = storeys.values()
            elevation_m, height_m = self._storeys.levels(storey, at)
        return replace(
            where,
            storey=";".join(sorted(names)),
            storey_elevation_m=elevation_m,
            height_m=height_m,
        )

    def _relations_of(self, element: Entity) -> tuple[str, str, tuple[Entity, ...]]:
        """Space, trade, and the spaces and storeys that hold `element`; nothing if damaged."""
        try:
            homes = self._homes_of(element)
            spaces = dict.fromkeys(space_name(each) for each in homes if each.is_a("IfcSpace"))
            return ";".join(name for name in spaces if name), _trade(element), homes
        except DAMAGED:
            return "", "", ()

    def _homes_of(self, element: Entity) -> tuple[Entity, ...]:
        """Spaces and storeys that hold `element`, or the assembly that it is part of."""
        found = [each for holder in holders_of(element) for each in self._upwards(holder)]
        if not any(each.is_a("IfcBuildingStorey") for each in found):
            for relation in getattr(element, "ReferencedInStructures", None) or ():
                found += self._upwards(relation.RelatingStructure)
        return tuple(found)

    def _upwards(self, holder: Entity) -> list[Entity]:
        step_id = holder.id()
        if step_id not in self._homes:
            self._homes[step_id] = spaces_up_to_storey(holder)
        return self._homes[step_id]


def _with_spaces(
    files: dict[str, _File], subjects: Sequence[Subject], told: Sequence[Whereabouts]
) -> list[Whereabouts]:
    """`told` with the spaces whose bodies hold the places, where no relation names one."""
    asked = [number for number, where in enumerate(told) if not where.space]
    searched = files.values() if asked else ()
    bodies = [(file, body) for file in searched for body in file.space_bodies]
    found: dict[int, list[tuple[_File, Entity]]] = defaultdict(list)
    points = [subjects[number].at for number in asked]
    for place, number, _ in bodies_at(points, [body.triangles for _, body in bodies], 0.0):
        file, body = bodies[number]
        found[asked[place]].append((file, body.space))
    with_spaces = [*told]
    for number, held in found.items():
        names = sorted({name for _, space in held if (name := space_name(space))})
        where = replace(told[number], space=";".join(names))
        if not where.storey and len(held) == 1:
            file, space = held[0]
            where = file.on_storey(where, spaces_up_to_storey(space), subjects[number].at)
        with_spaces[number] = where
    return with_spaces


def _with_grids(
    files: Sequence[_File], subjects: Sequence[Subject], told: Sequence[Whereabouts]
) -> tuple[Whereabouts, ...]:
    grids = [grid for file in files for grid in file.grids]
    if not grids:
        return tuple(told)
    with_grids = [*told]
    for file in files:
        own = [number for number, each in enumerate(subjects) if each.ref.model == file.model]
        points = np.array([subjects[number].at for number in own]).reshape(-1, 3)
        for number, name in zip(own, nearest_lines(grids, points, file.model), strict=True):
            with_grids[number] = replace(with_grids[number], grid=name)
    return tuple(with_grids)


def _name(storey: Entity) -> str:
    return text_of(storey.Name) or text_of(storey.LongName)


def _trade(element: Entity) -> str:
    """Kind of the system that the element is in, else its classification; as the model has it."""
    groups = [
        relation.RelatingGroup
        for relation in getattr(element, "HasAssignments", None) or ()
        if relation.is_a("IfcRelAssignsToGroup") and relation.RelatingGroup is not None
    ]
    kinds = {kind for group in groups if (kind := _system_kind(group))}
    return ";".join(sorted(kinds)) or _classification(element)


def _system_kind(group: Entity) -> str:
    if group.is_a("IfcElectricalCircuit"):
        return "electrical"
    if not group.is_a("IfcDistributionSystem"):
        return ""
    kind = group.PredefinedType or ""
    if kind == "USERDEFINED":
        return text_of(group.ObjectType)
    return "" if kind == "NOTDEFINED" else kind.lower()


def _classification(element: Entity) -> str:
    """First classification of the element, else of its type: code and name."""
    of_type = ifcopenshell.util.element.get_type(element)
    relations = (
        relation
        for each in (element, of_type)
        for relation in getattr(each, "HasAssociations", None) or ()
        if relation.is_a("IfcRelAssociatesClassification")
    )
    texts = (_reference_text(relation.RelatingClassification) for relation in relations)
    return next((text for text in texts if text), "")


def _reference_text(reference: Entity | None) -> str:
    if reference is None or not reference.is_a("IfcClassificationReference"):
        return ""
    codes = (getattr(reference, name, None) for name in ("Identification", "ItemReference"))
    names = [text_of(each) for each in (*codes, reference.Name)]
    return " ".join(dict.fromkeys(name for name in names if name))
