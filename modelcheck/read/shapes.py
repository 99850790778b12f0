"""What elements are drawn with: bodies, axis, bounding box, and where they stand."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import cached_property
from time import monotonic

import ifcopenshell
import ifcopenshell.util.placement
import numpy as np

from modelcheck.geometry.frames import Array, moved_piece
from modelcheck.geometry.path import Piece
from modelcheck.read.attributes import attribute
from modelcheck.read.blocks import Block, corners_around, placed_block
from modelcheck.read.content import content_of
from modelcheck.read.copies import Copies
from modelcheck.read.curves import (
    DAMAGED,
    FARTHEST_M,
    LONGEST_M,
    UNSOUND_RAISES,
    Scales,
    UnreadableError,
    UnsoundError,
    path_of,
)
from modelcheck.read.engine import LIMIT_S, Engine
from modelcheck.read.placements import Placements
from modelcheck.read.property_values import Entity
from modelcheck.read.rods import EXTRUDED, rods_of
from modelcheck.read.solids import Faced, Solid, carried, solids_of

_BODY = ("body", "body-fallback", "facetation")
_NO_BODY = ("axis", "box", "footprint", "annotation", "profile", "clearance", "lighting", "cog")
_DEEPEST = 32
_MOST_FORMS = 4096  # kept at a time

_Part = tuple[str, Entity]  # role of a representation, and the representation
_Form = tuple[tuple[str, tuple[object, ...]], ...]  # role and content of each representation


@dataclass(frozen=True, eq=False)
class Drawing:
    """Everything that elements of one form are drawn with, in their own frame."""

    solids: tuple[Solid, ...] = ()
    axis: tuple[Piece, ...] = ()
    bounds: tuple[Faced, ...] = ()  # bounding box
    troubles: tuple[str, ...] = ()  # why something could not be read

    @cached_property
    def corners(self) -> Array | None:
        """Corners around its bodies, see `corners_around`."""
        return corners_around(self.solids or self.bounds)


@dataclass(frozen=True, slots=True)
class Drawn:
    """What an element is drawn with, and where it stands."""

    matrix: Array  # shape (4, 4), its placement
    own: Drawing  # the same for all that are drawn alike


class Shapes:
    """Reads the representations of one file; what is drawn alike is worked once."""

    def __init__(self, scales: Scales, engine: Engine, copies: Copies) -> None:
        self.scales = scales
        self.placements = Placements(scales, copies)
        self._copies = copies
        self._mapped: dict[int, tuple[Solid, ...]] = {}
        self._forms: dict[_Form, Drawing] = {}
        self._parts: dict[int, list[_Part]] = {}  # of those that were prepared
        self._rods: dict[int, Drawing] = {}  # likewise
        self._engine = engine
        self._until = 0.0  # when the bodies of one element have taken too long

    def prepare(self, elements: Iterable[Entity]) -> None:
        """Work together what can be of elements that will be asked for next."""
        placements, bodies = [], {}
        self._parts.clear()
        for element in elements:
            with suppress(*DAMAGED):  # asked for by itself, it tells what is wrong
                placements.append(attribute(element, "ObjectPlacement"))
                parts = self._parts[element.id()] = _parts(element)
                if item := _only_item(parts):
                    bodies[element.id()] = self._copies.of(item)
        self.placements.prepare(placements)
        rods = rods_of(list(bodies.values()), self.scales.length_m)
        self._rods = {
            step_id: Drawing((rod,)) for step_id, rod in zip(bodies, rods, strict=True) if rod
        }

    @UNSOUND_RAISES
    def of(self, element: Entity) -> Drawn:
        """Shape of `element`; what can't be read is told in `troubles`."""
        try:
            matrix = self.placements.of(attribute(element, "ObjectPlacement"))
        except UnreadableError as trouble:
            return Drawn(np.eye(4), Drawing(troubles=(str(trouble),)))
        except DAMAGED:
            return Drawn(np.eye(4), Drawing(troubles=("its placement is damaged",)))
        step_id = element.id()
        if rod := self._rods.get(step_id):
            return Drawn(matrix, rod)
        parts = self._parts[step_id] if step_id in self._parts else _parts(element)
        form = self._form_of(parts)
        drawing = self._forms.get(form) if form else None
        if drawing is None:
            drawing = self._drawing(parts)
            if len(self._forms) >= _MOST_FORMS:
                self._forms.clear()
            if form:
                self._forms[form] = drawing
        return Drawn(matrix, drawing)

    def _form_of(self, parts: Sequence[_Part]) -> _Form | None:
        """What elements that are drawn alike have in common; None where it can't be told."""
        try:
            return tuple(
                [
                    (role, tuple([self._content_of(item) for item in attribute(each, "Items")]))
                    for role, each in parts
                ]
            )
        except DAMAGED:
            return None

    def _content_of(self, item: Entity) -> object:
        if item.is_a() == "IfcMappedItem":
            target = self._copies.of(attribute(item, "MappingTarget"))
            return attribute(item, "MappingSource").id(), content_of(target)
        return content_of(self._copies.of(item))

    def block_of(self, element: Entity) -> Block | None:
        """Block around the body of `element` where it stands; None without a readable body."""
        try:
            drawn = self.of(element)
            corners = drawn.own.corners
            return None if corners is None else placed_block(corners, drawn.matrix)
        except DAMAGED:
            return None

    def _drawing(self, parts: Sequence[_Part]) -> Drawing:
        self._until = monotonic() + LIMIT_S
        solids: list[Solid] = []
        axis: tuple[Piece, ...] = ()
        bounds: list[Faced] = []
        troubles: list[str] = []
        for role, representation in parts:
            try:
                if role == "axis" and not axis:
                    axis = self._axis_of(representation)
                elif role == "box":
                    found = self._solids_in(representation.Items, 0)
                    bounds += [each for each in found if isinstance(each, Faced)]
                elif role == "body" and not solids:
                    solids = self._solids_in(representation.Items, 0)
            except UnreadableError as trouble:
                troubles.append(f"its {role} is drawn with {trouble}")
            except DAMAGED:
                troubles.append(f"its {role} is damaged")
        return Drawing(tuple(solids), axis, tuple(bounds), tuple(troubles))

    def _solids_in(self, items: Iterable[Entity], depth: int) -> list[Solid]:
        if depth > _DEEPEST:
            raise UnreadableError("maps that hold themselves")
        found: list[Solid] = []
        for item in items:
            if item.is_a("IfcMappedItem"):
                matrix = self._mapping(item)
                found += [carried(each, matrix) for each in self._of_map(item, depth)]
            elif not item.is_a("IfcStyledItem"):
                found += self._of_item(item)
        return found

    def _of_map(self, item: Entity, depth: int) -> tuple[Solid, ...]:
        source = item.MappingSource
        if source.id() not in self._mapped:
            items = source.MappedRepresentation.Items
            self._mapped[source.id()] = tuple(self._solids_in(items, depth + 1))
        return self._mapped[source.id()]

    def _mapping(self, item: Entity) -> Array:
        try:
            found = ifcopenshell.util.placement.get_mappeditem_transformation(item)
        except AssertionError:  # the origin is no placement
            raise UnsoundError("a map that stands nowhere") from None
        matrix = np.array(found).astype(float)
        matrix[:3, 3] *= self.scales.length_m
        return matrix

    def _of_item(self, item: Entity) -> list[Solid]:
        try:
            return _of_reason(solids_of(self._copies.of(item), self.scales), item)
        except UnsoundError:
            raise
        except UnreadableError:
            return self._tessellated(item)
        except DAMAGED:
            raise UnreadableError(f"a damaged {item.is_a()}") from None

    def _tessellated(self, item: Entity) -> list[Solid]:
        """Faces of a body that isn't worked from its parameters, by the geometry library."""
        if not item.is_a("IfcGeometricRepresentationItem"):
            raise UnreadableError(f"an {item.is_a()}")
        mesh = self._engine.mesh(item, self.scales, limit_s=self._until - monotonic())
        return _of_reason([Faced(tuple([triangle] for triangle in mesh))], item)

    def _axis_of(self, representation: Entity) -> tuple[Piece, ...]:
        found: list[Piece] = []
        for item in representation.Items:
            if item.is_a("IfcMappedItem"):
                inner = self._axis_of(item.MappingSource.MappedRepresentation)
                matrix = self._mapping(item)
                found += [moved_piece(matrix, piece) for piece in inner]
            elif item.is_a("IfcCurve"):
                found += path_of(self._copies.of(item), self.scales)
        return tuple(found)


