"""The checks explained on the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console

from modelcheck.model.explanation import ExplainedRow, Explanation
from modelcheck.write import words
from modelcheck.write.terminal import new_table, say


def print_checks(console: Console, explanations: Sequence[Explanation]) -> None:
    """Print every check with its clause, edition and source under each code."""
    for each in explanations:
        say(console, each.check, style="bold")
        say(console, each.compares, indent=2)
        for example in each.examples:
            of_code = [row for row in each.rows if row.code == example.code] or [*each.rows]
            origins = "; ".join(dict.fromkeys(_origin(row) for row in of_code))
            say(
                console, f"{example.code} {example.edition}: {example.clause} ({origins})", indent=2
            )
    for caution in words.CAUTIONS:
        say(console, caution)


def print_check(console: Console, explanation: Explanation) -> None:
    """Print one check: why, how, the rows behind it, what is disputed, an example worked."""
    say(console, explanation.check, style="bold")
    say(console, explanation.compares)
    say(console, f"{words.WHY} {explanation.why}")
    say(console, f"{words.FORMULA} {explanation.formula}")
    for example in explanation.examples:
        title = f"{words.EXAMPLE} {example.code} {example.edition}, {example.clause}:"
        outcome = words.OUTCOME_WORDS[example.outcome]
        say(console, f"{title} {example.working} ({outcome}). {example.message}")
    say(console, f"{words.DISPUTED} {explanation.disputed_text}")
    for point in explanation.disputed:
        if point.setting:
            say(console, f"{point.point}: [rules] {point.setting} = {point.value!r}", indent=2)
    table = new_table(words.ROWS_TITLE, words.ROWS_COLUMNS)
    for row in explanation.rows:
        edition = f"{row.code} {row.edition_from}".strip()
        table.add_row(edition, row.clause, row.figure, row.how, _origin(row))
    console.print(table)
    for caution in words.CAUTIONS:
        say(console, caution)


def _origin(row: ExplainedRow) -> str:
    edition = f", {row.source_edition}" if row.source_edition else ""
    return f"{row.source}{edition}"
