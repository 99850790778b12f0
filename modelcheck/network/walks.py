"""One route of a schedule, walked through the network run by run."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import dist

from modelcheck.model.pull import ScheduleRow
from modelcheck.model.run import Network, Run
from modelcheck.network.references import Key, References, Step, Stop

_MOST_WALKS = 1024
RunSide = tuple[str, int]  # name of a run and one of its ends, 0 the start


@dataclass(frozen=True, slots=True)
class _Leg:
    """One run of a route, walked from one of its ends to the other."""

    run: Run
    way_in: int  # 0: by the run's start
    way_out: int

    def place(self, side: int) -> Key:
        """Where this end of the run is: at an element that others may meet, or by itself."""
        end = (self.run.start, self.run.end)[side]
        return end.ref.key if end.ref else (f"\0{self.run.name}", side)


@dataclass(frozen=True, slots=True)
class _Walk:
    """The part of a route that is walked so far."""

    legs: tuple[_Leg, ...] = ()
    at: Key | None = None
    is_in_run: bool = False  # the last reference named a run: it may be named again

    def to(self, step: Step) -> list[_Walk]:
        """Every way on to `step`."""
        if isinstance(step, Stop):
            met = self.at in (None, step.key)
            return [_Walk(self.legs, step.key)] if met else []
        if self.is_in_run and self.legs[-1].run.name == step.name:
            return [self]
        if any(leg.run.name == step.name for leg in self.legs):
            return []
        legs = (_Leg(step, 0, 1), _Leg(step, 1, 0))
        return [
            _Walk((*self.legs, leg), leg.place(leg.way_out), is_in_run=True)
            for leg in legs
            if self.at in (None, leg.place(leg.way_in))
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Route:
    """A route made sure of."""

    runs: tuple[Run, ...]
    ways_in: tuple[int, ...]  # end of each run that the pull comes in by, 0 the start
    passages: tuple[tuple[Key, tuple[int, ...]], ...]  # each box with one or two network entries

    @classmethod
    def of(cls, walk: _Walk, entry_at: Mapping[RunSide, int]) -> Route:
        """Route of a walk: it begins and ends where its first and last run do."""
        first, last = walk.legs[0], walk.legs[-1]
        turns = [
            (first.place(first.way_in), [(first.run.name, first.way_in)]),
            *(
                (leg.place(leg.way_out), [(leg.run.name, leg.way_out), (to.run.name, to.way_in)])
                for leg, to in pairwise(walk.legs)
            ),
            (last.place(last.way_out), [(last.run.name, last.way_out)]),
        ]
        passages = (
            (place, tuple(entry_at[end] for end in ends if end in entry_at))
            for place, ends in turns
        )
        return cls(
            runs=tuple(leg.run for leg in walk.legs),
            ways_in=tuple(leg.way_in for leg in walk.legs),
            passages=tuple((place, entries) for place, entries in passages if entries),
        )

    @property
    def sameness(self) -> object:
        """Equal for two routes through the same conduits and boxes, whichever way round."""
        used = Counter((place, frozenset(entries)) for place, entries in self.passages)
        return frozenset(run.name for run in self.runs), frozenset(used.items())


def entries_at_ends(network: Network) -> dict[RunSide, int]:
    """Number of the entry at each end of each run that ends at a box."""
    numbers: dict[tuple[str, Key], list[int]] = {}
    for number, entry in enumerate(network.entries):
        numbers.setdefault((entry.run, entry.box.key), []).append(number)
    entry_at = {}
    for run in network.runs:
        for side, end in enumerate((run.start, run.end)):
            if end.kind == "box" and end.ref:
                own = numbers.get((run.name, end.ref.key), [])
                if own:  # of a run that comes back to its box, the one where this end is
                    entry_at[run.name, side] = min(
                        own, key=lambda number: dist(network.entries[number].at, end.point)
                    )
    return entry_at


def find_route(row: ScheduleRow, references: References, entry_at: Mapping[RunSide, int]) -> Route:
    """Route that `row` names.

    Parameters
    ----------
    row : ScheduleRow
    references : References
    entry_at : mapping of (str, int) to int
        As `entries_at_ends` gives it.

    Raises
    ------
    AmbiguousReferenceError
        If a reference can't be used, or the route jumps or can be read in two ways.
    """
    walks = _walks(row, references)
    if not walks[0].legs:
        raise references.error(
            f"the route of pull {row.pull!r} names no conduit between its boxes", line=row.line
        )
    routes: dict[object, Route] = {}
    for walk in [walk for walk in walks if _follows(walk, row, references)] or walks:
        route = Route.of(walk, entry_at)
        routes.setdefault(route.sameness, route)
    if len(routes) > 1:
        raise references.error(
            f"the route of pull {row.pull!r} can be read in {len(routes)} ways; "
            "name the boxes on the way",
            line=row.line,
        )
    return next(iter(routes.values()))


def _walks(row: ScheduleRow, references: References) -> list[_Walk]:
    """Every walk that names what `row` names, one at least."""
    walks = [_Walk()]
    for place, text in enumerate(row.route):
        steps = references.steps(text, line=row.line)
        before, walks = walks, [further for walk in walks for further in _walked(walk, steps)]
        if not walks:
            raise references.error(
                f"the route of pull {row.pull!r} jumps from {row.route[place - 1]!r} to {text!r}, "
                f"which don't meet{_gap(before, steps)}; name what lies between, each conduit once",
                line=row.line,
            )
        if len(walks) > _MOST_WALKS:
            message = f"the route of pull {row.pull!r} can be read in too many ways; name its boxes"
            raise references.error(message, line=row.line)
    return walks


def _gap(walks: Sequence[_Walk], steps: Sequence[Step]) -> str:
    """Say how near the runs walked last come to the next, and where; nothing if there is none."""
    ends = [
        (dist(one.point, two.point), one.point)
        for walk in walks
        for leg in walk.legs[-1:]
        for step in steps
        if isinstance(step, Run) and step.name != leg.run.name
        for one in (leg.run.start, leg.run.end)
        for two in (step.start, step.end)
    ]
    if not ends:
        return ""
    gap_m, (x, y, z) = min(ends)
    return f" (their nearest ends are {gap_m:.3f} m apart, at {x:.3f}, {y:.3f}, {z:.3f})"


def _walked(walk: _Walk, steps: Sequence[Step]) -> list[_Walk]:
    """Every way on through all of `steps`, in whichever order they meet."""
    ways = [(walk, frozenset(range(len(steps))))]
    for _ in steps:
        ways = [
            (further, left - {number})
            for way, left in ways
            for number in left
            for further in way.to(steps[number])
        ]
    return [way for way, _ in ways]


def _follows(walk: _Walk, row: ScheduleRow, references: References) -> bool:
    """Whether each run is walked the way round that its elements are named in."""
    alone = [found for text in row.route if len(found := references.found(text)) == 1]
    for leg in walk.legs:
        number_of = {ref.key: number for number, ref in enumerate(leg.run.elements)}
        numbers = [number_of[key] for found in alone for key in found if key in number_of]
        if any((one < two) != (leg.way_in == 0) for one, two in pairwise(numbers) if one != two):
            return False
    return True
