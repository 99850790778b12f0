"""Where the models say that an element is: storey, space and grid lines; and of what trade.

Only the elements that are asked for are looked at, by the relations that lead from them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

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
from modelcheck.read.trades import Trades


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
    own = [by_model[each.ref.model] for each in subjects]
    facts = [file.facts_of(each.ref.step_id) for file, each in zip(own, subjects, strict=True)]
    at_home = [(file, home) for file, (home, _) in zip(own, facts, strict=True)]
    homes = _with_spaces([*by_model.values()], subjects, at_home)
    grids = _grid_names([*by_model.values()], subjects)
    told = []
    for each, (file, home), (_, trade), grid in zip(subjects, homes, facts, grids, strict=True):
        elevation_m, height_m = file.levels(home, each.at)
        told.append(
            Whereabouts(
                storey=home.storey,
                storey_elevation_m=elevation_m,
                height_m=height_m,
                space=home.space,
                grid=grid,
                system=each.system,
                trade=trade,
            )
        )
    return tuple(told)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Home:
    """What holds an element: names of spaces and storeys, and the storey if it is just one."""

    space: str = ""
    storey: str = ""
    lone: Entity | None = None

    @classmethod
    def of(cls, holders: Sequence[Entity]) -> _Home:
        """Home that some spaces and storeys are."""
        spaces = dict.fromkeys(space_name(each) for each in holders if each.is_a("IfcSpace"))
        storeys = {each.id(): each for each in holders if each.is_a("IfcBuildingStorey")}
        names = {name for storey in storeys.values() if (name := _name(storey))}
        return cls(
            space=";".join(name for name in spaces if name),
            storey=";".join(sorted(names)),
            lone=next(iter(storeys.values())) if len(storeys) == 1 else None,
        )


_Facts = tuple[_Home, str]  # home and trade


class _File:
    """One file and what was worked of it."""

    def __init__(self, file: ModelFile) -> None:
        self.model = file.model
        self._handle = file.handle
        self._scales = Scales.of(file.handle)
        self._placements = Placements(self._scales, file.copies)
        self._storeys = Storeys(file.handle, self._scales, self._placements)
        self._upwards: dict[int, list[Entity]] = {}  # by holder
        self._homes: dict[tuple[int, ...], _Home] = {}  # by holders
        self._facts: dict[int, _Facts] = {}  # by element
        self._trades = Trades(file.handle)

    @cached_property
    def grids(self) -> tuple[Grid, ...]:
        """Every grid."""
        return tuple(grids_of(self._handle, self.model, self._placements, self._scales))

    @cached_property
    def space_bodies(self) -> tuple[SpaceBody, ...]:
        """Every space that can say what it holds."""
        return tuple(space_bodies(self._handle, self._placements, self._scales))

    def facts_of(self, step_id: int) -> _Facts:
        """What the relations of one element say; nothing if they are damaged."""
        if step_id not in self._facts:
            element = self._handle.by_id(step_id)
            try:
                self._facts[step_id] = self._home_of(element), self._trades.of(element)
            except DAMAGED:
                self._facts[step_id] = _Home(), ""
        return self._facts[step_id]

    def levels(self, home: _Home, at: Point) -> tuple[float | None, float | None]:
        """Elevation of the storey that holds an element, and height of `at` above it. [m]

        An element that stands in several storeys has no height above one.
        """
        return (None, None) if home.lone is None else self._storeys.levels(home.lone, at)

    def _home_of(self, element: Entity) -> _Home:
        """Spaces and storeys that hold `element`, or the assembly that it is part of."""
        holders = holders_of(element)
        if not any(self._has_storey(each) for each in holders):
            relations = getattr(element, "ReferencedInStructures", None) or ()
            holders += [relation.RelatingStructure for relation in relations]
        key = tuple(each.id() for each in holders)
        if key not in self._homes:
            self._homes[key] = _Home.of([up for each in holders for up in self._up_from(each)])
        return self._homes[key]

    def _has_storey(self, holder: Entity) -> bool:
        return any(each.is_a("IfcBuildingStorey") for each in self._up_from(holder))

    def _up_from(self, holder: Entity) -> list[Entity]:
        step_id = holder.id()
        if step_id not in self._upwards:
            self._upwards[step_id] = spaces_up_to_storey(holder)
        return self._upwards[step_id]


_AtHome = tuple[_File, _Home]  # of the file that the home is in


def _with_spaces(
    files: Sequence[_File], subjects: Sequence[Subject], homes: Sequence[_AtHome]
) -> list[_AtHome]:
    """`homes` with the spaces whose bodies hold the places, where no relation names one."""
    asked = [number for number, (_, home) in enumerate(homes) if not home.space]
    bodies = [(file, body) for file in files if asked for body in file.space_bodies]
    found: dict[int, list[int]] = defaultdict(list)
    points = [subjects[number].at for number in asked]
    for place, number, _ in bodies_at(points, [body.triangles for _, body in bodies], 0.0):
        found[asked[place]].append(number)
    held_by = sorted(set().union(*found.values()))
    names = {number: space_name(bodies[number][1].space) for number in held_by}
    with_spaces = [*homes]
    for number, held in found.items():
        file, home = homes[number]
        if not home.storey and len(held) == 1:
            file, body = bodies[held[0]]
            home = _Home.of(spaces_up_to_storey(body.space))
        space = ";".join(sorted({names[each] for each in held} - {""}))
        with_spaces[number] = file, _Home(space=space, storey=home.storey, lone=home.lone)
    return with_spaces


def _grid_names(files: Sequence[_File], subjects: Sequence[Subject]) -> list[str]:
    """Grid lines that each subject is nearest to."""
    names = [""] * len(subjects)
    grids = [grid for file in files for grid in file.grids]
    for file in files if grids else ():
        own = [number for number, each in enumerate(subjects) if each.ref.model == file.model]
        points = np.array([subjects[number].at for number in own]).reshape(-1, 3)
        for number, name in zip(own, nearest_lines(grids, points, file.model), strict=True):
            names[number] = name
    return names


def _name(storey: Entity) -> str:
    return text_of(storey.Name) or text_of(storey.LongName)
