"""The pull schedule: which conductors go through which conduits."""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from modelcheck.errors import InputFileError, RuleInputError
from modelcheck.model.pull import Conductors, ScheduleRow
from modelcheck.read.raceway_names import size_named
from modelcheck.read.toml_table import nearest
from modelcheck.rules.conductors import conductor_size, conductor_sizes
from modelcheck.rules.raceways import Designation

_NEEDED = ("pull", "conductor_size", "insulation", "count", "route")
_MORE = (
    "spliced_at",
    "material",
    "role",
    "system",
    "voltage_v",
    "trade_size_in",
    "metric_designator",
)
_MATERIALS = {
    "copper": "copper",
    "cu": "copper",
    "aluminum": "aluminum",
    "aluminium": "aluminum",
    "al": "aluminum",
}
_ROLES = ("phase", "neutral", "bonding")
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """The rows of a schedule, and the columns of it that nothing reads."""

    path: Path
    rows: tuple[ScheduleRow, ...] = ()
    unread_columns: tuple[str, ...] = ()


def read_pulls(path: Path) -> Schedule:
    """Rows of the schedule at `path`, in file order.

    Comma, semicolon or tab between the cells; UTF-8, UTF-16 or the Western code page.

    Raises
    ------
    InputFileError
        If the file can't be read, a column is missing, or a row can't be used; with the line.
    """
    text = _text_of(path)
    if not text.strip():
        raise InputFileError("the pull schedule is empty", path=path)
    lines = _lines(text, path)
    header_line, header = next(lines)
    columns = _columns(header, path=path, line=header_line)
    rows = []
    for line, cells in lines:
        rows.append(_row(_named(cells, columns, path=path, line=line), path=path, line=line))
    if not rows:
        raise InputFileError("the pull schedule has no row below its header", path=path)
    unread = tuple(name for name in columns if name and name not in (*_NEEDED, *_MORE))
    return Schedule(path=path, rows=tuple(rows), unread_columns=unread)


def _text_of(path: Path) -> str:
    try:
        raw = path.read_bytes()
    except OSError as error:
        raise InputFileError(f"can't be read: {error.strerror}", path=path) from None
    try:
        return raw.decode(_encoding(raw))
    except UnicodeDecodeError as error:
        message = f"the text breaks off at byte {error.start}; save the file as UTF-8"
        raise InputFileError(message, path=path) from None


def _encoding(raw: bytes) -> str:
    for mark, encoding in _MARKS:
        if raw.startswith(mark):
            return encoding
    if raw[1:2] == b"\0":
        return "utf-16-le"
    if raw[:1] == b"\0":
        return "utf-16-be"
    for encoding in ("utf-8", "cp1252"):
        try:
            raw.decode(encoding)
        except UnicodeDecodeError:
            continue
        return encoding
    return "latin-1"


