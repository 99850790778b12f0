"""Bodies of the spaces of a model, as far as they are worked from their parameters."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import ifcopenshell

from modelcheck.model.element import Triangle
from modelcheck.read.conduits import triangles_of
from modelcheck.read.curves import DAMAGED, Scales, UnreadableError
from modelcheck.read.placements import Placements
from modelcheck.read.property_values import Entity
from modelcheck.read.solids import carried, faces_of, solids_of
from modelcheck.read.spatial import text_of

_NO_ROOMS = ("GFA", "EXTERNAL")  # gross floor area lies over every room


@dataclass(frozen=True, slots=True)
class SpaceBody:
    """One space and the triangles that close it, in project coordinates."""

    space: Entity
    triangles: tuple[Triangle, ...]


def space_bodies(
    file: ifcopenshell.file, placements: Placements, scales: Scales
) -> Iterator[SpaceBody]:
    """Spaces of one file whose body can be worked; the others can't say what they hold."""
    for space in file.by_type("IfcSpace"):
        if (getattr(space, "PredefinedType", None) or "") in _NO_ROOMS:
            continue
        try:
            triangles = _triangles(space, placements, scales)
        except (UnreadableError, *DAMAGED):
            continue
        if triangles:
            yield SpaceBody(space, triangles)


def space_name(space: Entity) -> str:
    """Number and name of a space, as on its door."""
    names = (text_of(each) for each in (space.Name, space.LongName))
    return " ".join(dict.fromkeys(name for name in names if name))


def _triangles(space: Entity, placements: Placements, scales: Scales) -> tuple[Triangle, ...]:
    if space.Representation is None:
        return ()
    matrix = placements.of(space.ObjectPlacement)
    return tuple(
        triangle
        for representation in space.Representation.Representations
        if (representation.RepresentationIdentifier or "").lower() == "body"
        for item in representation.Items
        for solid in solids_of(item, scales)
        for triangle in triangles_of(faces_of(carried(solid, matrix)))
    )
