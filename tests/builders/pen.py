"""Writes numbers and the commonest entities into a file in the file's own units."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import ifcopenshell
import numpy as np

from tests.builders.guids import guid_of
from tests.builders.space import AXES, IDENTITY, Frame, Point, tup

Entity = ifcopenshell.entity_instance


@dataclass(frozen=True, slots=True)
class Pen:
    """Writes numbers into a file in its own units."""

    file: ifcopenshell.file
    metres: float  # in one length unit
    degrees: float  # in one unit of plane angle
    base: Frame = IDENTITY  # frame that the drawing stands in
    history: Entity | None = None
    contexts: dict[str, Entity] = field(default_factory=dict)  # of representations, by name
    maps: dict[tuple[object, ...], Entity] = field(default_factory=dict)  # bodies drawn once
    scope: str = ""  # goes before the ids of what is no part of the plant

    def length(self, value_m: float) -> float:
        """Give a length in the file's unit."""
        return round(value_m / self.metres, 9) + 0.0

    def angle(self, value_deg: float) -> float:
        """Give an angle in the file's unit."""
        return round(value_deg / self.degrees, 12)

    def make(self, ifc_class: str, *args: object, **kwargs: object) -> Entity:
        """Add an entity."""
        return self.file.create_entity(ifc_class, *args, **kwargs)

    def root(self, ifc_class: str, own_id: str, **values: object) -> Entity:
        """Add a rooted entity that is no part of the plant; its GlobalId follows from its id."""
        return self.make(ifc_class, guid_of(self.scope + own_id), self.history, **values)

    def point(self, point: Sequence[float]) -> Entity:
        """Add a cartesian point as it is."""
        return self.make("IfcCartesianPoint", [self.length(value) for value in point])

    def row(self, point: Point) -> list[float]:
        """Give the coordinates of a point of the drawing."""
        return [self.length(value) for value in self.base.point(point)]

    def corner(self, point: Point) -> Entity:
        """Add a point of the drawing."""
        return self.make("IfcCartesianPoint", self.row(point))

    def direction(self, vector: Sequence[float]) -> Entity:
        """Add a direction."""
        return self.make("IfcDirection", [round(float(value), 12) + 0.0 for value in vector])

    def axes(self, origin: Point, z: Point = AXES["z"], x: Point | None = None) -> Entity:
        """Add an axis placement."""
        frame = Frame.at(origin, z, x)
        return self.frame(frame)

    def frame(self, frame: Frame) -> Entity:
        """Add the axis placement of a frame."""
        frame = self.base @ frame
        z, x = (tup(frame.matrix[:3, column]) for column in (2, 0))
        origin = self.point(tup(frame.matrix[:3, 3]))
        return self.make("IfcAxis2Placement3D", origin, self.direction(z), self.direction(x))

    def flat(self, origin: tuple[float, float] = (0.0, 0.0)) -> Entity:
        """Add a placement in the plane."""
        return self.make("IfcAxis2Placement2D", self.point(origin), self.direction((1.0, 0.0)))

    def circle(self, radius_m: float, bore_m: float | None = None, *, name: str = "") -> Entity:
        """Add a round profile, hollow if it has a bore radius."""
        first = ("AREA", name or None, self.flat(), self.length(radius_m))
        if bore_m is None:
            return self.make("IfcCircleProfileDef", *first)
        return self.make("IfcCircleHollowProfileDef", *first, self.length(radius_m - bore_m))

    def ring(self, radius_m: float, *, at: tuple[float, float] = (0.0, 0.0)) -> Entity:
        """Add a circle in the plane as a curve."""
        return self.make("IfcCircle", self.flat(at), self.length(radius_m))

    def rectangle(self, width_m: float, depth_m: float) -> Entity:
        """Add a rectangular profile."""
        return self.make(
            "IfcRectangleProfileDef",
            "AREA",
            None,
            self.flat(),
            self.length(width_m),
            self.length(depth_m),
        )

    def extrusion(self, profile: Entity, position: Entity, depth_m: float) -> Entity:
        """Add a profile drawn out along the z of its position."""
        return self.make(
            "IfcExtrudedAreaSolid",
            profile,
            position,
            self.direction(AXES["z"]),
            self.length(depth_m),
        )

    def block(self, low: Point, high: Point) -> Entity:
        """Add a box between two corners."""
        size = np.subtract(high, low)
        foot = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2, low[2])
        return self.extrusion(
            self.rectangle(float(size[0]), float(size[1])), self.axes(foot), float(size[2])
        )
