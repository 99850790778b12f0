"""Which GlobalIds of the new results stand for those of the old, told by place and size.

Some exporters give every element another GlobalId each time. A box is known again by its middle
and its inside size, a conduit by where it enters such a box, the elements of a run by the ends and
the size of the run.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import dist

from modelcheck.changes.cells import Place, apart_on_wall_mm, listed, place, sizes
from modelcheck.model.change import Results, Row

_NEAR_M = 0.005
_SAME_MM = 1.0


def renamed(old: Results, new: Results) -> dict[str, str]:
    """GlobalIds of `new` by those of `old` that are in no row of `new`.

    Parameters
    ----------
    old, new : Results
    """
    gone, come = _guids(old) - _guids(new), _guids(new) - _guids(old)
    names = _boxes(old.boxes, new.boxes, gone, come)
    names |= _conduits(old.entries, new.entries, names, gone, come)
    for guid, other in _run_elements(old.runs, new.runs):
        if guid in gone and other in come:
            names.setdefault(guid, other)
    return names


def _guids(results: Results) -> set[str]:
    own = {row["box_guid"] for row in results.boxes}
    own |= {row["conduit_guid"] for row in results.entries}
    for row in (*results.runs, *results.findings):
        own.update(listed(row, "element_guids"))
    return own | {row["subject_guid"] for row in results.findings}


def _boxes(
    old: Iterable[Row], new: Iterable[Row], gone: set[str], come: set[str]
) -> dict[str, str]:
    """Pair boxes of one place and size, the nearest first."""
    there = [(at, box) for box in new if box["box_guid"] in come and (at := place(box))]
    places = _Places(there)
    pairs = sorted(
        (apart, box["box_guid"], other["box_guid"])
        for box in old
        if box["box_guid"] in gone
        for apart, other in places.near(place(box))
        if _are_alike(box, other)
    )
    return _one_to_one((first, second) for _, first, second in pairs)


def _are_alike(one: Row, other: Row) -> bool:
    """Whether two boxes have the same inside, whichever of its axes comes first."""
    first, second = (
        sorted(size for size in sizes(box) if size is not None) for box in (one, other)
    )
    return len(first) == len(second) and all(
        abs(a - b) <= _SAME_MM for a, b in zip(first, second, strict=True)
    )


def _conduits(
    old: Iterable[Row],
    new: Iterable[Row],
    boxes: Mapping[str, str],
    gone: set[str],
    come: set[str],
) -> dict[str, str]:
    """Pair conduits that enter the same box at the same place of its walls."""
    of_box: dict[str, list[Row]] = defaultdict(list)
    for entry in new:
        if entry["conduit_guid"] in come:
            of_box[entry["box_guid"]].append(entry)
    pairs = sorted(
        (apart, first["conduit_guid"], second["conduit_guid"])
        for first in old
        if first["conduit_guid"] in gone
        for second in of_box[boxes.get(first["box_guid"], first["box_guid"])]
        if _is_same_entry(first, second)
        if (apart := apart_on_wall_mm(first, second)) is not None and apart <= _SAME_MM
    )
    return _one_to_one((first, second) for _, first, second in pairs)


def _is_same_entry(one: Row, other: Row) -> bool:
    return all(one[column] == other[column] for column in ("wall", "trade_size_in"))


def _run_elements(old: Sequence[Row], new: Sequence[Row]) -> Iterable[tuple[str, str]]:
    """Pair the elements of runs with the same ends, size and number of elements, in order.

    The order of the GlobalIds says from which end a run is read: it may be the other one now.
    """
    starts = _Places([(at, run) for run in new if (at := place(run))])
    ends = _Places([(at, run) for run in new if (at := place(run, "end_"))])
    for run in old:
        guids, far = listed(run, "element_guids"), place(run, "end_")
        for places, other_end, way in ((starts, "end_", 1), (ends, "", -1)):
            for _, other in places.near(place(run)):
                others = listed(other, "element_guids")[::way]
                if _is_same_run(run, other) and _is_near(far, place(other, other_end)):
                    yield from zip(guids, others, strict=True)


def _is_same_run(one: Row, other: Row) -> bool:
    same = ("raceway_type", "trade_size_in", "bend_count")
    counts = [len(listed(run, "element_guids")) for run in (one, other)]
    return counts[0] == counts[1] and all(one[column] == other[column] for column in same)


def _is_near(one: Place | None, other: Place | None) -> bool:
    return one is not None and other is not None and dist(one, other) <= _NEAR_M


class _Places:
    """Rows in the order of their places, to look for near ones."""

    def __init__(self, rows: Iterable[tuple[Place, Row]]) -> None:
        self._rows = sorted(rows, key=lambda each: each[0])
        self._xs = [at[0] for at, _ in self._rows]

    def near(self, at: Place | None) -> Iterator[tuple[float, Row]]:
        """Rows near `at`, with how far they are from it. [m]"""
        if at is None:
            return
        first = bisect_left(self._xs, at[0] - _NEAR_M)
        for other, row in self._rows[first : bisect_right(self._xs, at[0] + _NEAR_M)]:
            if (apart := dist(at, other)) <= _NEAR_M:
                yield apart, row


def _one_to_one(pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Take the first pair of each."""
    names: dict[str, str] = {}
    taken: set[str] = set()
    for first, second in pairs:
        if first not in names and second not in taken:
            names[first] = second
            taken.add(second)
    return names
