"""Inside sizes that pass with the entries where they are, whatever is told of them afterwards.

The middle of the inside stays where it is, opposite walls move alike, and each entry keeps its
place in space across its conduit. So an entry keeps its `u` and `v`, and a size that is put into
the settings gives the rows that were promised here.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import prod
from operator import ge

from modelcheck.geometry.wall_gaps import RoundCorner
from modelcheck.layout.least import Scale, Steps, least_length, least_lengths, step_up
from modelcheck.layout.stand import TOLERANCE_M, Lengths, Stand
from modelcheck.model.demand import SpacingDemand
from modelcheck.units import to_metres

_SHALLOWER_M = to_metres(2.0, "mm")  # by which an untold cover's dimension stays the least


def least_in_place(stand: Stand, drawn: Lengths, step_m: float, *, keep: bool) -> Lengths | None:
    """Size of least inside volume that meets what is asked; None if none does.

    Parameters
    ----------
    stand : Stand
    drawn : tuple of float, shape (3,)
        Inside as it is. [m]
    step_m : float
        Of sizes. [m]
    keep : bool
        Whether no length may be less than it is.
    """
    floor_m = _floor(stand, drawn, keep=keep)
    corners = _Corners.of(stand)
    x_m, y_m, z_m = (
        each if each in drawn else step_up(each, step_m) for each in floor_m
    )  # what is drawn may lie between two steps
    scale = Scale(first_m=(x_m, y_m, z_m), step_m=step_m)
    found = least_lengths(scale, _most(stand, step_m), corners.are_apart, bounds=corners.bounds_m)
    volume_m3 = stand.demands.volume_m3 or 0.0
    if found is None or prod(found) >= volume_m3:
        return found
    depth = stand.demands.depth_axis
    deeper_m = step_up(volume_m3 / prod(found) * found[depth], step_m)
    return with_length(found, depth, deeper_m)


def square_in_place(
    stand: Stand, drawn: Lengths, least: Lengths | None, step_m: float
) -> Lengths | None:
    """Least box of two equal sides round its depth, as deep as the least one."""
    if least is None:
        return None
    depth = stand.demands.depth_axis
    sides = [axis for axis in range(3) if axis != depth]
    floor_m = _floor(stand, drawn, keep=False)
    first_m = step_up(max(floor_m[axis] for axis in sides), step_m)

    def square(side_m: float) -> Lengths:
        x_m, y_m, z_m = (least[axis] if axis == depth else side_m for axis in range(3))
        return (x_m, y_m, z_m)

    most_m = max(*(least[axis] for axis in sides), first_m) + step_m
    side_m = least_length(first_m, most_m, step_m, lambda length_m: stand.meets(square(length_m)))
    return square(side_m)


def listed_in_place(stand: Stand, drawn: Lengths, sizes_m: tuple[Lengths, ...]) -> Lengths | None:
    """Size of the list that has the least volume of those that pass, either way round."""
    least_m = [_room_m(stand, axis, drawn[axis]) - TOLERANCE_M for axis in range(3)]
    for size_m in _by_volume(sizes_m, stand.demands.depth_axis):
        if all(map(ge, size_m, least_m)) and stand.meets(size_m):
            return size_m
    return None


@lru_cache(maxsize=3)  # of one list, for each depth
def _by_volume(sizes_m: tuple[Lengths, ...], depth: int) -> tuple[Lengths, ...]:
    """Two sides and depth along the axes, either way round, the least volume first."""
    one, other = (axis for axis in range(3) if axis != depth)
    sizes = []
    for side_m, other_m, depth_m in sizes_m:
        for sides in ((side_m, other_m), (other_m, side_m)):
            by_axis = {one: sides[0], other: sides[1], depth: depth_m}
            sizes.append((by_axis[0], by_axis[1], by_axis[2]))
    return tuple(sorted(sizes, key=lambda size_m: (prod(size_m), size_m)))


def with_length(inside_m: Lengths, axis: int, length_m: float) -> Lengths:
    """Give a size with another length along one axis."""
    x_m, y_m, z_m = (length_m if each == axis else inside_m[each] for each in range(3))
    return (x_m, y_m, z_m)


def _floor(stand: Stand, drawn: Lengths, *, keep: bool) -> Lengths:
    """Least that each axis may be: by its rows, and as drawn (`keep`) or by the room of entries."""
    x_m, y_m, z_m = (
        max(drawn[axis] if keep else _room_m(stand, axis, drawn[axis]), asked_m)
        for axis in range(3)
        for asked_m in [_asked_m(stand, axis)]
    )
    floor_m = (x_m, y_m, z_m)
    return floor_m if keep or stand.case.enclosure.cover else _deepest_last(stand, floor_m)


def _deepest_last(stand: Stand, floor_m: Lengths) -> Lengths:
    """Keep the dimension that an untold cover is taken to lie on the shallowest."""
    depth = stand.demands.depth_axis
    drawn = stand.case.enclosure.inside_m
    x_m, y_m, z_m = (
        each
        if axis == depth
        else min(drawn[axis] or each, max(each, floor_m[depth] + _SHALLOWER_M))
        for axis, each in enumerate(floor_m)
    )
    return (max(x_m, floor_m[0]), max(y_m, floor_m[1]), max(z_m, floor_m[2]))


def _asked_m(stand: Stand, axis: int) -> float:
    asked = [each.length_m - TOLERANCE_M for each in stand.demands.lengths if each.axis == axis]
    return max(asked, default=0.0)


def _room_m(stand: Stand, axis: int, drawn_m: float) -> float:
    """Length that the locknuts need where they are, at most what is drawn."""
    needed_m = stand.room_m[axis]
    return drawn_m if needed_m is None else min(drawn_m, needed_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Corners:
    """Entries round a corner from each other, and how far apart they must be."""

    gaps: tuple[tuple[RoundCorner, float], ...]
    by_axis: tuple[list[tuple[RoundCorner, float]], ...]  # those that an axis takes apart

    @classmethod
    def of(cls, stand: Stand) -> _Corners:
        gaps = tuple(
            (gap, pair.distance_m - TOLERANCE_M)
            for pair, gap in stand.gaps
            if isinstance(gap, RoundCorner)
        )
        by_axis = tuple(
            [each for each in gaps if axis in (each[0].one_axis, each[0].other_axis)]
            for axis in range(3)
        )
        return cls(gaps=gaps, by_axis=by_axis)

    def are_apart(self, inside_m: Lengths) -> bool:
        """Whether every pair is in a box so large."""
        return all(gap.reaches(distance_m, inside_m) for gap, distance_m in self.gaps)

    def bounds_m(self, axis: int, inside_m: Lengths) -> tuple[float, float]:
        """Length of an axis that is too short for a pair, and one that is enough for all."""
        too_short_m = enough_m = 0.0
        for gap, distance_m in self.by_axis[axis]:
            least_m, most_m = gap.bounds_m(distance_m, axis, inside_m)
            too_short_m, enough_m = max(too_short_m, least_m), max(enough_m, most_m)
        return too_short_m, enough_m


def _most(stand: Stand, step_m: float) -> Steps:
    """Steps up that take every two entries round a corner apart, whatever the other axes are."""
    x, y, z = (
        max(
            (
                int(2 * (pair.distance_m + _extent_m(stand, pair)) / step_m) + 1
                for pair, gap in stand.gaps
                if isinstance(gap, RoundCorner) and axis in (gap.one_axis, gap.other_axis)
            ),
            default=0,
        )
        for axis in range(3)
    )
    return (x, y, z)


def _extent_m(stand: Stand, pair: SpacingDemand) -> float:
    ends = (pair.first, pair.second)
    places = [stand.case.entries[place] for place in ends]
    offsets = [abs(each or 0.0) for entry in places for each in (entry.u_m, entry.v_m)]
    return sum(offsets) + sum(stand.demands.radii_m[place] or 0.0 for place in ends)