def _lines(text: str, path: Path) -> Iterator[tuple[int, list[str]]]:
    """Cells of each row without the blanks round them, and the line that the row begins on."""
    head = text.split("\n", 1)[0]
    delimiter = max(",;\t", key=head.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    while True:
        line = reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            what = "a quote is not closed" if "unexpected end" in str(error) else str(error)
            raise InputFileError(f"this row can't be read: {what}", path=path, line=line) from None
        yield line, [_unquoted(cell.strip()) for cell in cells]


def _unquoted(cell: str) -> str:
    """Text of a cell that bears a quote so that no spreadsheet takes it for a formula."""
    return cell[1:] if re.match(r"'[=+\-@\t\r]", cell) else cell


def _columns(header: list[str], *, path: Path, line: int) -> list[str]:
    columns = ["_".join(name.lower().replace("-", " ").split()) for name in header]
    known = (*_NEEDED, *_MORE)
    for name in columns:
        if name and columns.count(name) > 1:
            message = f"the column {name} stands twice"
            raise InputFileError(message, path=path, line=line)
        hint = nearest(name, [each for each in known if each not in columns])
        if name not in known and hint:
            message = f"the column {name!r} is not known{hint}"
            raise InputFileError(message, path=path, line=line)
    missing = [name for name in _NEEDED if name not in columns]
    if missing:
        message = f"the column {missing[0]} is missing; a schedule has {', '.join(_NEEDED)}"
        raise InputFileError(message, path=path, line=line)
    return columns


def _named(cells: list[str], columns: list[str], *, path: Path, line: int) -> dict[str, str]:
    """Cells by column."""
    if not any(cells):
        raise InputFileError("the row is empty; delete it or fill it in", path=path, line=line)
    if len(cells) < len(columns) or any(cells[len(columns) :]):
        message = (
            f"the row has {len(cells)} cells where the header has {len(columns)}; "
            "a cell that holds the separator needs quotes"
        )
        raise InputFileError(message, path=path, line=line)
    return dict(zip(columns, cells, strict=False))


def _row(cells: Mapping[str, str], *, path: Path, line: int) -> ScheduleRow:
    try:
        size = _raceway_size(cells)
        return ScheduleRow(
            line=line,
            pull=_pull(cells),
            conductors=Conductors(
                size=_size(cells),
                insulation=cells["insulation"],
                count=_whole(cells, "count"),
                material=_material(cells),
                role=_one_of(cells, "role", _ROLES),
            ),
            route=_references(cells, "route"),
            spliced_at=_references(cells, "spliced_at"),
            system=cells.get("system", ""),
            voltage_v=_voltage(cells),
            trade_size_in=size.trade_size_in if size else "",
            metric_designator=size.metric_designator if size else None,
        )
    except RuleInputError as error:
        raise InputFileError(str(error), path=path, line=line) from None


def _raceway_size(cells: Mapping[str, str]) -> Designation | None:
    designator = _whole(cells, "metric_designator")
    try:
        return size_named(cells.get("trade_size_in", ""), designator)
    except RuleInputError as error:
        column = "trade_size_in" if designator is None else "metric_designator"
        raise RuleInputError(f"{column} {error}") from None


def _pull(cells: Mapping[str, str]) -> str:
    name = cells["pull"]
    if not name:
        raise RuleInputError("the pull has no name")
    if ";" in name:
        raise RuleInputError(f"the pull {name!r} has a ';' in its name, which the results use")
    return name


def _size(cells: Mapping[str, str]) -> str:
    text = cells["conductor_size"]
    if not text:
        return ""
    size = conductor_size(text)
    if size is None:
        known = ", ".join(row.size for row in conductor_sizes())
        raise RuleInputError(f"conductor_size {text!r} is not known; known are {known}")
    return size.size


def _whole(cells: Mapping[str, str], column: str) -> int | None:
    text = cells.get(column, "")
    if not text:
        return None
    if not re.fullmatch(r"[0-9]{1,9}", text):
        raise RuleInputError(f"{column} is {text!r}, it must be a whole number")
    return int(text)


def _material(cells: Mapping[str, str]) -> str:
    return (
        _MATERIALS[_one_of(cells, "material", tuple(_MATERIALS))] if cells.get("material") else ""
    )


def _one_of(cells: Mapping[str, str], column: str, options: tuple[str, ...]) -> str:
    text = cells.get(column, "").lower()
    if text and text not in options:
        raise RuleInputError(f"{column} is {cells[column]!r}, it must be {', '.join(options)}")
    return text


def _references(cells: Mapping[str, str], column: str) -> tuple[str, ...]:
    text = cells.get(column, "")
    if not text and column != "route":
        return ()
    references = tuple(part.strip() for part in text.split(";"))
    if not all(references):
        what = "is empty" if len(references) == 1 else f"{text!r} has an empty place"
        raise RuleInputError(f"the {column} {what}; name conduits and boxes in order, ';' between")
    return references


def _voltage(cells: Mapping[str, str]) -> float | None:
    text = cells.get("voltage_v", "")
    if not text:
        return None
    if not re.fullmatch(r"[0-9]{1,9}(\.[0-9]+)?", text):
        raise RuleInputError(f"voltage_v is {text!r}, it must be a number of volts")
    return float(text)
