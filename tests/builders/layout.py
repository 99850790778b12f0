"""Puts a plant together box by box and run by run, and finds the corners of plain runs."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from tests.builders.plant import AtBox, AtPoint, Box, Branch, Equipment, Plant, Route
from tests.builders.space import AXES, Frame, Point, angle_between, tup

End = tuple[str, str, float, float]  # box, wall, u, v [m]
PANEL_M = 0.5  # depth of the equipment at the end of a run


@dataclass(slots=True)
class Layout:
    """A plant in the making."""

    name: str
    raceway_type: str
    boxes: list[Box] = field(default_factory=list)
    routes: list[Route] = field(default_factory=list)
    equipment: list[Equipment] = field(default_factory=list)
    branches: list[Branch] = field(default_factory=list)

    def plant(self) -> Plant:
        """Give what was put together."""
        return Plant(
            name=self.name,
            boxes=tuple(self.boxes),
            routes=tuple(self.routes),
            equipment=tuple(self.equipment),
            branches=tuple(self.branches),
        )

    def box(
        self,
        box_id: str,
        at: Point,
        inside_m: Point,
        *,
        cover: str = "+z",  # empty: it does not show
        turned: tuple[float, float, float] = (0.0, 0.0, 0.0),
        wall_m: float = 0.003,
    ) -> None:
        """Add a box about `at`, turned about z, then y, then x. [deg]"""
        frame = Frame.turned(at, degrees_=turned)
        made = Box(
            id=box_id,
            inside_m=inside_m,
            frame=frame,
            cover=(cover,) if cover else (),
            wall_m=wall_m,
        )
        self.boxes.append(made)

    def mouth(self, end: End) -> tuple[Point, Point]:
        """Where a conduit leaves a box and which way."""
        box = next(box for box in self.boxes if box.id == end[0])
        return box.mouth(*end[1:])

    def join(
        self, run: str, size: str, first: End, second: End, *, bends: int = 0, reach_m: float = 0.8
    ) -> None:
        """Add a run between two boxes; it must have so many quarter bends.

        Facing mouths in line give none, square ones one, and parallel ones two: those that
        look the same way turn back `reach_m` in front of the farther box.
        """
        corners = _corners(*self.mouth(first), *self.mouth(second), reach_m=reach_m)
        if len(corners) != bends:
            raise ValueError(f"{run} has {len(corners)} bends, not {bends}: {corners}")
        self.route(run, size, AtBox(*first), AtBox(*second), corners)

    def feed(
        self, run: str, size: str, end: End, equipment_id: str, *, reach_m: float = 2.0
    ) -> None:
        """Add a straight run from a box to equipment, which is made if it isn't there yet."""
        at, out = self.mouth(end)
        face = tup(np.array(at) + np.array(out) * reach_m)
        if equipment_id not in {item.id for item in self.equipment}:
            middle = tup(np.array(face) + np.array(out) * PANEL_M / 2)
            size_m = (1.2, 1.2, PANEL_M)
            panel = Equipment(id=equipment_id, size_m=size_m, frame=Frame.at(middle, out))
            self.equipment.append(panel)
        self.route(run, size, AtBox(*end), AtPoint(face, meets=equipment_id))

    def bridge(self, run: str, size: str, first: End, second: End, *, reach_m: float) -> None:
        """Add a run with two bends of any angle, each `reach_m` in front of a box."""
        corners = []
        for end in (first, second):
            at, out = self.mouth(end)
            corners.append(tup(np.array(at) + np.array(out) * reach_m))
        self.route(run, size, AtBox(*first), AtBox(*second), corners)

    def stub(self, run: str, size: str, end: End, *, reach_m: float, cap: bool = False) -> Point:
        """Add a straight run that ends in the open or under a cap, and give that end."""
        at, out = self.mouth(end)
        stop = tup(np.array(at) + np.array(out) * reach_m)
        self.route(run, size, AtBox(*end), AtPoint(stop, cap=cap))
        return stop

    def route(
        self,
        run: str,
        size: str,
        start: AtBox | AtPoint,
        end: AtBox | AtPoint,
        corners: list[Point] | None = None,
        *,
        raceway_type: str = "",
    ) -> None:
        """Add a run with its corners told."""
        self.routes.append(
            Route(
                id=run,
                trade_size_in=size,
                start=start,
                end=end,
                corners=tuple(corners or ()),
                raceway_type=raceway_type or self.raceway_type,
            )
        )


def _corners(at: Point, out: Point, to: Point, back: Point, *, reach_m: float) -> list[Point]:
    """Corners of the plainest run from one mouth to another."""
    gap, along = np.subtract(to, at), np.array(out)
    ahead = float(gap @ along)
    aside = gap - along * ahead
    turn = angle_between(along, np.array(back))
    if turn > 179.9 and float(np.linalg.norm(aside)) < 1e-6:
        return []
    if turn > 179.9:
        half = np.array(at) + along * ahead / 2
        return [tup(half), tup(half + aside)]
    if turn < 0.1:
        far = np.array(at) + along * (max(0.0, ahead) + reach_m)
        return [tup(far), tup(far + aside)]
    return [tup(np.array(at) + along * ahead)]


def moves(start: Point, *steps: tuple[str, float]) -> list[Point]:
    """Corners of a run that goes so far along x, y or z again and again; the last is its end."""
    points, at = [], np.array(start)
    for axis, distance in steps:
        at = at + np.array(AXES[axis]) * distance
        points.append(tup(at))
    return points
