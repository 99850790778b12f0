"""Rows of raceways on a wall."""

from __future__ import annotations

from collections.abc import Sequence

FLOAT_NOISE_M = 1e-9


def in_line(first: int, second: int, offsets_m: Sequence[float], od_m: Sequence[float]) -> bool:
    """Whether two entries are out of line by at most half the smaller outside diameter.

    Parameters
    ----------
    first, second : int
        Places in the two sequences.
    offsets_m : sequence of float, shape (n,)
        Centres across the direction of the row. [m]
    od_m : sequence of float, shape (n,)
        Outside diameters. [m]
    """
    reach = min(od_m[first], od_m[second]) / 2
    return abs(offsets_m[first] - offsets_m[second]) <= reach + FLOAT_NOISE_M


def rows_of(
    offsets_m: Sequence[float], od_m: Sequence[float], *, linked: bool
) -> tuple[frozenset[int], ...]:
    """Group the entries of a wall to rows along one direction.

    Parameters
    ----------
    offsets_m : sequence of float, shape (n,)
        Centres across the direction of the row. [m]
    od_m : sequence of float, shape (n,)
        Outside diameters. [m]
    linked : bool
        True: a row is everything linked through neighbours; False: a row is what is in line with
        one of its entries.

    Returns
    -------
    tuple of frozenset of int
        The row of each entry, in their order.
    """
    everyone = range(len(offsets_m))
    near = [
        frozenset(other for other in everyone if in_line(entry, other, offsets_m, od_m))
        for entry in everyone
    ]
    return tuple(_grown(entry, near) for entry in everyone) if linked else tuple(near)


def _grown(entry: int, near: Sequence[frozenset[int]]) -> frozenset[int]:
    row, fresh = {entry}, {entry}
    while fresh:
        fresh = set().union(*(near[each] for each in fresh)) - row
        row |= fresh
    return frozenset(row)
