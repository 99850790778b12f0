"""Quick places for the entries of a box of a given size: pushed apart until none is too near.

What is found passes; what isn't found may exist all the same.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import ceil, copysign, hypot, prod, sqrt

from modelcheck.geometry.walls import gap_round_corner_m
from modelcheck.layout.stand import TOLERANCE_M, Stand
from modelcheck.model.demand import RowSum, SpacingDemand
from modelcheck.model.element import axis_of
from modelcheck.rules.rows import rows_of

_ROUNDS = 60
_NOISE = 1e-6  # of a step
FINE = 20  # parts of a step, and of the distance along a corner, in spacing round corners
Along = Mapping[tuple[int, int], int]  # pair of entries round a corner
Steps = tuple[int, int, int]
Centre = dict[int, int]  # of an entry along each axis of its wall, from the middle [steps]


@dataclass(frozen=True, slots=True, kw_only=True)
class OnWall:
    """Two entries of one wall, and how far apart their centres must be. [steps]"""

    first: int
    second: int
    apart: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CornerEnd:
    """One of two entries round a corner, and the way that leads it away from the corner."""

    place: int
    axis: int
    sign: int
    radius: float  # [steps]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundCorner:
    """Two entries round a corner, and how far apart their edges must be. [steps]"""

    ends: tuple[CornerEnd, CornerEnd]
    along: int  # axis of the edge between their walls
    apart: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """An inside size with a place for every entry. [steps]"""

    size: Steps  # each an even number
    centres: tuple[Centre, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Settler:
    """The entries of one box, pushed about on their walls by whole steps."""

    stand: Stand
    step_m: float
    clear: tuple[int, ...]  # half of what each entry takes up [steps]
    on_wall: tuple[OnWall, ...]
    round_corner: tuple[RoundCorner, ...]

    @classmethod
    def of(cls, stand: Stand, step_m: float) -> Settler:
        """Look at a box in whole steps."""
        everyone = range(len(stand.case.entries))
        walls = [entry.wall for entry in stand.case.entries]
        return cls(
            stand=stand,
            step_m=step_m,
            clear=tuple(ceil(stand.clearance_m(place) / step_m - _NOISE) for place in everyone),
            on_wall=tuple(
                OnWall(first=one, second=other, apart=stand.apart_m(one, other) / step_m)
                for one, other in combinations(everyone, 2)
                if walls[one] == walls[other]
            ),
            round_corner=tuple(
                _round_corner(stand, pair, step_m)
                for pair in stand.demands.spacings
                if stand.turns_corner(pair)
            ),
        )

    def settled(self, size: Steps) -> Placed | None:
        """Places near where the entries are drawn; None if none were found.

        Parameters
        ----------
        size : tuple of int, shape (3,)
            Inside, each an even number. [steps]
        """
        if not self._is_enough(size):
            return None
        centres = self.drawn(size)
        for _ in range(_ROUNDS):
            before = [dict(centre) for centre in centres]
            too_near = [self._push_on_wall(pair, centres, size) for pair in self.on_wall]
            too_near += [self._push_from_corner(pair, centres, size) for pair in self.round_corner]
            if not any(too_near):
                placed = Placed(size=size, centres=tuple(centres))
                return placed if self.passes(placed) else None
            if centres == before:
                break  # every push ends at an edge
        return None

    def _is_enough(self, size: Steps) -> bool:
        """Whether the box has the volume, and each entry alone has room on its wall."""
        if not self._has_volume(size) or not self.stand.keeps_cover(size):
            return False
        return all(
            2 * clear <= size[axis]
            for clear, entry in zip(self.clear, self.stand.case.entries, strict=True)
            for axis in range(3)
            if axis != axis_of(entry.wall)
        )

    def could_hold(self, size: Steps) -> bool:
        """Whether a box has the volume, and room for every two entries were they alone in it."""
        if not self._has_volume(size):
            return False
        for pair in self.on_wall:
            wall = axis_of(self.stand.case.entries[pair.first].wall)
            taken = self.clear[pair.first] + self.clear[pair.second]
            free = (max(0, size[axis] - taken) for axis in range(3) if axis != wall)
            if hypot(*free) < pair.apart - _NOISE:
                return False
        for corner in self.round_corner:
            places = [end.place for end in corner.ends]
            edges = [size[e.axis] - self.clear[e.place] - e.radius for e in corner.ends]
            across = size[corner.along] - sum(self.clear[place] for place in places)
            if min(edges) < 0 or _short(corner, edges, max(0, across)) > _NOISE:
                return False
        return True

    def _has_volume(self, size: Steps) -> bool:
        volume_m3 = self.stand.demands.volume_m3 or 0.0
        return prod(size) >= volume_m3 / self.step_m**3 - _NOISE

    def passes(self, placed: Placed) -> bool:
        """Whether these places meet all that is asked of them in a box of this size."""
        centres, size = placed.centres, placed.size
        row_sums = self.stand.demands.row_sums
        return (
            all(_short_on_wall(pair, centres) <= _NOISE for pair in self.on_wall)
            and all(_short_from_corner(pair, centres, size) <= _NOISE for pair in self.round_corner)
            and all(self._fits(each, centres, size) for each in row_sums)
        )

    def tidied(self, placed: Placed) -> Placed:
        """Put each entry back to where it is drawn, along each axis where nothing is against it."""
        for place, drawn in enumerate(self.drawn(placed.size)):
            for axis, at in drawn.items():
                centres = list(placed.centres)
                centres[place] = {**centres[place], axis: at}
                moved = Placed(size=placed.size, centres=tuple(centres))
                placed = moved if self.passes(moved) else placed
        return placed

    def counted_along(self, placed: Placed, before: Along) -> Along:
        """What of the distance of each pair along its corner counts, in these places.

        Parameters
        ----------
        placed : Placed
        before : mapping
            What counted until now; nowhere more will. [1/FINE]
        """
        counted = dict(before)
        for pair in self.round_corner:
            edges, across = _from_corner(pair, placed.centres, placed.size)
            gap = _gap(pair, edges, across)
            if across:
                share = sqrt(max(0.0, gap**2 - hypot(*edges) ** 2)) / across
                first, second = (end.place for end in pair.ends)
                most = before.get((first, second), FINE) - (gap < pair.apart)
                counted[first, second] = max(0, min(most, int(FINE * share)))
        return counted

    def drawn(self, size: Steps) -> list[Centre]:
        """Where the entries are drawn, or next to it on their walls if these are smaller."""
        centres: list[Centre] = []
        for place, entry in enumerate(self.stand.case.entries):
            along = [axis for axis in range(3) if axis != axis_of(entry.wall)]
            centres.append(dict.fromkeys(along, 0))
            for axis, offset_m in zip(along, (entry.u_m, entry.v_m), strict=True):
                self._move(place, centres[-1], axis, round((offset_m or 0.0) / self.step_m), size)
        return centres

    def _move(self, place: int, centre: Centre, axis: int, by: int, size: Steps) -> None:
        """Move an entry along an axis as far as its wall goes."""
        reach = size[axis] // 2 - self.clear[place]
        centre[axis] = max(-reach, min(reach, centre[axis] + by))

    def _push_on_wall(self, pair: OnWall, centres: Sequence[Centre], size: Steps) -> bool:
        """Push two entries from each other; whether they were too near."""
        first, second = centres[pair.first], centres[pair.second]
        short = _short_on_wall(pair, centres)
        if short <= _NOISE:
            return False
        between = {axis: second[axis] - first[axis] for axis in first}
        ways = {axis: (between[axis] or 1) * size[axis] for axis in between}  # where there is room
        whole = hypot(*ways.values())
        for axis, way in ways.items():
            by = int(copysign(ceil(short / 2 * abs(way) / whole), way))
            self._move(pair.first, first, axis, -by, size)
            self._move(pair.second, second, axis, by, size)
        return True

    def _push_from_corner(self, pair: RoundCorner, centres: Sequence[Centre], size: Steps) -> bool:
        """Push two entries from the corner between their walls; whether they were too near."""
        short = _short_from_corner(pair, centres, size)
        if short <= _NOISE:
            return False
        for end in pair.ends:
            by = end.sign * max(1, ceil(short / 2))
            self._move(end.place, centres[end.place], end.axis, by, size)
        return True

    def _fits(self, row_sum: RowSum, centres: Sequence[Centre], size: Steps) -> bool:
        """Whether what the rows of a wall add up to goes into the box, along both directions."""
        places = [place for place, _ in row_sum.counts_m]
        sizes_m = [size_m for _, size_m in row_sum.counts_m]
        od_m = [2 * (self.stand.demands.radii_m[place] or 0.0) for place in places]
        length_m = size[axis_of(row_sum.wall)] * self.step_m + TOLERANCE_M
        for axis in (each for each in range(3) if each != axis_of(row_sum.wall)):
            offsets_m = [centres[place][axis] * self.step_m for place in places]
            rows = rows_of(offsets_m, od_m, linked=self.stand.demands.linked_rows)
            for place, row in zip(places, rows, strict=True):
                counted_m = [sizes_m[number] for number in row]
                asked_m = sum(counted_m) + (row_sum.factor - 1) * max(counted_m)
                if place in row_sum.turned and asked_m > length_m:
                    return False
        return True


def _short_on_wall(pair: OnWall, centres: Sequence[Centre]) -> float:
    """By how much two entries of a wall are too near; nothing or less: they aren't. [steps]"""
    first, second = centres[pair.first], centres[pair.second]
    return pair.apart - hypot(*(first[axis] - second[axis] for axis in first))


