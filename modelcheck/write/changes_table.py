"""What changed since an earlier check: ``changes.csv``, and the same on the terminal."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Console

from modelcheck.model.change import Change, ChangeKind, Changes
from modelcheck.units import from_metres
from modelcheck.write import words
from modelcheck.write.csv_tables import Table, number, quantity, text_cell
from modelcheck.write.terminal import (
    MOST_ROWS,
    amount,
    cut,
    long_text,
    new_table,
    say,
    short_text,
)

CHANGES = "changes.csv"
_COLUMNS = (
    "change finding old_finding matched_by model check subject_guid subject_name old_outcome "
    "outcome old_required required old_provided provided unit moved_mm why message storey grid "
    "x_m y_m z_m"
)


def changes_table(changes: Changes) -> Table:
    """Every row that isn't the same, what concerns the eye first."""
    return Table(
        file=CHANGES,
        columns=_COLUMNS.split(),
        records=changes.rows,
        cells=_cells,
    )


def _cells(row: Change) -> dict[str, str]:
    moved_mm = None if row.moved_m is None else from_metres(row.moved_m, "mm")
    return {
        "change": row.kind,
        "finding": row.finding,
        "old_finding": row.old_finding,
        "matched_by": row.matched_by,
        "model": text_cell(row.model),
        "check": row.check,
        "subject_guid": row.subject_guid,
        "subject_name": text_cell(row.subject_name),
        "old_outcome": row.old_outcome,
        "outcome": row.outcome,
        "old_required": quantity(row.old_required, row.unit),
        "required": quantity(row.required, row.unit),
        "old_provided": quantity(row.old_provided, row.unit),
        "provided": quantity(row.provided, row.unit),
        "unit": row.unit,
        "moved_mm": number(moved_mm, 0),
        "why": text_cell("; ".join(row.why)),
        "message": text_cell(row.message),
        "storey": text_cell(row.storey),
        "grid": text_cell(row.grid),
        **{f"{axis}_m": number(value, 3) for axis, value in zip("xyz", row.at, strict=True)},
    }


def print_changes(console: Console, changes: Changes) -> None:
    """Print what changed, what concerns the eye first."""
    counts = ", ".join(f"{words.CHANGE_WORDS[kind]} {changes.count(kind)}" for kind in ChangeKind)
    head = words.CHANGES_HEAD.format(since=short_text(changes.since), counts=counts)
    say(console, head, style="bold")
    if changes.new_fails:
        say(console, words.NEW_FAILS.format(count=len(changes.new_fails)))
    for note in changes.notes:
        say(console, long_text(note), indent=2)
    if changes.rows:
        table = new_table(words.CHANGES_TITLE, words.CHANGES_COLUMNS)
        for row in changes.rows[:MOST_ROWS]:
            table.add_row(*_told(row))
        console.print(cut(table, len(changes.rows), file=CHANGES))


def _told(row: Change) -> Iterator[str]:
    yield words.CHANGE_WORDS[row.kind]
    yield short_text(row.subject_name or row.subject_guid)
    yield row.check
    yield _verdict(row.old_outcome, row.old_required, row.old_provided, row.unit)
    yield _verdict(row.outcome, row.required, row.provided, row.unit)
    yield long_text("; ".join(row.why))


def _verdict(outcome: str, required: float | None, provided: float | None, unit: str) -> str:
    """Outcome with what there is of what is needed; empty where there was no row."""
    if not outcome:
        return ""
    amounts = [amount(value, unit) or "?" for value in (provided, required)]
    known = f": {amounts[0]} of {amounts[1]}" if (required, provided) != (None, None) else ""
    return f"{words.OUTCOME_WORDS[outcome]}{known}"
