"""Sizes of a box that pass with its entries where they are, as rows of fixes.csv."""

from __future__ import annotations

from collections.abc import Sequence

from modelcheck.geometry.wall_gaps import OnOneWall
from modelcheck.layout.in_place import (
    least_in_place,
    listed_in_place,
    square_in_place,
    with_length,
)
from modelcheck.layout.means import LOCKNUTS, Means, drawn_size, remaining, told
from modelcheck.layout.stand import TOLERANCE_M, Lengths, Stand
from modelcheck.model.demand import SpacingDemand
from modelcheck.model.fix import Fix

IN_PLACE = "entries stay where they are from the middle of their wall, opposite walls move alike"


def size_fixes(stand: Stand, means: Means, *, pairing: str) -> tuple[Fix, ...]:
    """Sizes that pass with the entries where they are; why there is none, where there is none.

    Parameters
    ----------
    stand : Stand
    means : Means
    pairing : str
        Under which pairing of its entries the box is asked, in words.
    """
    drawn, missing = drawn_size(stand)
    if drawn is None:
        return (told(stand, "enlarged", pairing, f"no size can be proposed: {missing}"),)
    stuck = [
        pair
        for pair, gap in stand.gaps
        if isinstance(gap, OnOneWall) and not gap.reaches(pair.distance_m - TOLERANCE_M, drawn)
    ]
    if stuck:
        return (told(stand, "enlarged", pairing, _stuck_message(stand, stuck)),)
    least = least_in_place(stand, drawn, means.step_m, keep=False)
    room = (LOCKNUTS, *stand.clearance_notes())
    sizes: list[tuple[str, Lengths | None, tuple[str, ...]]] = [
        ("least in place", least, (IN_PLACE, *room)),
        ("least square", square_in_place(stand, drawn, least, means.step_m), (IN_PLACE, *room)),
        (
            "next standard",
            listed_in_place(stand, drawn, means.sizes_m),
            (IN_PLACE, means.sizes_note),
        ),
    ]
    if not stand.meets(drawn):
        enlarged = least_in_place(stand, drawn, means.step_m, keep=True)
        sizes.insert(0, ("enlarged", enlarged, (IN_PLACE,)))
    return tuple(
        _fix(stand, change, size_m, means, pairing=pairing, assumptions=notes)
        for change, size_m, notes in sizes
    )


def governing(stand: Stand, inside_m: Lengths, step_m: float) -> tuple[list[str], list[str]]:
    """Rows that a size one step less along some axis would fail, and their arithmetic."""
    rows: dict[str, str] = {}
    for axis in range(3):
        less = with_length(inside_m, axis, inside_m[axis] - step_m)
        rows |= {short.row: short.working for short in stand.shortfalls(less)}
    return list(rows), list(rows.values())


def _stuck_message(stand: Stand, stuck: Sequence[SpacingDemand]) -> str:
    pairs = [
        f"{stand.demands.names[each.first]} and {stand.demands.names[each.second]} ({each.working})"
        for each in stuck
    ]
    return (
        "no size of the box helps entries of one wall that are too near to each other: move"
        f" {' or '.join(pairs)} apart, or say in a pull schedule that they share no conductors"
    )


def _fix(
    stand: Stand,
    change: str,
    size_m: Lengths | None,
    means: Means,
    *,
    pairing: str,
    assumptions: tuple[str, ...],
) -> Fix:
    if size_m is None:
        where = "none of the sizes to choose from" if change == "next standard" else "no size"
        return told(stand, change, pairing, f"{where} passes with the entries where they are")
    failing, unsure = remaining(stand.ruled.outcomes(size_m))
    if failing:
        return told(stand, change, pairing, f"no size was found: {failing} would still fail")
    rows, working = governing(stand, size_m, means.step_m)
    return Fix(
        box=stand.case.enclosure.ref,
        change=change,
        pairing=pairing,
        before_m=stand.case.enclosure.inside_m,
        after_m=size_m,
        governing=tuple(rows),
        working=tuple(working),
        assumptions=assumptions,
        message=_advice(change)
        + (f"; still to be told before it can pass: {unsure}" if unsure else ""),
    )


def _advice(change: str) -> str:
    return {
        "enlarged": "enlarge the box as drawn to this inside size",
        "least in place": "no box with a smaller inside volume passes",
        "least square": "the least box of two equal sides",
        "next standard": "the smallest of the sizes to choose from",
    }[change]
