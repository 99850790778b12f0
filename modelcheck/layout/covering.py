"""The fewest points on a line that part it into sections within limits."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import inf


@dataclass(frozen=True, slots=True)
class Window:
    """Part of the line that a point may lie in: between the same two bends all through."""

    low_m: float
    high_m: float
    bends_before: int  # how many bends of the line lie before it


@dataclass(frozen=True, slots=True)
class Place:
    """A point in a window."""

    window: Window
    at_m: float


@dataclass(frozen=True, kw_only=True)
class Line:
    """A line with bends, the windows for points on it, and the limits of each section."""

    length_m: float
    angles_deg: tuple[float, ...]
    windows: tuple[Window, ...]  # in order
    limit_deg: float
    limit_m: float = inf
    total_deg: Callable[[Sequence[float]], float] = sum

    def is_within(self, start: Place, end: Place) -> bool:
        """Whether the section between two places keeps both limits."""
        angles = self.angles_deg[start.window.bends_before : end.window.bends_before]
        if self.total_deg(angles) > self.limit_deg:
            return False
        return end.at_m - start.at_m <= self.limit_m + _NOISE_M

    @property
    def ends(self) -> tuple[Place, Place]:
        """Start and end of the line as places."""
        first, last = Window(0.0, 0.0, 0), Window(self.length_m, self.length_m, self._bends)
        return Place(first, 0.0), Place(last, self.length_m)

    def furthest(self, start: Place) -> Place | None:
        """Furthest place that a section from `start` can reach; None if it gets nowhere."""
        most_m = start.at_m + self.limit_m
        for window in reversed(self.windows):
            place = Place(window, min(window.high_m, most_m))
            is_on = place.at_m >= window.low_m and place.at_m > start.at_m + _NOISE_M
            if is_on and self.is_within(start, place):
                return place
        return None

    @property
    def mirrored(self) -> Line:
        """The same line from its end."""
        return Line(
            length_m=self.length_m,
            angles_deg=self.angles_deg[::-1],
            windows=tuple(self._mirrored(each) for each in reversed(self.windows)),
            limit_deg=self.limit_deg,
            limit_m=self.limit_m,
            total_deg=self.total_deg,
        )

    def seen_from_start(self, place: Place) -> Place:
        """Same place of this line for a `place` of the mirrored one."""
        return Place(self._mirrored(place.window), self.length_m - place.at_m)

    @property
    def _bends(self) -> int:
        return len(self.angles_deg)

    def _mirrored(self, window: Window) -> Window:
        low_m, high_m = self.length_m - window.high_m, self.length_m - window.low_m
        return Window(low_m, high_m, self._bends - window.bends_before)


@dataclass(frozen=True, slots=True)
class Stuck:
    """There is no plan: no window can be reached from here on."""

    from_m: float


def fewest_places(line: Line) -> tuple[Place, ...] | Stuck:
    """Fewest places that part `line` into sections within its limits.

    Going as far as the limits let one is best: both limits hold for a section inside one that
    keeps them, so whatever can be reached from a place behind the furthest can be reached from
    the furthest too. By induction over the points no plan of so many points is ahead of this one.

    Parameters
    ----------
    line : Line

    Returns
    -------
    tuple of Place
        In order, each as far on as can be; empty if the whole line is within the limits.
    Stuck
        If there is no plan.
    """
    here, end = line.ends
    places: list[Place] = []
    while not line.is_within(here, end):
        further = line.furthest(here)
        if further is None:
            return Stuck(here.at_m)
        places.append(further)
        here = further
    return tuple(places)


def even_places(line: Line) -> tuple[Place, ...] | Stuck:
    """As few places as `fewest_places`, the sections as alike as the windows let them be.

    A place may lie anywhere from the earliest from which the rest can still be covered to the
    furthest that can be reached. Of these windows the one that parts the bends most evenly is
    taken, of equals the longest, of equals the first; in it the middle, or with a limit of length
    the place that parts what is left of the line most evenly.

    Parameters
    ----------
    line : Line
    """
    latest = fewest_places(line)
    from_end = fewest_places(line.mirrored)
    if isinstance(latest, Stuck) or isinstance(from_end, Stuck):
        return latest
    here = line.ends[0]
    places: list[Place] = []
    for back in reversed(from_end):
        here = _evenest(line, here, line.seen_from_start(back), len(from_end) - len(places) + 1)
        places.append(here)
    return tuple(places)


def _evenest(line: Line, start: Place, earliest: Place, sections: int) -> Place:
    """Place not before `earliest`, reached from `start`, that best leaves so many sections."""
    best = (-inf, -inf)
    found: Place | None = None
    share_deg = sum(line.angles_deg[start.window.bends_before :]) / sections
    for window in line.windows:
        if window.bends_before < earliest.window.bends_before:
            continue
        low_m = max(window.low_m, earliest.at_m)
        high_m = min(window.high_m, start.at_m + line.limit_m)
        wanted_m = (window.low_m + window.high_m) / 2.0
        if line.limit_m < inf:
            wanted_m = start.at_m + (line.length_m - start.at_m) / sections
        place = Place(window, max(min(wanted_m, high_m), low_m))
        is_on = low_m <= high_m + _NOISE_M and place.at_m > start.at_m
        if not is_on or not line.is_within(start, place):
            continue
        bends_deg = sum(line.angles_deg[start.window.bends_before : window.bends_before])
        value = (
            -round(abs(bends_deg - share_deg), 6),
            round(window.high_m - window.low_m, 6),
        )
        if value > best:
            best, found = value, place
    assert found is not None, "the earliest place is one of them"
    return found


_NOISE_M = 1e-9
