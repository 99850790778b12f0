"""The tables: findings, runs, boxes and entries as CSV, one row each."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from math import isfinite
from operator import itemgetter
from pathlib import Path
from typing import Any, TypeVar

from modelcheck.model.acceptance import Acceptance
from modelcheck.model.element import Point, RacewaySize
from modelcheck.model.finding import Finding
from modelcheck.model.recognition import ReadElement
from modelcheck.model.report import BoxRow, EntryRow, Report, RunRow
from modelcheck.model.whereabouts import Whereabouts
from modelcheck.units import from_metres

FINDINGS, RUNS, BOXES, ENTRIES = "findings.csv", "runs.csv", "boxes.csv", "entries.csv"
TABLES = (FINDINGS, RUNS, BOXES, ENTRIES)
ELEMENTS = "elements.csv"

_WHERE = "storey storey_elevation_m height_m space grid system trade"
_COLUMNS = {
    FINDINGS: "finding model check outcome subject_guid subject_name subject_class element_guids "
    "required provided unit code edition clause working assumptions message x_m y_m z_m "
    f"{_WHERE} accepted_by accepted_on accepted_until accepted_why",
    RUNS: "run model start_guid end_guid element_guids raceway_type trade_size_in "
    f"metric_designator size_from length_mm bend_count bend_total_deg limit_deg outcome {_WHERE} "
    "x_m y_m z_m end_x_m end_y_m end_z_m",
    BOXES: "box_guid model name ifc_class inside_x_mm inside_y_mm inside_z_mm size_from cover "
    f"entry_count outcome message {_WHERE} x_m y_m z_m",
    ENTRIES: "box_guid conduit_guid wall u_mm v_mm raceway_type trade_size_in metric_designator "
    "size_from run carries model conduit_model conduit_name",
    ELEMENTS: "guid model name ifc_class kind kind_from ends ends_from raceway_type trade_size_in "
    "metric_designator size_from cover_from reason remedy",
}
DECIMALS = {"mm": 1, "in": 2, "deg": 1, "cm3": 1, "in3": 2, "": 1}
_SHAPES = [f"%.{decimals}f" for decimals in range(10)]  # of numbers with so many decimals
_AT_ONCE = 256  # rows
RecordT = TypeVar("RecordT")
Column = Sequence[str]  # cells, a row each
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One table: its file, its columns, and what its rows are about."""

    file: str
    columns: Sequence[str]
    records: Sequence[Any]  # of one kind, which `cells` takes
    cells: Callable[[Any], Mapping[str, str]]

    def rows(self) -> Iterator[Mapping[str, str]]:
        """Cells of each row by column."""
        return map(self.cells, self.records)

    def parts(self) -> Iterator[Sequence[Column]]:
        """Columns of some rows at a time, made anew for each who asks."""
        return _parts(self.columns, self.rows())


def main_tables(report: Report) -> tuple[Table, ...]:
    """Findings, runs, boxes and entries, in the order of their rows."""
    return (
        _table(FINDINGS, report.findings, finding_cells),
        _table(RUNS, report.runs, run_cells),
        _table(BOXES, report.boxes, box_cells),
        _table(ENTRIES, report.entries, entry_cells),
    )


def elements_table(rows: Sequence[ReadElement]) -> Table:
    """What the elements were taken for, in the order of `rows`."""
    return _table(ELEMENTS, rows, element_cells)


def _table(
    file: str, records: Sequence[RecordT], cells: Callable[[RecordT], Mapping[str, str]]
) -> Table:
    return Table(file=file, columns=_COLUMNS[file].split(), records=records, cells=cells)


def write_table(table: Table, folder: Path) -> None:
    """Write `table` into `folder` as CSV."""
    for _ in written_parts(table, folder):
        pass


def written_parts(table: Table, folder: Path) -> Iterator[Sequence[Column]]:
    """Parts of `table`, each after it was written to its file in `folder`."""
    with (folder / table.file).open("wb") as file:
        file.write(_head(table.columns).encode())
        for part in table.parts():
            file.write(_lines(table.columns, part).encode("utf-8", errors="replace"))
            yield part


