"""Everything that changed from one check to the next."""

from __future__ import annotations

from collections import Counter

from modelcheck.changes.cells import amount, number
from modelcheck.changes.differences import notes_of
from modelcheck.changes.matching import Pair, pairs_of
from modelcheck.changes.reasons import Reasons
from modelcheck.changes.renamed import renamed
from modelcheck.model.change import Change, ChangeKind, Changes, MatchedBy, Results, Row

_RANK = {kind: place for place, kind in enumerate(ChangeKind)}
_WORST = ("fail", "needs-input", "pass", "")


def compare(old: Results, new: Results) -> Changes:
    """Say what became of each finding of `old`, and which of `new` are new.

    Parameters
    ----------
    old, new : Results
    """
    names = renamed(old, new)
    reasons = Reasons(old, new, names)
    rows = sorted((_change(pair, reasons) for pair in pairs_of(old, new, names)), key=_place)
    kinds = Counter(row.kind for row in rows)
    return Changes(
        since=old.name,
        rows=tuple(row for row in rows if row.kind is not ChangeKind.SAME),
        same=kinds[ChangeKind.SAME],
        notes=(*notes_of(old, new), *_on_matching(rows)),
    )


def _place(row: Change) -> tuple[object, ...]:
    """What fails anew, then by outcome, then by what became of it."""
    worst = (not row.is_new_fail, _WORST.index(row.outcome), _RANK[row.kind])
    return (*worst, row.model, row.check, row.subject_name, row.finding)


def _on_matching(rows: list[Change]) -> list[str]:
    count = sum(row.matched_by is MatchedBy.PLACE for row in rows)
    if not count:
        return []
    return [
        f"Other GlobalIds: {count} of the rows were found again by place and size,"
        " not by GlobalId; look at them before you rely on it."
    ]


def _change(pair: Pair, reasons: Reasons) -> Change:
    old, new = pair.old, pair.new
    row = new or old
    assert row is not None
    moved_m = None if old is None or new is None else reasons.moved_m(old, new)
    unit = row["unit"]
    kind = _kind(old, new, is_moved=moved_m is not None)
    return Change(
        kind=kind,
        finding=row["finding"],
        old_finding=old["finding"] if old and old["finding"] != row["finding"] else "",
        matched_by=pair.matched_by,
        model=row["model"],
        check=row["check"],
        subject_guid=row["subject_guid"],
        subject_name=row["subject_name"],
        old_outcome=old["outcome"] if old else "",
        outcome=new["outcome"] if new else "",
        old_required=amount(old, "required", unit) if old else None,
        required=amount(new, "required", unit) if new else None,
        old_provided=amount(old, "provided", unit) if old else None,
        provided=amount(new, "provided", unit) if new else None,
        unit=unit,
        moved_m=moved_m,
        why=reasons.of(pair) if kind is not ChangeKind.SAME else (),
        message=row["message"],
        storey=row.get("storey", ""),
        grid=row.get("grid", ""),
        at=(number(row, "x_m"), number(row, "y_m"), number(row, "z_m")),
    )


def _kind(old: Row | None, new: Row | None, *, is_moved: bool) -> ChangeKind:
    if old is None:
        return ChangeKind.NEW
    if new is None:
        return ChangeKind.GONE
    if old["outcome"] != new["outcome"]:
        return ChangeKind.VERDICT
    if new["outcome"] != "pass":
        return ChangeKind.OPEN
    return ChangeKind.MOVED if is_moved else ChangeKind.SAME
