"""Centres of the entries on their walls in the least box that passes, with a lower bound."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil, prod

from modelcheck.layout.least import Scale, least_lengths
from modelcheck.layout.settle import Along, Placed, Settler, Steps
from modelcheck.layout.stand import TOLERANCE_M, Lengths, Stand
from modelcheck.model.demand import LengthDemand
from modelcheck.model.element import axis_of
from modelcheck.model.pull import BoxCase
from modelcheck.units import Unit, to_metres

STEPS: dict[Unit, float] = {"mm": to_metres(1.0, "mm"), "in": to_metres(0.05, "in")}
_GROWTH, _MOST_GROWTH = 1.1, 40  # of each length at a time, and how often
_ATTEMPTS, _FEW = 6, 6  # searches; entries that these need no start for


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """An inside size with a place for every entry, and how good it can be known to be."""

    inside_m: Lengths
    centres_m: tuple[tuple[float, float], ...]  # of each entry, from the middle of its wall
    least_volume_m3: float  # no placement has less

    @property
    def excess(self) -> float:
        """By how much the volume may be above the least, as a share of the least."""
        return max(0.0, prod(self.inside_m) / self.least_volume_m3 - 1)

    def of(self, case: BoxCase) -> BoxCase:
        """Return the box with this size and its entries in these places."""
        entries = tuple(
            replace(entry, u_m=u_m, v_m=v_m)
            for entry, (u_m, v_m) in zip(case.entries, self.centres_m, strict=True)
        )
        enclosure = replace(case.enclosure, inside_m=self.inside_m)
        return replace(case, enclosure=enclosure, entries=entries)


def place_entries(stand: Stand, unit: Unit) -> Placement | None:
    """Place the entries in the least box; None if no placement was found.

    First the least box is tried that holds what its rows, its widest locknuts and every two entries
    alone ask: if all entries have places in it, nothing is less. Else the size is searched with
    the places.

    Parameters
    ----------
    stand : Stand
        With every entry of a known size.
    unit : {"mm", "in"}
        Of the results: sizes go by 2 mm or 0.1 in, places by half of that.
    """
    settler = Settler.of(stand, STEPS[unit])
    low = _least(settler)
    high = _most(settler, low)
    least = _least_by_pairs(settler, low, high)
    bound = prod(least)
    placed = settler.settled(least)
    if placed is None:
        placed, bound = _searched(settler, low, high, bound)
    return None if placed is None else _placement(settler, settler.tidied(placed), bound)


def _least_by_pairs(settler: Settler, low: Steps, high: Steps) -> Steps:
    """Least box that has the volume, and in which every two entries alone would have places.

    Of two boxes of one volume the less deep.
    """
    depth = settler.stand.demands.depth_axis
    order = sorted(range(3), key=lambda axis: axis != depth)

    def size_of(lengths: Lengths) -> Steps:
        by_axis = dict(zip(order, lengths, strict=True))
        return (round(by_axis[0]), round(by_axis[1]), round(by_axis[2]))

    first, second, third = (float(low[axis]) for axis in order)
    more = [(high[axis] - low[axis]) // 2 for axis in order]
    found = least_lengths(
        Scale(first_m=(first, second, third), step_m=2.0),  # in steps: sizes are even
        (more[0], more[1], more[2]),
        lambda lengths: settler.could_hold(size_of(lengths)),
    )
    return low if found is None else size_of(found)


def _searched(settler: Settler, low: Steps, high: Steps, bound: int) -> tuple[Placed | None, int]:
    """Search the size with the places; with the volume that none has less than.

    Where what is found passes but for entries round a corner, less of their distance along it
    counts the next time.
    """
    from modelcheck.layout.placement_solver import least_box  # noqa: PLC0415 - loads slowly

    many = len(settler.clear) > _FEW
    best = _grown(settler, low) if many else None
    along: Along = {}
    for attempt in range(_ATTEMPTS):
        found = least_box(settler, low, high, along, least_volume=bound, start=best)
        if attempt == 0:
            bound = max(bound, found.least_volume)
        if found.placed is None:
            break
        if settler.passes(found.placed):
            best = _less(best, found.placed)
        if best is not None and prod(best.size) <= max(bound, prod(found.placed.size)):
            break
        along = settler.counted_along(found.placed, along)
    return best or _grown(settler, low), bound


def _less(one: Placed | None, other: Placed | None) -> Placed | None:
    known = [each for each in (one, other) if each is not None]
    return min(known, key=lambda each: prod(each.size), default=None)


def _grown(settler: Settler, low: Steps) -> Placed | None:
    """Grow a box until the quick way finds places, then shrink it axis by axis, its depth first."""
    for growth in range(_MOST_GROWTH):
        x, y, z = (2 * ceil(length * _GROWTH**growth / 2) for length in low)
        placed = settler.settled((x, y, z))
        if placed is not None:
            break
    else:
        return None
    depth = settler.stand.demands.depth_axis
    for axis in sorted(range(3), key=lambda each: each != depth):
        least, most = low[axis] // 2, placed.size[axis] // 2
        while least < most:
            middle = (least + most) // 2
            x, y, z = (2 * middle if axis == each else placed.size[each] for each in range(3))
            smaller = settler.settled((x, y, z))
            if smaller is None:
                least = middle + 1
            else:
                most, placed = middle, smaller
    return placed


def _least(settler: Settler) -> Steps:
    x, y, z = (
        2 * ceil(_asked_m(settler.stand, axis) / settler.step_m / 2 - 1e-6) for axis in range(3)
    )
    return (x, y, z)


def _asked_m(stand: Stand, axis: int) -> float:
    rows = [
        row_sum.factor * max(size for place, size in row_sum.counts_m if place in row_sum.turned)
        for row_sum in stand.demands.row_sums
        if axis_of(row_sum.wall) == axis and row_sum.turned
    ]
    lengths = [each.length_m for each in stand.demands.lengths if _is_fixed(each, axis)]
    room_m = [
        2 * stand.clearance_m(place)
        for place, entry in enumerate(stand.case.entries)
        if axis_of(entry.wall) != axis
    ]
    drawn_m = stand.case.enclosure.inside_m[axis] or 0.0  # kept where nothing bears on it
    return max([*(each - TOLERANCE_M for each in (*rows, *lengths)), *room_m], default=drawn_m)


def _is_fixed(demand: LengthDemand, axis: int) -> bool:
    return demand.axis == axis and not demand.by_rows


def _most(settler: Settler, low: Steps) -> Steps:
    """Lengths in which the entries surely have places: all in one line, fully spread."""
    stand, step_m = settler.stand, settler.step_m
    furthest_m = max((each.distance_m for each in stand.demands.spacings), default=0.0)
    spread_m = sum(
        2 * stand.clearance_m(place) + furthest_m for place in range(len(stand.case.entries))
    )
    sums_m = [
        row.factor * max(size for _, size in row.counts_m) + sum(size for _, size in row.counts_m)
        for row in stand.demands.row_sums
    ]
    more = ceil((spread_m + max(sums_m, default=0.0)) / step_m / 2) * 2
    volume = ceil((stand.demands.volume_m3 or 0.0) ** (1 / 3) / step_m) * 2
    x, y, z = (each + max(more, volume) for each in low)
    return (x, y, z)


def _placement(settler: Settler, placed: Placed, bound: int) -> Placement:
    step_m = settler.step_m
    x_m, y_m, z_m = (length * step_m for length in placed.size)
    return Placement(
        inside_m=(x_m, y_m, z_m),
        centres_m=tuple(
            (centre[min(centre)] * step_m, centre[max(centre)] * step_m)
            for centre in placed.centres
        ),
        least_volume_m3=bound * step_m**3,
    )
