"""The truth: boxes and routes as an engineer would describe them, in metres and degrees.

Nothing here comes from the program under test. Outside diameters: trade_sizes of EMT
(ANSI C80.3) and of PVC40 and RMC (from memory, ASTM D1785 and ANSI C80.1 outside diameters). Bend
radii: NEC 2023 chapter 9 table 2, one-shot and full-shoe benders.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.builders.space import AXES, Frame, Point, tup

METRIC = {
    "1/2": 16, "3/4": 21, "1": 27, "1-1/4": 35, "1-1/2": 41, "2": 53,
    "2-1/2": 63, "3": 78, "3-1/2": 91, "4": 103,
}  # fmt: skip
_EMT = (0.706, 0.922, 1.163, 1.51, 1.74, 2.197, 2.875, 3.5, 4.0, 4.5)
_PIPE = (0.84, 1.05, 1.315, 1.66, 1.9, 2.375, 2.875, 3.5, 4.0, 4.5)
_RADIUS = (4.0, 4.5, 5.75, 7.25, 8.25, 9.5, 10.5, 13.0, 15.0, 16.0)
OUTSIDE_IN = {
    "EMT": dict(zip(METRIC, _EMT, strict=True)),
    "PVC40": dict(zip(METRIC, _PIPE, strict=True)),
    "RMC": dict(zip(METRIC, _PIPE, strict=True)),
}
RADIUS_IN = dict(zip(METRIC, _RADIUS, strict=True))


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A pull or junction box, measured inside; its frame sits in the middle of the inside."""

    id: str
    inside_m: Point
    frame: Frame
    cover: tuple[str, ...] = ("+z",)
    wall_m: float = 0.002

    def mouth(self, wall: str, u_m: float, v_m: float) -> tuple[Point, Point]:
        """Point on the inner face of `wall` and the direction out of the box, in the plant."""
        axis = "xyz".index(wall[1])
        sign = 1.0 if wall[0] == "+" else -1.0
        local = list(np.insert([float(u_m), float(v_m)], axis, sign * self.inside_m[axis] / 2))
        outward = tup(sign * np.array(AXES[wall[1]]))
        return self.frame.point(tuple(local)), self.frame.vector(outward)


@dataclass(frozen=True, slots=True)
class AtBox:
    """A route ends in a box, at `u_m`, `v_m` from the middle of a wall."""

    box: str
    wall: str
    u_m: float = 0.0
    v_m: float = 0.0


@dataclass(frozen=True, slots=True)
class AtPoint:
    """A route ends at a point: in the open, under a cap, or at equipment or a branch."""

    point: Point
    cap: bool = False
    meets: str = ""  # id of equipment or of a branch
    near: str = ""  # id of the route whose end it nearly meets


@dataclass(frozen=True, slots=True, kw_only=True)
class Route:
    """Raceway of one size and type from one end to the other, round its corners."""

    id: str
    trade_size_in: str
    start: AtBox | AtPoint
    end: AtBox | AtPoint
    corners: tuple[Point, ...] = ()
    raceway_type: str = "EMT"
    stick_m: float = 3.0  # longest straight piece
    reduced_to: str = ""  # trade size past a reducer in its first straight part

    @property
    def outside_m(self) -> float:
        """Outside diameter. [m]"""
        return OUTSIDE_IN[self.raceway_type][self.trade_size_in] * 0.0254

    @property
    def radius_m(self) -> float:
        """Centre-line radius of its elbows. [m]"""
        return RADIUS_IN[self.trade_size_in] * 0.0254


@dataclass(frozen=True, slots=True, kw_only=True)
class Equipment:
    """A block that a route may end at: a panel, a motor."""

    id: str
    size_m: Point
    frame: Frame


@dataclass(frozen=True, slots=True, kw_only=True)
class Branch:
    """A fitting of straight arms: a tee, a cross, or a conduit body such as an LB."""

    id: str
    centre: Point
    arms: tuple[Point, ...]  # unit directions from the middle
    trade_size_in: str
    arm_m: float = 0.1
    raceway_type: str = "EMT"
    name: str = "Conduit tee"

    def mouth(self, arm: int) -> Point:
        """Give the point where an arm ends."""
        return tup(np.array(self.centre) + np.array(self.arms[arm]) * self.arm_m)

    @property
    def outside_m(self) -> float:
        """Outside diameter. [m]"""
        return OUTSIDE_IN[self.raceway_type][self.trade_size_in] * 0.0254


@dataclass(frozen=True, slots=True, kw_only=True)
class Storey:
    """A storey and how high it stands."""

    name: str
    level_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A room of one storey, between two corners; without them it has no body."""

    number: str
    name: str = ""
    corners: tuple[Point, Point] | None = None

    def holds(self, point: Point) -> bool:
        """True if the point lies in it."""
        if self.corners is None:
            return True
        low, high = self.corners
        return all(a <= at <= b for a, at, b in zip(low, point, high, strict=True))


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    """Routes that belong to one system, and the boxes that they meet."""

    name: str
    routes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Lines along x by their y, and lines along y by their x. [m]"""

    along_x: dict[str, float]
    along_y: dict[str, float]
    low: tuple[float, float]
    high: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plant:
    """Everything that is built."""

    name: str
    boxes: tuple[Box, ...]
    routes: tuple[Route, ...]
    equipment: tuple[Equipment, ...] = ()
    branches: tuple[Branch, ...] = ()
    walls: tuple[tuple[Point, Point], ...] = ()  # middle and size of what stands about
    trays: tuple[tuple[Point, Point], ...] = ()
    storeys: tuple[Storey, ...] = ()  # from below; without any there is one
    rooms: tuple[Room, ...] = ()
    circuits: tuple[Circuit, ...] = ()
    grid: Grid | None = None

    def box(self, box_id: str) -> Box:
        """Box of that id."""
        return next(box for box in self.boxes if box.id == box_id)

    def end_of(self, end: AtBox | AtPoint) -> tuple[Point, Point | None]:
        """Where a route's end lies and, at a box, the direction out of the box."""
        if isinstance(end, AtPoint):
            return end.point, None
        return self.box(end.box).mouth(end.wall, end.u_m, end.v_m)
