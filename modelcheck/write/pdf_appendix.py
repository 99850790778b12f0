"""The last pages of a report: every row, and the rows of the rules behind it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reportlab.platypus import Flowable

from modelcheck.model.explanation import Explanation
from modelcheck.model.finding import Finding
from modelcheck.write.finding_text import amounts, outcome_text
from modelcheck.write.pdf_parts import gap, grid, new_page, text
from modelcheck.write.terminal import named

_ROWS = (32.0, 28.0, 15.0, 17.0, 17.0, 22.0, 37.0, 10.0)  # widths of columns [mm]
_ROW_HEADINGS = (
    "What",
    "Check",
    "Outcome",
    "Required",
    "Provided",
    "Clause",
    "Working",
    "Notes",
)
_NOTES = (12.0, 166.0)
_SOURCES = (24.0, 62.0, 18.0, 74.0)
_SOURCE_HEADINGS = ("Clause", "Figure", "Obtained", "Source")


def all_rows(findings: Sequence[Finding]) -> Iterator[Flowable]:
    """Every row, what was assumed numbered at the end."""
    notes: dict[str, int] = {}
    rows = []
    for each in findings:
        numbers = [str(notes.setdefault(text, len(notes) + 1)) for text in each.assumptions]
        rows.append(
            (
                named(each.subject),
                each.check,
                outcome_text(each),
                *amounts(each),
                each.clause,
                each.working or each.message,
                ", ".join(numbers),
            )
        )
    yield new_page()
    yield text("h1", "Appendix: all rows")
    yield from grid(_ROW_HEADINGS, rows, _ROWS)
    yield gap(5)
    if notes:
        yield text("h2", "Notes: what was assumed")
        yield from grid(("Note", ""), [(str(each), told) for told, each in notes.items()], _NOTES)


def rule_sources(explanations: Sequence[Explanation], code: str) -> Iterator[Flowable]:
    """Where each figure of the checks comes from, and how it was obtained.

    Parameters
    ----------
    explanations : sequence of Explanation
    code : str
        Rows of the other code are left out.
    """
    yield new_page()
    yield text("h1", "Appendix: figures of the rules and their sources")
    for each in explanations:
        yield text("h2", each.check)
        rows = [
            (
                row.clause,
                row.figure,
                row.how,
                " ".join(filter(None, (row.source, row.source_edition, row.address, row.note))),
            )
            for row in each.rows
            if row.code in ("", code)
        ]
        yield from grid(_SOURCE_HEADINGS, rows, _SOURCES)
