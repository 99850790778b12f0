"""Which stretches of a path lie in a block along the axes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from modelcheck.geometry.vectors import length, minus
from modelcheck.model.element import Point, Vector, axis_of

_PARALLEL_M = 1e-12
_MERGE_M = 1e-7
_WALLS = (("-x", "+x"), ("-y", "+y"), ("-z", "+z"))


@dataclass(frozen=True, slots=True)
class Block:
    """Block along the axes of a box."""

    low: Vector
    high: Vector

    def gap_m(self, point: Point) -> float:
        """Distance of `point` from the block along the axis where it is farthest; 0 inside."""
        sides = zip(point, self.low, self.high, strict=True)
        return max(0.0, *(max(low - value, value - high) for value, low, high in sides))

    def beyond_m(self, point: Point, wall: str) -> float:
        """Distance of `point` from the plane of `wall`, outward."""
        axis = "xyz".index(wall[1])
        if wall[0] == "+":
            return point[axis] - self.high[axis]
        return self.low[axis] - point[axis]


@dataclass(frozen=True, slots=True)
class Stretch:
    """Part of a path that lies in a block, with the walls through which it comes and goes."""

    start_m: float
    end_m: float
    wall_in: str  # empty: the path begins inside
    wall_out: str
    cosine_in: float  # between the path and the normal of the wall
    cosine_out: float


def stretches(points: Sequence[Point], at_m: Sequence[float], block: Block) -> tuple[Stretch, ...]:
    """Every stretch of a path inside `block`.

    Parameters
    ----------
    points : sequence of Point
        In the axes of the block.
    at_m : sequence of float
        Length of the path up to each point. [m]
    block : Block
    """
    found: list[Stretch] = []
    for (start, end), (from_m, to_m) in zip(pairwise(points), pairwise(at_m), strict=True):
        part = _part(start, end, from_m, to_m, block)
        if part is None:
            continue
        if found and part.start_m - found[-1].end_m < _MERGE_M:
            last = found.pop()
            part = Stretch(
                last.start_m,
                part.end_m,
                last.wall_in,
                part.wall_out,
                last.cosine_in,
                part.cosine_out,
            )
        found.append(part)
    return tuple(found)


def _part(start: Point, end: Point, from_m: float, to_m: float, block: Block) -> Stretch | None:
    along = minus(end, start)
    span = length(along)
    low, high, wall_in, wall_out = 0.0, 1.0, "", ""
    at_corner = _MERGE_M / max(span, _MERGE_M)  # a wall that goes through a point of the path
    sides = zip(_WALLS, along, start, block.low, block.high, strict=True)
    for walls, step, at, least, most in sides:
        if abs(step) < _PARALLEL_M:
            if not least <= at <= most:
                return None
            continue
        near, far = (least, most) if step > 0 else (most, least)
        one, other = walls if step > 0 else walls[::-1]
        enter, leave = (near - at) / step, (far - at) / step
        if enter > low or (not wall_in and enter > -at_corner):
            low, wall_in = max(low, enter), one
        if leave < high or (not wall_out and leave < 1.0 + at_corner):
            high, wall_out = min(high, leave), other
    if (high - low) * span < _PARALLEL_M:
        return None
    cosine_in = abs(along[axis_of(wall_in)]) / span if wall_in else 0.0
    cosine_out = abs(along[axis_of(wall_out)]) / span if wall_out else 0.0
    metres = to_m - from_m
    return Stretch(
        from_m + low * metres, from_m + high * metres, wall_in, wall_out, cosine_in, cosine_out
    )