def _of_reason(solids: list[Solid], item: Entity) -> list[Solid]:
    """`solids`, if no number of theirs is one that no building has: then it was damaged."""
    for solid in solids:
        points = _corners_of(solid)
        if float(np.abs(points).max()) < LONGEST_M / 2.0:  # as most are
            continue
        is_near = bool((np.abs(points) < FARTHEST_M).all())
        if not is_near or float(np.ptp(points, axis=0).max()) > LONGEST_M:
            raise UnsoundError(f"an {item.is_a()} that is beyond any building")
    return solids


def _corners_of(solid: Solid) -> Array:
    """Corners of its faces, or the ends of its path with its radius about them, shape (n, 3)."""
    if isinstance(solid, Faced):
        return np.vstack([loop for face in solid.faces for loop in face] or [np.zeros(3)])
    ends = np.array([each for piece in solid.path for each in (piece.start, piece.end)])
    return np.vstack([ends, ends + solid.radius_m])


def _parts(element: Entity) -> list[_Part]:
    """Representations of `element` that are used, with their roles."""
    shape = attribute(element, "Representation")
    found = () if shape is None else attribute(shape, "Representations") or ()
    return [(role, each) for each in found if (role := _role(each))]


def _only_item(parts: Sequence[_Part]) -> Entity | None:
    """The one extrusion that an element is drawn with; None where there is more, or other."""
    if len(parts) != 1 or parts[0][0] != "body":
        return None
    items = attribute(parts[0][1], "Items")
    return items[0] if len(items) == 1 and items[0].is_a() == EXTRUDED else None


def _role(representation: Entity) -> str:
    """axis, box, body, or empty for what isn't used."""
    name = (attribute(representation, "RepresentationIdentifier") or "").lower()
    kind = (attribute(representation, "RepresentationType") or "").lower()
    if name in ("axis", "box"):
        return name
    if kind == "boundingbox":
        return "box"
    if name in _BODY:
        return "body"
    if name in _NO_BODY or "curve" in kind or "annotation" in kind or kind == "geometricset":
        return ""
    return "body"
