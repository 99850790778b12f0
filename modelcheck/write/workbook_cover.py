"""The first sheet of the workbook: what was checked, what came of it, and the cautions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from modelcheck.model.report import Report
from modelcheck.write.report_text import (
    CHECK_HEADINGS,
    STATE_HEADINGS,
    TITLE,
    check_counts,
    facts,
    remarks,
    state_counts,
)
from modelcheck.write.words import CAUTIONS
from modelcheck.write.xml_text import for_xml

COVER = "cover"
_LISTED = ("Sheet", "File", "Rows", "Rows in the sheet")
_WIDTHS = (30, 24, 16, 16, 12)

Cells = Sequence[str | int]
SheetRow = tuple[str, str, int, int]  # sheet, file, rows of the table, rows that had room


def write_cover(
    book: Workbook, sheet: Worksheet, report: Report, listed: Sequence[SheetRow]
) -> None:
    """Write the cover of `report`.

    Parameters
    ----------
    book : Workbook
    sheet : Worksheet
    report : Report
    listed : sequence of SheetRow
        What the other sheets hold.
    """
    looks = {
        "title": book.add_format({"bold": True, "font_size": 16}),
        "head": book.add_format({"bold": True, "bottom": 1}),
        "caution": book.add_format({"bold": True}),
        "": book.add_format({"num_format": "@"}),
    }
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    for place, width in enumerate(_WIDTHS):
        sheet.set_column(place, place, width)
    for number, (look, cells) in enumerate(_lines(report, listed)):
        for place, cell in enumerate(cells):
            if isinstance(cell, int):
                sheet.write_number(number, place, cell)
            else:
                sheet.write_string(number, place, for_xml(cell), looks[look])
    sheet.activate()


def _lines(report: Report, listed: Sequence[SheetRow]) -> Iterator[tuple[str, Cells]]:
    """Rows of the cover, each with its look."""
    yield "title", [TITLE]
    yield "", []
    for pair in facts(report):
        yield "", pair
    yield "", []
    for place, text in enumerate(remarks(report)):
        yield ("caution" if place < len(CAUTIONS) else ""), [text]
    yield "", []
    tables: tuple[tuple[Cells, Sequence[Cells]], ...] = (
        (STATE_HEADINGS, [(name, *counts) for name, counts in state_counts(report)]),
        (CHECK_HEADINGS, [(name, *counts) for name, counts in check_counts(report)]),
        (_LISTED, listed),
    )
    for headings, rows in tables:
        yield "head", headings
        yield from (("", row) for row in rows)
        yield "", []
    for name, file, count, shown in listed:
        if shown < count:
            yield "caution", [f"Sheet {name} has no room for {count - shown} rows: see {file}."]