def table_text(columns: Sequence[str], rows: Iterable[Mapping[str, str]]) -> str:
    """Text of a table: a line of columns, then one of cells for each row."""
    lines = (_lines(columns, part) for part in _parts(columns, rows))
    return "".join((_head(columns), *lines))


def number(value: float | None, decimals: int) -> str:
    """Write `value` with so many decimals: never nan, inf, an exponent or a negative zero."""
    if value is None or not isfinite(value):
        return ""
    digits = _SHAPES[decimals] % value
    return digits.lstrip("-") if digits[0] == "-" and not digits.strip("-0.") else digits


def quantity(value: float | None, unit: str) -> str:
    """Write a `value` in `unit` as finely as its column is."""
    return number(value, DECIMALS[unit])


def finding_cells(finding: Finding) -> dict[str, str]:
    """Cells of one row of findings.csv, by column."""
    subject = finding.subject
    return {
        "finding": finding.id,
        "model": text_cell(subject.model),
        "check": finding.check,
        "outcome": finding.outcome,
        "subject_guid": subject.guid,
        "subject_name": text_cell(subject.name),
        "subject_class": subject.ifc_class,
        "element_guids": ";".join(finding.element_guids),
        "required": quantity(finding.required, finding.unit),
        "provided": quantity(finding.provided, finding.unit),
        "unit": finding.unit,
        "code": finding.code,
        "edition": finding.edition,
        "clause": text_cell(finding.clause),
        "working": text_cell(finding.working),
        "assumptions": text_cell(";".join(text.replace(";", ",") for text in finding.assumptions)),
        "message": text_cell(finding.message),
        **place_cells(finding.at),
        **where_cells(finding.where),
        **accepted_cells(finding.accepted),
    }


def run_cells(row: RunRow) -> dict[str, str]:
    """Cells of one row of runs.csv, by column."""
    run = row.run
    return {
        "run": text_cell(run.name),
        "model": text_cell(run.elements[0].model),
        "start_guid": run.start.ref.guid if run.start.ref else "",
        "end_guid": run.end.ref.guid if run.end.ref else "",
        "element_guids": ";".join(dict.fromkeys(ref.guid for ref in run.elements)),
        **size_cells(run.size),
        "length_mm": _mm(run.length_m),
        "bend_count": str(len(run.bends)),
        "bend_total_deg": quantity(row.bend_total_deg, "deg"),
        "limit_deg": quantity(row.limit_deg, "deg"),
        "outcome": row.outcome,
        **where_cells(row.where),
        **place_cells(run.start.point),
        **place_cells(run.end.point, "end_"),
    }


def box_cells(row: BoxRow) -> dict[str, str]:
    """Cells of one row of boxes.csv, by column."""
    box = row.enclosure
    return {
        "box_guid": box.ref.guid,
        "model": text_cell(box.ref.model),
        "name": text_cell(box.ref.name),
        "ifc_class": box.ref.ifc_class,
        "inside_x_mm": _mm(box.inside_m[0]),
        "inside_y_mm": _mm(box.inside_m[1]),
        "inside_z_mm": _mm(box.inside_m[2]),
        "size_from": box.size_from,
        "cover": ";".join(box.cover) or "unknown",
        "entry_count": str(row.entry_count),
        "outcome": row.outcome,
        "message": text_cell(row.message),
        **where_cells(row.where),
        **place_cells(box.origin),
    }


def entry_cells(row: EntryRow) -> dict[str, str]:
    """Cells of one row of entries.csv, by column."""
    entry = row.entry
    return {
        "box_guid": entry.box.guid,
        "conduit_guid": entry.conduit.guid,
        "wall": entry.wall,
        "u_mm": _mm(entry.u_m),
        "v_mm": _mm(entry.v_m),
        **size_cells(entry.size),
        "run": text_cell(entry.run),
        "carries": text_cell(";".join(row.carries)),
        "model": text_cell(entry.box.model),
        "conduit_model": text_cell(entry.conduit.model),
        "conduit_name": text_cell(entry.conduit.name),
    }


