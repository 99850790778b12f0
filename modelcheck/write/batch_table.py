"""What came of a batch: batch.csv, and the table on the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from modelcheck.model.batch import BatchRow
from modelcheck.write import words
from modelcheck.write.csv_tables import table_text, text_cell
from modelcheck.write.terminal import (
    MOST_ROWS,
    RANKS,
    cut,
    long_text,
    new_table,
    say,
    short_text,
    verdict,
)

BATCH = "batch.csv"
_COLUMNS = ("project", "models", "state", "outcome", "pass", "fail", "needs_input", "message")


def batch_text(rows: Sequence[BatchRow]) -> str:
    """Text of batch.csv: the same whether a project was checked now or by an earlier batch."""
    return table_text(_COLUMNS, map(_cells, rows))


def _cells(row: BatchRow) -> dict[str, str]:
    counts = {"pass": row.passed, "fail": row.failed, "needs_input": row.needs_input}
    return {
        "project": text_cell(row.project),
        "models": text_cell(";".join(row.models)),
        "state": "broken" if row.broken else "checked",
        "outcome": row.outcome,
        **{name: "" if row.broken else str(count) for name, count in counts.items()},
        "message": text_cell(row.broken),
    }


def print_batch(console: Console, rows: Sequence[BatchRow], *, out: str) -> None:
    """Print a row for each project, the worst first, then why some are broken.

    Parameters
    ----------
    console : Console
    rows : sequence of BatchRow
    out : str
        Where the results are.
    """
    table = new_table(words.BATCH_TITLE, words.BATCH_COLUMNS)
    broken = [row for row in rows if row.broken]
    checked = sorted((row for row in rows if not row.broken), key=_rank)
    for row in [*broken, *checked][:MOST_ROWS]:
        counts = (row.failed, row.needs_input, row.passed)
        table.add_row(
            Text(words.BROKEN, style="bold red") if row.broken else verdict(console, row.outcome),
            short_text(row.project),
            str(len(row.models)),
            *("" if row.broken else str(count) for count in counts),
            words.EARLIER if row.is_earlier else "",
        )
    console.print(cut(table, len(rows), file=BATCH))
    for row in broken[:MOST_ROWS]:
        say(console, f"{short_text(row.project)}: {long_text(row.broken)}")
    say(console, words.BATCH_COUNTS.format(checked=len(checked), broken=len(broken)))
    say(console, words.BATCH_WRITTEN.format(folder=long_text(out), file=BATCH))
    for caution in words.CAUTIONS:
        say(console, caution)


def _rank(row: BatchRow) -> int:
    return RANKS.index(row.outcome)
