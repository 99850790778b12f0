"""Which row of the old results is which of the new."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from modelcheck.changes.cells import listed
from modelcheck.model.change import MatchedBy, Results, Row
from modelcheck.model.finding import BOX_CHECKS

_HALF = 0.5  # share of their elements that two rows of a box must have in common
_ONE_A_BOX = ("cover-depth", "box-volume")
_OF_FEW = ("entry-spacing", "run-continuity", "bend-radius")  # another element: another row


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """A finding in the old results, the new, or both."""

    old: Row | None = None
    new: Row | None = None
    matched_by: MatchedBy = MatchedBy.NOTHING


def pairs_of(old: Results, new: Results, names: Mapping[str, str]) -> list[Pair]:
    """Pair the findings of two results: by id, by the same elements, by most of the elements.

    Parameters
    ----------
    old, new : Results
    names : mapping of str to str
        GlobalIds of `new` by those of `old` that they stand for, where these differ.
    """
    pairs: list[Pair] = []
    before, after = [*old.findings], [*new.findings]
    for matched in (_with_same_id, _with_same_elements, _with_most_elements):
        found = list(matched(before, after, names))
        pairs += [
            Pair(old=one, new=other, matched_by=_matched_by(one, other, names))
            for one, other in found
        ]
        before = _without(before, (one for one, _ in found))
        after = _without(after, (other for _, other in found))
    return [*pairs, *(Pair(old=row) for row in before), *(Pair(new=row) for row in after)]


def elements_of(row: Row, names: Mapping[str, str]) -> frozenset[str]:
    """GlobalIds of the elements of a row, by their new names."""
    return frozenset(names.get(guid, guid) for guid in listed(row, "element_guids"))


def subject_of(row: Row, names: Mapping[str, str]) -> str:
    """GlobalId of the subject of a row, by its new name."""
    return names.get(row["subject_guid"], row["subject_guid"])


def _without(rows: Sequence[Row], taken: Iterable[Row]) -> list[Row]:
    ids = {row["finding"] for row in taken}
    return [row for row in rows if row["finding"] not in ids]


def _matched_by(old: Row, new: Row, names: Mapping[str, str]) -> MatchedBy:
    if old["finding"] == new["finding"]:
        return MatchedBy.ID
    guids = {old["subject_guid"], *listed(old, "element_guids")}
    return MatchedBy.PLACE if guids & names.keys() else MatchedBy.ELEMENTS


def _with_same_id(
    old: Sequence[Row], new: Sequence[Row], _: Mapping[str, str]
) -> Iterator[tuple[Row, Row]]:
    by_id = {row["finding"]: row for row in new}
    return ((row, by_id[row["finding"]]) for row in old if row["finding"] in by_id)


def _with_same_elements(
    old: Sequence[Row], new: Sequence[Row], names: Mapping[str, str]
) -> Iterator[tuple[Row, Row]]:
    by_key = defaultdict(list)
    for row in new:
        by_key[row["check"], row["subject_guid"], elements_of(row, {})].append(row)
    for row in old:
        alike = by_key.get((row["check"], subject_of(row, names), elements_of(row, names)))
        if alike:
            yield row, alike.pop(0)


def _with_most_elements(
    old: Sequence[Row], new: Sequence[Row], names: Mapping[str, str]
) -> Iterator[tuple[Row, Row]]:
    """Pair rows that have most in common, the likest first.

    Of a box they must share half of their entries; of runs, which share no elements, any.
    """
    groups: dict[tuple[str, str], list[Row]] = defaultdict(list)
    for row in new:
        for key in _groups_of(row, {}):
            groups[key].append(row)
    likeness = {
        (row["finding"], other["finding"]): (_likeness(row, other, names), row, other)
        for row in old
        for key in _groups_of(row, names)
        for other in groups.get(key, ())
    }
    taken: set[str] = set()
    order = sorted(likeness.items(), key=lambda each: (-each[1][0], each[0]))
    for (first, second), (share, row, other) in order:
        is_enough = share >= _HALF or row["check"] not in BOX_CHECKS
        if is_enough and first not in taken and f"new {second}" not in taken:
            taken |= {first, f"new {second}"}
            yield row, other


def _groups_of(row: Row, names: Mapping[str, str]) -> list[tuple[str, str]]:
    """What rows must have in common to be looked at: the box, or an element of the run."""
    check = row["check"]
    if check in _OF_FEW:
        return []
    guids = [subject_of(row, names)] if check in BOX_CHECKS else elements_of(row, names)
    return [(check, guid) for guid in guids]


def _likeness(old: Row, new: Row, names: Mapping[str, str]) -> float:
    """Share of the elements that two rows have in common."""
    if old["check"] in _ONE_A_BOX:
        return 1.0
    first, second = elements_of(old, names), elements_of(new, {})
    return len(first & second) / max(1, len(first | second))
