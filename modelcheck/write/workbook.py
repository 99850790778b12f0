"""findings.xlsx: the tables as sheets of one workbook, with a cover; the same bytes each time.

Texts are those of the CSV files and never formulas, links or dates; numbers are numbers.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from io import BytesIO
from pathlib import Path

from xlsxwriter import Workbook
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from modelcheck.model.report import Report
from modelcheck.write.csv_tables import Column, Table
from modelcheck.write.model_date import NO_DATE, newest
from modelcheck.write.report_text import TITLE
from modelcheck.write.workbook_cover import COVER, write_cover
from modelcheck.write.workbook_rows import Filling, write_filled

WORKBOOK = "findings.xlsx"
MOST_ROWS = 1_048_576  # that a sheet can hold, its header included
_SHEET = "xl/worksheets/sheet{}.xml"  # by number, from 1, as the library names them
_UNITS = {  # of a column by the end of its name; trade sizes are names, so inches are not in it
    "n_per_m": "N/m",
    "lbf_per_ft": "lbf/ft",
    "kg_per_m": "kg/m",
    "mm": "mm",
    "deg": "deg",
    "lbf": "lbf",
    "n": "N",
    "m": "m",
}
_SHAPES = {"mm": "0.0", "deg": "0.0", "m": "0.000"}  # of the numbers in such a column
_COUNTS = ("metric_designator", "point", "points", "friction", "weight_correction", "jam_ratio")
_MEASURES = ("required", "provided")  # each row has its own unit
_VERDICTS = ("outcome", "old_outcome", "advice")
_COLOURS = {
    "fail": ("#7a1200", "#fbd5cd"),
    "over": ("#7a1200", "#fbd5cd"),
    "needs-input": ("#5c4700", "#fdeeb8"),
    "pass": ("#0b4a1e", "#d3efd9"),
    "within": ("#0b4a1e", "#d3efd9"),
}
_WIDTHS = {
    "message": 70,
    "working": 45,
    "assumptions": 45,
    "clause": 18,
    "finding": 36,
    "check": 26,
}
_HEAD_HEIGHT = 30  # two lines [pt]
_GUID_WIDTH, _NUMBER_WIDTH, _TEXT_WIDTH = 26, 11, 18


def write_workbook(
    report: Report,
    tables: Sequence[Table],
    folder: Path,
    *,
    parts_of: Callable[[Table], Iterable[Sequence[Column]]] = Table.parts,
    most_rows: int = MOST_ROWS,
) -> None:
    """Write ``findings.xlsx`` into `folder`: a cover and a sheet a table.

    Parameters
    ----------
    report : Report
    tables : sequence of Table
        Of that report.
    folder : Path
    parts_of : callable
        Gives the columns of a table, some rows at a time, and may do something else with them.
    most_rows : int
        Rows of a sheet; what is beyond stands in the CSV file alone, which is said.
    """
    frame, fillings = BytesIO(), {}
    with Workbook(frame, {"in_memory": True}) as book:
        created = (newest(report.inputs) or NO_DATE).replace(tzinfo=None)
        book.set_properties({"title": TITLE, "created": created})
        cover = book.add_worksheet(COVER)
        for number, table in enumerate(tables, start=2):
            count = min(len(table.records), most_rows - 1)
            _add_sheet(book, table, count, most_rows)
            numbers = [_is_number(column) for column in table.columns]
            fillings[_SHEET.format(number)] = Filling(
                table=table, parts=parts_of(table), numbers=numbers, count=count
            )
        listed = [
            (sheet_name(each.table), each.table.file, len(each.table.records), each.count)
            for each in fillings.values()
        ]
        write_cover(book, cover, report, listed)
    write_filled(frame.getvalue(), fillings, folder / WORKBOOK)


def sheet_name(table: Table) -> str:
    """Name of the sheet of `table`."""
    return table.file.removesuffix(".csv").replace("_", " ")


def heading(column: str) -> str:
    """Name of a column in words, with its unit."""
    end = _end_of(column)
    name = column.removesuffix(end).replace("_", " ").strip()
    unit = "unit" if _is_measure(column) else _UNITS.get(end)
    return f"{name} [{unit}]" if unit else name


def _end_of(column: str) -> str:
    """End of the name of a column that tells its unit; empty for texts and counts."""
    return next((end for end in _UNITS if column.endswith(f"_{end}")), "")


def _is_measure(column: str) -> bool:
    return column.endswith(_MEASURES)


def _is_number(column: str) -> bool:
    is_count = column in _COUNTS or column.endswith("_count")
    return is_count or _is_measure(column) or _end_of(column) != ""


def _add_sheet(book: Workbook, table: Table, count: int, most_rows: int) -> None:
    """Add the sheet of one table, whose `count` rows are to come."""
    sheet = book.add_worksheet(sheet_name(table))
    _shape(book, sheet, table.columns, most_rows)
    head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
    for place, column in enumerate(table.columns):
        sheet.write_string(0, place, heading(column), head)
    sheet.autofilter(0, 0, count, len(table.columns) - 1)


def _shape(book: Workbook, sheet: Worksheet, columns: Sequence[str], most_rows: int) -> None:
    """Keep the header in view, and set widths, shapes of numbers and colours of outcomes."""
    sheet.freeze_panes(1, 0)
    sheet.repeat_rows(0)
    sheet.set_landscape()
    sheet.set_row(0, _HEAD_HEIGHT)
    for place, column in enumerate(columns):
        sheet.set_column(place, place, _width(column), _format(book, column))
        if column in _VERDICTS:
            for word, (ink, paper) in _COLOURS.items():
                look = book.add_format({"font_color": ink, "bg_color": paper})
                rule = {"type": "cell", "criteria": "==", "value": f'"{word}"', "format": look}
                sheet.conditional_format(1, place, most_rows - 1, place, rule)


def _format(book: Workbook, column: str) -> Format:
    shape = _SHAPES.get(_end_of(column), "General") if _is_number(column) else "@"
    return book.add_format({"num_format": shape})


def _width(column: str) -> int:
    if _is_number(column):
        return _NUMBER_WIDTH
    return _WIDTHS.get(column, _GUID_WIDTH if column.endswith("guid") else _TEXT_WIDTH)
