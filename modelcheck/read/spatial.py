"""The spatial structure of a model: what holds an element, and how high the storeys stand."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from math import isfinite

import ifcopenshell
import numpy as np

from modelcheck.geometry.frames import Array, moved
from modelcheck.model.element import Point
from modelcheck.read.curves import DAMAGED, Scales, UnreadableError
from modelcheck.read.placements import Placements
from modelcheck.read.property_values import Entity

_DEEPEST = 32
_LEVEL_M = 1e-3  # a lift this small is none


def text_of(value: object) -> str:
    """Text of an attribute; empty where none, or something else, stands there."""
    return value.strip() if isinstance(value, str) else ""


def holders_of(element: Entity) -> list[Entity]:
    """Spatial elements that hold `element`, or the nearest whole of it that is held."""
    for each in (element, *_wholes(element)):
        relations = getattr(each, "ContainedInStructure", None) or ()
        holders = [relation.RelatingStructure for relation in relations]
        if held := [holder for holder in holders if holder is not None]:
            return held
        if each.is_a("IfcSpatialStructureElement"):
            return [each]
    return []


def spaces_up_to_storey(holder: Entity) -> list[Entity]:
    """Spaces from `holder` upwards, and the first storey."""
    found: list[Entity] = []
    for each in (holder, *_wholes(holder)):
        if each.is_a("IfcBuildingStorey"):
            return [*found, each]
        if each.is_a("IfcSpace"):
            found.append(each)
    return found


def _wholes(part: Entity) -> Iterator[Entity]:
    """What `part` belongs to, and what that belongs to; a circle ends."""
    for _ in range(_DEEPEST):
        links = (getattr(part, name, None) or () for name in ("Decomposes", "Nests"))
        wholes = (relation.RelatingObject for relations in links for relation in relations)
        whole = next((each for each in wholes if each is not None), None)
        if whole is None:
            return
        yield whole
        part = whole


class Storeys:
    """Levels of the storeys of one file.

    Some exporters leave the placements of all storeys at zero and say their height as elevation
    only. Then the elevations stand in, if they tell several storeys apart: with a lone storey
    either number may be the wrong one.
    """

    def __init__(self, file: ifcopenshell.file, scales: Scales, placements: Placements) -> None:
        self._file = file
        self._scales = scales
        self._placements = placements
        self._known: dict[int, tuple[float | None, Array | None, float]] = {}

    def levels(self, storey: Entity, at: Point) -> tuple[float | None, float | None]:
        """Elevation of `storey` above the zero of its building, and height of `at` above it. [m]

        None where it can't be told.
        """
        step_id = storey.id()
        if step_id not in self._known:
            self._known[step_id] = self._level(storey)
        elevation_m, up, floor_m = self._known[step_id]
        if up is None:
            return elevation_m, None
        return elevation_m, float(up @ np.array((*at, 1.0))) - floor_m

    def _level(self, storey: Entity) -> tuple[float | None, Array | None, float]:
        """Elevation, row of the matrix that gives the height of a place, and what is 0 in it."""
        elevation_m = self._elevation_m(storey)
        try:
            lift_m, placed = self._lift_m(storey), self._are_placed
            up = _inverse(self._placements.of(storey.ObjectPlacement))[2]
        except (UnreadableError, *DAMAGED):
            return elevation_m, None, 0.0
        if elevation_m is None:
            return lift_m, up, 0.0
        if placed:
            return elevation_m, up, 0.0
        return elevation_m, up if len(self._storeys) > 1 else None, elevation_m

    @cached_property
    def _storeys(self) -> list[Entity]:
        return list(self._file.by_type("IfcBuildingStorey"))

    @cached_property
    def _are_placed(self) -> bool:
        """Whether the placements say how high the storeys stand."""
        if any(abs(self._lift_m(storey)) > _LEVEL_M for storey in self._storeys):
            return True
        return all(abs(self._elevation_m(each) or 0.0) <= _LEVEL_M for each in self._storeys)

    def _elevation_m(self, storey: Entity) -> float | None:
        given = storey.Elevation
        is_number = isinstance(given, int | float) and isfinite(given)
        return float(given) * self._scales.length_m if is_number else None

    def _lift_m(self, storey: Entity) -> float:
        """How far the placement of `storey` lifts it above what it belongs to."""
        whole = next(_wholes(storey), None)
        base = self._placements.of(getattr(whole, "ObjectPlacement", None))
        own = self._placements.of(storey.ObjectPlacement)
        return float(moved(_inverse(base), own[:3, 3])[2])


def _inverse(matrix: Array) -> Array:
    return np.asarray(np.linalg.inv(matrix), dtype=float)
