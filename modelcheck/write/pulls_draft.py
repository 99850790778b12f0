"""The draft of a pull schedule, as the file that is corrected and fed back."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console

from modelcheck.model.pull import ScheduleRow
from modelcheck.write.csv_tables import table_text, text_cell
from modelcheck.write.new_file import write_new_file
from modelcheck.write.terminal import long_text, say
from modelcheck.write.words import DRAFT_WRITTEN, NOTHING_DRAFTED

_COLUMNS = "pull conductor_size insulation count route system why"


def write_draft(rows: Sequence[tuple[ScheduleRow, str]], out: Path) -> None:
    """Write rows and why each was drafted to `out`, whole or not at all; what is there stays.

    Parameters
    ----------
    rows : sequence of (ScheduleRow, str)
    out : Path

    Raises
    ------
    OutputError
        If something else is there, or nothing can be written there.
    """
    cells = (
        {
            "pull": row.pull,
            "conductor_size": row.conductors.size,
            "insulation": row.conductors.insulation,
            "count": "" if row.conductors.count is None else str(row.conductors.count),
            "route": text_cell(";".join(row.route)),
            "system": text_cell(row.system),
            "why": text_cell(why),
        }
        for row, why in rows
    )
    text = table_text(_COLUMNS.split(), cells)
    write_new_file(out, text.encode("utf-8", errors="replace"), what="the pull schedule")


def print_draft(console: Console, count: int, left_out: Sequence[str], out: Path) -> None:
    """Say what was drafted, and what a person must still do with it."""
    if count:
        say(console, long_text(DRAFT_WRITTEN.format(file=out, count=count)))
    else:
        say(console, NOTHING_DRAFTED)
    for text in left_out:
        say(console, long_text(f"Left out: {text}"), indent=2)
