"""Where the bends and straight stretches of a run lie along it."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import dist, radians

from modelcheck.model.element import Bend, Point
from modelcheck.model.run import Run, RunPart


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedBend:
    """One bend with its place along the run; a corner has no length."""

    bend: Bend
    from_m: float
    to_m: float
    start: Point
    end: Point

    @property
    def is_known(self) -> bool:
        """False where it isn't drawn how the bend goes from its start to its end."""
        return self.bend.radius_m is not None or self.start == self.end


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """What lies between two bends, or between a bend and an end."""

    from_m: float
    to_m: float
    start: Point
    end: Point

    @property
    def length_m(self) -> float:
        """Length along the run. [m]"""
        return self.to_m - self.from_m

    def point(self, at_m: float) -> Point:
        """Point at a length along the run."""
        share = (at_m - self.from_m) / self.length_m if self.length_m > 0 else 0.0
        x, y, z = (a + share * (b - a) for a, b in zip(self.start, self.end, strict=True))
        return (x, y, z)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One place on a run."""

    part: RunPart
    along_run_m: float
    at: Point

    @property
    def along_element_m(self) -> float:
        """Distance from where the run comes into the element. [m]"""
        return self.along_run_m - self.part.from_m


@dataclass(frozen=True, slots=True, kw_only=True)
class RunPath:
    """Bends of a run and the stretches between them: one stretch more than bends."""

    run: Run
    bends: tuple[PlacedBend, ...]
    stretches: tuple[Stretch, ...]

    def spot(self, at_m: float, stretch: Stretch) -> Spot:
        """Place at a length along the run, on a length of raceway rather than on a coupling."""
        parts = self.run.parts
        over = [part for part in parts if part.from_m <= at_m <= part.to_m]
        part = min(
            over or parts,
            key=lambda each: (
                each.is_coupling,
                max(each.from_m - at_m, at_m - each.to_m, 0.0),
            ),
        )
        return Spot(part=part, along_run_m=at_m, at=stretch.point(at_m))


def run_path(run: Run) -> RunPath | None:
    """Path of `run`; None if it has no parts to measure along.

    Parameters
    ----------
    run : Run
    """
    if not run.parts:
        return None
    bends = tuple(each for part in run.parts for each in _placed(part))
    starts = [(0.0, run.parts[0].points[0]), *((each.to_m, each.end) for each in bends)]
    ends = [*((each.from_m, each.start) for each in bends)]
    ends.append((max(run.length_m, starts[-1][0]), run.parts[-1].points[-1]))
    stretches = tuple(
        Stretch(from_m=start[0], to_m=end[0], start=start[1], end=end[1])
        for start, end in zip(starts, ends, strict=True)
    )
    return RunPath(run=run, bends=bends, stretches=stretches)


def _placed(part: RunPart) -> list[PlacedBend]:
    """Bends of `part` one after the other, each straight on from the one before."""
    placed: list[PlacedBend] = []
    at_m, point = part.from_m, part.points[0]
    for bend in part.bends:
        if bend.arc is None and bend.evidence == "ends":
            start, end, length_m = part.points[0], part.points[-1], part.to_m - part.from_m
        elif bend.arc is None:
            start, end, length_m = bend.at, bend.at, 0.0
        else:
            start, end = _in_order(bend.arc, part.points)
            length_m = radians(bend.angle_deg) * (bend.radius_m or 0.0)
        from_m = at_m + dist(point, start)
        at_m, point = from_m + length_m, end
        placed.append(PlacedBend(bend=bend, from_m=from_m, to_m=at_m, start=start, end=end))
    return placed


def _in_order(arc: tuple[Point, Point], points: tuple[Point, ...]) -> tuple[Point, Point]:
    """Ends of an arc, the one that the run reaches first in front."""
    first, second = (_along(end, points) for end in arc)
    return arc if first <= second else (arc[1], arc[0])


def _along(point: Point, points: tuple[Point, ...]) -> float:
    """Length along the chords up to the one that passes nearest to `point`."""
    best, found, at_m = float("inf"), 0.0, 0.0
    for start, end in pairwise(points):
        span = dist(start, end)
        over = dist(start, point) + dist(point, end) - span
        if over < best - 1e-9:
            best, found = over, at_m + dist(start, point)
        at_m += span
    return found
