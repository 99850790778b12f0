"""A box as two blocks along its own axes: its inside, and all of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import dist

from modelcheck.geometry.clip import Block
from modelcheck.geometry.vectors import dot, in_frame, middle, minus, moved, out_of_frame
from modelcheck.model.element import Enclosure, Point, Vector, axis_of
from modelcheck.model.settings import Tolerances

LEAST_COSINE = 0.3  # an axis flatter to the wall than this runs along it
_MARGIN_M = 0.001
_PARALLEL_M = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxBlocks:
    """A box as blocks along its axes."""

    enclosure: Enclosure
    inner: Block
    outer: Block
    ball: tuple[Point, float]
    reach_m: float  # how far an axis is followed from an end

    @classmethod
    def of(cls, box: Enclosure, tolerances: Tolerances) -> BoxBlocks:
        """Blocks of `box`, and how far an axis is followed to it."""
        low, high = box.outside_low_m, box.outside_high_m
        sizes = (None, None, None) if box.is_conduit_body else box.inside_m
        halves = [None if size is None else size / 2 for size in sizes]
        inner = Block(
            _point(
                [
                    out if half is None else max(-half, out)
                    for out, half in zip(low, halves, strict=True)
                ]
            ),
            _point(
                [
                    out if half is None else min(half, out)
                    for out, half in zip(high, halves, strict=True)
                ]
            ),
        )
        outer = Block(low, high)
        walls_m = max(
            *(a - b for a, b in zip(inner.low, outer.low, strict=True)),
            *(a - b for a, b in zip(outer.high, inner.high, strict=True)),
        )
        short_m = max(tolerances.near_m, tolerances.enter_m)
        corners = (in_frame(p, box.origin, box.axes) for each in box.triangles for p in each)
        hub_m = max((outer.gap_m(corner) for corner in corners), default=0.0)
        reach_m = (short_m + walls_m + hub_m) / LEAST_COSINE + _MARGIN_M
        centre = middle((outer.low, outer.high))
        radius_m = dist(centre, outer.high) + reach_m
        return cls(
            enclosure=box,
            inner=inner,
            outer=outer,
            ball=(out_of_frame(centre, box.origin, box.axes), radius_m),
            reach_m=reach_m,
        )

    def local(self, point: Point) -> Point:
        """Coordinates in the axes of the box."""
        return in_frame(point, self.enclosure.origin, self.enclosure.axes)

    def facing(self, direction: Vector) -> str:
        """Wall that `direction` goes in by."""
        turned = [dot(direction, axis) for axis in self.enclosure.axes]
        axis = max(range(3), key=lambda each: abs(turned[each]))
        return ("-" if turned[axis] > 0.0 else "+") + "xyz"[axis]

    def on_inner_face(self, local: Point, toward: Point, wall: str) -> Point:
        """Where the line from `local` to `toward` meets the plane of the wall's inner face."""
        axis = axis_of(wall)
        face = (self.inner.high if wall[0] == "+" else self.inner.low)[axis]
        along = minus(toward, local)
        if abs(along[axis]) < _PARALLEL_M:
            return local
        return moved(local, along, (face - local[axis]) / along[axis])


def outside_gap_m(box: Enclosure, point: Point) -> float:
    """Distance of `point` from the outer faces of a box along the axis where it is farthest.

    Parameters
    ----------
    box : Enclosure
    point : Point

    Returns
    -------
    float
        [m]
    """
    outer = Block(box.outside_low_m, box.outside_high_m)
    return outer.gap_m(in_frame(point, box.origin, box.axes))


def _point(values: Sequence[float]) -> Point:
    return (values[0], values[1], values[2])