def element_cells(row: ReadElement) -> dict[str, str]:
    """Cells of one row of elements.csv, by column."""
    return {
        "guid": row.ref.guid,
        "model": text_cell(row.ref.model),
        "name": text_cell(row.ref.name),
        "ifc_class": row.ref.ifc_class,
        "kind": row.kind,
        "kind_from": row.kind_from,
        "ends": "" if row.ends is None else str(row.ends),
        "ends_from": row.ends_from,
        **size_cells(row.size),
        "size_from": row.size_from,
        "cover_from": row.cover_from,
        "reason": text_cell("; ".join(each.reason for each in row.shortfalls)),
        "remedy": text_cell("; ".join(each.remedy for each in row.shortfalls if each.remedy)),
    }


def place_cells(point: Point, prefix: str = "") -> dict[str, str]:
    """Cells of a place in project coordinates, their columns after `prefix`."""
    x, y, z = (number(value, 3) for value in point)
    return {f"{prefix}x_m": x, f"{prefix}y_m": y, f"{prefix}z_m": z}


def where_cells(where: Whereabouts) -> dict[str, str]:
    """Cells that tell where people find an element."""
    return {
        "storey": text_cell(where.storey),
        "storey_elevation_m": number(where.storey_elevation_m, 3),
        "height_m": number(where.height_m, 3),
        "space": text_cell(where.space),
        "grid": text_cell(where.grid),
        "system": text_cell(where.system),
        "trade": text_cell(where.trade),
    }


def accepted_cells(accepted: Acceptance | None) -> dict[str, str]:
    """Cells that tell who answers for a fail."""
    if accepted is None:
        return dict.fromkeys(("accepted_by", "accepted_on", "accepted_until", "accepted_why"), "")
    return {
        "accepted_by": text_cell(accepted.by),
        "accepted_on": accepted.on,
        "accepted_until": accepted.until,
        "accepted_why": text_cell(accepted.why),
    }


def size_cells(size: RacewaySize) -> dict[str, str]:
    """Cells that every table has of a raceway size."""
    return {
        "raceway_type": size.raceway_type,
        "trade_size_in": size.trade_size_in,
        "metric_designator": "" if size.metric_designator is None else str(size.metric_designator),
        "size_from": size.size_from,
    }


def _mm(length_m: float | None) -> str:
    return "" if length_m is None else quantity(from_metres(length_m, "mm"), "mm")


def text_cell(text: str) -> str:
    """Keep a spreadsheet from taking `text` for a formula."""
    return f"'{text}" if text.startswith(_FORMULA) else text


def _head(columns: Sequence[str]) -> str:
    return ",".join(columns) + "\n"


def _parts(columns: Sequence[str], rows: Iterable[Mapping[str, str]]) -> Iterator[Sequence[Column]]:
    cells = map(itemgetter(*columns), rows)
    while part := list(islice(cells, _AT_ONCE)):
        yield list(zip(*part, strict=True))


def _lines(columns: Sequence[str], part: Sequence[Column]) -> str:
    """Lines of CSV: what has to be told in another way is looked for in whole columns."""
    told = map(_told, columns, part)
    return "".join([",".join(cells) + "\n" for cells in zip(*told, strict=True)])


def _told(column: str, cells: Column) -> Column:
    """Cells as CSV has them; GlobalIds too, which a hostile model may begin as formulas."""
    if column.endswith(("guid", "guids")):
        cells = [text_cell(cell) for cell in cells]
    return [_quoted(cell) for cell in cells] if _is_marked("".join(cells)) else cells


def _is_marked(text: str) -> bool:
    """Whether it holds what a cell is quoted for, after RFC 4180."""
    return "," in text or '"' in text or "\n" in text or "\r" in text


def _quoted(cell: str) -> str:
    """A cell, in quotes where it needs them."""
    return '"' + cell.replace('"', '""') + '"' if _is_marked(cell) else cell