def _short_from_corner(pair: RoundCorner, centres: Sequence[Centre], size: Steps) -> float:
    """By how much two entries round a corner are too near; at most 0: they aren't. [steps]"""
    edges, across = _from_corner(pair, centres, size)
    if min(edges) < 0:
        return max(pair.apart - hypot(*edges, _beyond(pair, across)), 1.0)
    return _short(pair, edges, across)


def _short(pair: RoundCorner, edges: Sequence[float], across: float) -> float:
    """The same, of edges that lie on their walls."""
    short = pair.apart - hypot(*edges, _beyond(pair, across))
    if short <= 0:
        return 0.0  # surely: no need to measure
    if hypot(*edges, across) < pair.apart:
        return max(short, 1.0)  # too near by any measure
    return pair.apart - _gap(pair, edges, across)


def _beyond(pair: RoundCorner, across: float) -> float:
    """Least that two points of the circles can be apart along the corner. [steps]"""
    return max(0.0, across - sum(end.radius for end in pair.ends))


def _from_corner(
    pair: RoundCorner, centres: Sequence[Centre], size: Steps
) -> tuple[list[float], int]:
    """Distance of each edge from the corner, and of the centres along it. [steps]"""
    edges = [
        size[end.axis] / 2 + end.sign * centres[end.place][end.axis] - end.radius
        for end in pair.ends
    ]
    one, other = (centres[end.place][pair.along] for end in pair.ends)
    return edges, abs(one - other)


def _gap(pair: RoundCorner, edges: Sequence[float], across: float) -> float:
    """Least distance of the two circles. [steps]"""
    one, other = (
        (edge + end.radius, end.radius) for edge, end in zip(edges, pair.ends, strict=True)
    )
    return gap_round_corner_m(one, other, across)


def _round_corner(stand: Stand, pair: SpacingDemand, step_m: float) -> RoundCorner:
    walls = [stand.case.entries[place].wall for place in (pair.first, pair.second)]
    edge = 0.0 if stand.demands.between_centres else 1 / step_m
    first, second = (
        CornerEnd(
            place=place,
            axis=axis_of(wall),
            sign=1 if wall[0] == "-" else -1,
            radius=edge * (stand.demands.radii_m[place] or 0.0),
        )
        for place, wall in zip((pair.first, pair.second), reversed(walls), strict=True)
    )
    return RoundCorner(
        ends=(first, second),
        along=3 - first.axis - second.axis,
        apart=(pair.distance_m - TOLERANCE_M) / step_m,
    )
