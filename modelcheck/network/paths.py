"""Centre lines as paths that one can measure along."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise
from math import dist
from typing import NamedTuple

from modelcheck.geometry.vectors import angle_deg, middle, minus, moved, reversed_of
from modelcheck.model.element import Bend, Conduit, End, Point, Role

NO_BEND_DEG = 0.5  # up to this it is straight
_TWO = 2
_LEAST_M = 1e-6


class Path(NamedTuple):
    """Polyline with the length up to each of its points."""

    points: tuple[Point, ...]
    at_m: tuple[float, ...]
    lines: tuple[tuple[Point, Point], ...]  # its straight pieces

    @classmethod
    def through(cls, points: Sequence[Point]) -> Path:
        """Path through `points`, those that coincide once."""
        kept, at_m = [points[0]], [0.0]
        for point in points[1:]:
            if (step := dist(point, kept[-1])) > _LEAST_M:
                kept.append(point)
                at_m.append(at_m[-1] + step)
        lines = tuple(pairwise(kept)) or ((kept[0], kept[0]),)
        return cls(tuple(kept), tuple(at_m), lines)

    @property
    def length_m(self) -> float:
        """Length of the whole, arcs as chords."""
        return self.at_m[-1]

    def point(self, at_m: float) -> Point:
        """Point at a length along it; before the start and past the end straight on."""
        if len(self.points) < _TWO:
            return self.points[0]
        number = min(max(bisect_right(self.at_m, at_m), 1), len(self.points) - 1)
        start, end = self.points[number - 1], self.points[number]
        span = self.at_m[number] - self.at_m[number - 1]
        return moved(start, minus(end, start), (at_m - self.at_m[number - 1]) / span)

    def between(self, low_m: float, high_m: float) -> tuple[Point, ...]:
        """Points from one length to another."""
        if low_m == 0.0 and high_m == self.length_m:
            return self.points
        inner = (
            point
            for point, at in zip(self.points, self.at_m, strict=True)
            if low_m + _LEAST_M < at < high_m - _LEAST_M
        )
        return (self.point(low_m), *inner, self.point(high_m))

    def nearest_m(self, point: Point) -> float:
        """Length up to the place of the path that is nearest to `point`."""
        best, found = float("inf"), 0.0
        for (start, end), at in zip(self.lines, self.at_m, strict=False):
            span = dist(start, end)
            offset, along = minus(point, start), minus(end, start)
            share = sum(o * a for o, a in zip(offset, along, strict=True)) / max(span**2, 1e-18)
            share = min(max(share, 0.0), 1.0)
            gap = dist(point, moved(start, along, share))
            if gap < best:
                best, found = gap, at + share * span
        return found


def path_of(conduit: Conduit) -> Path | None:
    """Path of a piece with one or two ends, from the first; None for any other."""
    ends = conduit.ends
    if len(ends) == 1:
        inward_m = max(conduit.length_m, _LEAST_M * 10)
        return Path.through([ends[0].point, moved(ends[0].point, ends[0].direction, -inward_m)])
    if len(ends) != _TWO:
        return None
    return Path.through([ends[0].point, *conduit.centreline[1:-1], ends[1].point])


def lines_of(conduit: Conduit, path: Path | None) -> tuple[tuple[Point, Point], ...]:
    """Straight pieces of its centre line `path`; of a branch from the middle to each end."""
    if path is not None:
        return path.lines
    if not conduit.ends:
        return ()
    centre = middle(tuple(end.point for end in conduit.ends))
    return tuple((centre, end.point) for end in conduit.ends)


def turn_deg(ends: Sequence[End]) -> float:
    """Angle between the directions at which one goes in and comes out."""
    return angle_deg(reversed_of(ends[0].direction), ends[1].direction)


def bends_of(conduit: Conduit) -> tuple[Bend, ...]:
    """Its own bends over half a degree; by its two ends where it has none drawn."""
    drawn = tuple(bend for bend in conduit.bends if bend.angle_deg > NO_BEND_DEG)
    if drawn or len(conduit.ends) != _TWO:
        return drawn
    angle = turn_deg(conduit.ends)
    if angle <= NO_BEND_DEG:
        return ()
    at = middle((conduit.ends[0].point, conduit.ends[1].point))
    return (Bend(angle_deg=angle, radius_m=None, at=at, element=conduit.ref, evidence="ends"),)


def is_straight_fitting(conduit: Conduit) -> bool:
    """True for a coupling, connector, sleeve and the like."""
    return conduit.role is Role.FITTING and len(conduit.ends) == _TWO and not bends_of(conduit)


def is_branch(conduit: Conduit) -> bool:
    """True for a fitting with three ends or more."""
    return len(conduit.ends) > _TWO
