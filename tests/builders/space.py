"""Points, frames and the few sums of solid geometry that the builders need."""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, degrees, tan

import numpy as np

Point = tuple[float, float, float]
ORIGIN: Point = (0.0, 0.0, 0.0)
AXES: dict[str, Point] = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}


def tup(values: np.ndarray) -> Point:
    """Plain floats of a vector."""
    x, y, z = (float(value) for value in values)
    return (x, y, z)


def unit(vector: np.ndarray) -> np.ndarray:
    """Vector of length 1."""
    return vector / np.linalg.norm(vector)


def square_to(vector: np.ndarray) -> np.ndarray:
    """Any unit vector square to `vector`, always the same one."""
    seed = np.eye(3)[int(np.argmin(np.abs(vector)))]
    return unit(seed - unit(vector) * float(seed @ unit(vector)))


def angle_between(first: np.ndarray, second: np.ndarray) -> float:
    """Angle between two directions. [deg]"""
    cosine = float(unit(first) @ unit(second))
    return degrees(acos(max(-1.0, min(1.0, cosine))))


@dataclass(frozen=True, slots=True)
class Frame:
    """A right-handed frame: where its origin lies and its three axes as columns."""

    matrix: np.ndarray  # shape (4, 4) [m]

    @classmethod
    def at(cls, origin: Point, z: Point = AXES["z"], x: Point | None = None) -> Frame:
        """Frame at `origin` with the given z, and x made square to it."""
        z_axis = unit(np.array(z, float))
        x_axis = square_to(z_axis) if x is None else np.array(x, float)
        x_axis = unit(x_axis - z_axis * float(x_axis @ z_axis))
        matrix = np.eye(4)
        matrix[:3, :3] = np.column_stack([x_axis, np.cross(z_axis, x_axis), z_axis])
        matrix[:3, 3] = origin
        return cls(matrix)

    @classmethod
    def turned(
        cls,
        origin: Point = (0.0, 0.0, 0.0),
        *,
        about: str = "zyx",
        degrees_: tuple[float, ...] = (0.0, 0.0, 0.0),
    ) -> Frame:
        """Frame at `origin`, turned about the axes named, in that order."""
        matrix = np.eye(4)
        for name, angle in zip(about, np.radians(degrees_), strict=True):
            i, j = {"x": (1, 2), "y": (2, 0), "z": (0, 1)}[name]
            turn = np.eye(4)
            turn[i, i] = turn[j, j] = np.cos(angle)
            turn[j, i], turn[i, j] = np.sin(angle), -np.sin(angle)
            matrix = matrix @ turn
        matrix[:3, 3] = origin
        return cls(matrix)

    @property
    def inverse(self) -> Frame:
        """Frame that undoes this one."""
        turn = self.matrix[:3, :3].T
        matrix = np.eye(4)
        matrix[:3, :3] = turn
        matrix[:3, 3] = -turn @ self.matrix[:3, 3]
        return Frame(matrix)

    def __matmul__(self, other: Frame) -> Frame:
        return Frame(self.matrix @ other.matrix)

    def point(self, point: Point) -> Point:
        """Give `point` of this frame in the frame around it."""
        return tup(self.matrix[:3, :3] @ np.array(point, float) + self.matrix[:3, 3])

    def vector(self, vector: Point) -> Point:
        """Give `vector` of this frame in the frame around it."""
        return tup(self.matrix[:3, :3] @ np.array(vector, float))


IDENTITY = Frame.turned()


@dataclass(frozen=True, slots=True)
class Line:
    """A straight part of a centre line."""

    start: Point
    end: Point

    @property
    def length_m(self) -> float:
        """Length. [m]"""
        return float(np.linalg.norm(np.subtract(self.end, self.start)))

    @property
    def directions(self) -> tuple[Point, Point]:
        """Unit directions of travel at the start and at the end."""
        along = tup(unit(np.subtract(self.end, self.start)))
        return along, along

    def point_at(self, share: float) -> Point:
        """Point at a share (0 to 1) of its length."""
        return tup(np.array(self.start) * (1 - share) + np.array(self.end) * share)


@dataclass(frozen=True, slots=True)
class Arc:
    """A round part of a centre line, given by its centre and the axis it turns about."""

    start: Point
    centre: Point
    axis: Point  # unit; the arc turns right-handed about it
    angle_deg: float

    @classmethod
    def in_corner(cls, before: Point, corner: Point, after: Point, radius_m: float) -> Arc:
        """Arc of `radius_m` that rounds a corner of a polyline."""
        into = unit(np.subtract(corner, before))
        out = unit(np.subtract(after, corner))
        angle = angle_between(into, out)
        start = np.array(corner) - into * radius_m * tan(np.radians(angle) / 2)
        axis = unit(np.cross(into, out))
        return cls(tup(start), tup(start + np.cross(axis, into) * radius_m), tup(axis), angle)

    @property
    def radius_m(self) -> float:
        """Radius of the centre line. [m]"""
        return float(np.linalg.norm(np.subtract(self.start, self.centre)))

    @property
    def length_m(self) -> float:
        """Length along the arc. [m]"""
        return self.radius_m * float(np.radians(self.angle_deg))

    def point_at(self, share: float) -> Point:
        """Point at a share (0 to 1) of its angle."""
        out = np.subtract(self.start, self.centre)
        angle = float(np.radians(self.angle_deg)) * share
        along = np.cross(self.axis, out)
        return tup(np.array(self.centre) + out * np.cos(angle) + along * np.sin(angle))

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self.point_at(1.0)

    @property
    def directions(self) -> tuple[Point, Point]:
        """Unit directions of travel at the start and at the end."""
        first = unit(np.cross(self.axis, np.subtract(self.start, self.centre)))
        last = unit(np.cross(self.axis, np.subtract(self.end, self.centre)))
        return tup(first), tup(last)


Leg = Line | Arc


def moved(leg: Leg, matrix: np.ndarray) -> Leg:
    """Give a leg in other coordinates; the matrix may scale and mirror."""

    def point(at: Point) -> Point:
        return tup(matrix[:3, :3] @ np.array(at) + matrix[:3, 3])

    if isinstance(leg, Line):
        return Line(point(leg.start), point(leg.end))
    sense = np.sign(np.linalg.det(matrix[:3, :3]))
    axis = tup(unit(sense * matrix[:3, :3] @ np.array(leg.axis)))
    return Arc(point(leg.start), point(leg.centre), axis, leg.angle_deg)
