"""Rows put into the sheets of a workbook that bears none: the library takes ten times as long.

References: ISO/IEC 29500-1, Office Open XML, part 1: 18.3 (worksheets), 22.9.2.19 (ST_Xstring).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

from xlsxwriter.utility import xl_col_to_name

from modelcheck.write.csv_tables import Row, Table
from modelcheck.write.xml_text import escaped, for_xml

_LEVEL = 3  # of compression: a third of the time of 6, for a seventh more of room
_LONGEST = 32_767  # characters that a cell can hold, in UTF-16
_CUT = "... (cut; whole in {file})"
_BETWEEN = "\x1f"  # cells that are looked at together; no plain text has it
_NUMBER = r"-?[0-9]+(?:\.[0-9]+)?"
_NUMBERS = re.compile(f"(?:{_NUMBER})?(?:{_BETWEEN}(?:{_NUMBER})?)*")
_PLAIN = re.compile(f"[ -%'-;=?-~{_BETWEEN}]*")
_ESCAPE = re.compile("_(?=x[0-9A-Fa-f]{4}_)")  # what else would be read as a character's number
_STYLES = re.compile(r'<col min="(\d+)" max="(\d+)"[^>]* style="(\d+)"')
_DIMENSION = re.compile(r'<dimension ref="[^"]*"/>')
_END = "</sheetData>"


@dataclass(frozen=True, slots=True, kw_only=True)
class Filling:
    """What comes into a sheet below its header."""

    table: Table
    parts: Iterable[Sequence[Row]]  # of the table; asked for to the end
    numbers: Sequence[bool]  # whether a column holds them
    count: int  # rows that have room


def write_filled(frame: bytes, fillings: Mapping[str, Filling], path: Path) -> None:
    """Write a workbook with rows in its sheets, in room that doesn't grow with them.

    Parameters
    ----------
    frame : bytes
        A workbook whose sheets have a header, and styles for all columns.
    fillings : mapping of str to Filling
        By the name of the sheet's file.
    path : Path
    """
    with (
        ZipFile(BytesIO(frame)) as bare,
        ZipFile(path, "w", ZIP_DEFLATED, compresslevel=_LEVEL) as full,
    ):
        for name in bare.namelist():
            with full.open(name, "w") as file:
                if name not in fillings:
                    file.write(bare.read(name))
                    continue
                for text in _filled(bare.read(name).decode(), fillings[name]):
                    file.write(text.encode())


def _filled(sheet: str, filling: Filling) -> Iterator[str]:
    """Text of a sheet, with rows before the end of its data."""
    writer = _RowWriter(sheet, filling)
    start, end = sheet.split(_END)
    last = xl_col_to_name(len(filling.numbers) - 1)
    yield _DIMENSION.sub(f'<dimension ref="A1:{last}{filling.count + 1}"/>', start, count=1)
    done = 0
    for part in filling.parts:
        rows = part[: filling.count - done]
        yield "".join([writer.text(number, row) for number, row in enumerate(rows, start=done + 2)])
        done += len(rows)
    yield _END + end


class _RowWriter:
    """Writes the rows of one sheet; a template serves all rows that have the same empty cells."""

    def __init__(self, sheet: str, filling: Filling) -> None:
        styles = {
            place: style
            for first, last, style in _STYLES.findall(sheet)
            for place in range(int(first), int(last) + 1)
        }
        self._names = [xl_col_to_name(place) for place in range(len(filling.numbers))]
        self._styles = [styles[place] for place in range(1, len(filling.numbers) + 1)]
        self._numbers = filling.numbers
        self._number_places = [place for place, is_one in enumerate(filling.numbers) if is_one]
        self._cut = _CUT.format(file=filling.table.file)
        self._templates: dict[tuple[bool, ...], str] = {}

    def text(self, number: int, row: Row) -> str:
        """Text of row `number` of the sheet."""
        numbers = _BETWEEN.join([row[place] for place in self._number_places])
        if not (_is_plain(row) and _NUMBERS.fullmatch(numbers)):
            return self._marked_row(number, row)
        filled = tuple(map(bool, row))
        template = self._templates.get(filled)
        if template is None:
            cells = ["%s" if is_filled else "" for is_filled in filled]
            template = self._templates[filled] = self._row(_BETWEEN, cells, self._numbers)
        return template.replace(_BETWEEN, str(number)) % tuple(filter(None, row))

    def _marked_row(self, number: int, row: Row) -> str:
        """A row that has a text to be told in another way, or one among its numbers."""
        numbers = [
            is_one and _NUMBERS.fullmatch(cell) is not None
            for is_one, cell in zip(self._numbers, row, strict=True)
        ]
        cells = [cell if _is_plain((cell,)) else _marked(cell, self._cut) for cell in row]
        return self._row(str(number), cells, numbers)

    def _row(self, number: str, cells: Sequence[str], numbers: Sequence[bool]) -> str:
        parts = [f'<row r="{number}">']
        for name, style, cell, is_number in zip(
            self._names, self._styles, cells, numbers, strict=True
        ):
            start = f'<c r="{name}{number}" s="{style}"'
            if not cell:
                continue
            if is_number:
                parts.append(f"{start}><v>{cell}</v></c>")
            else:
                space = ' xml:space="preserve"' if cell != cell.strip() else ""
                parts.append(f'{start} t="inlineStr"><is><t{space}>{cell}</t></is></c>')
        return "".join((*parts, "</row>"))


def _is_plain(cells: Sequence[str]) -> bool:
    """Whether none of `cells` has to be written in another way, so that XML keeps it."""
    text = _BETWEEN.join(("", *cells, ""))
    return (
        _PLAIN.fullmatch(text) is not None
        and "_x" not in text
        and f"{_BETWEEN} " not in text
        and f" {_BETWEEN}" not in text
        and text.count(_BETWEEN) == len(cells) + 1
        and len(text) <= _LONGEST
    )


def _marked(cell: str, cut: str) -> str:
    """A text that XML has to be told in another way."""
    told = for_xml(cell)
    units = told.encode("utf-16-le")
    if len(units) > 2 * _LONGEST:
        told = units[: 2 * (_LONGEST - len(cut))].decode("utf-16-le", errors="ignore") + cut
    return escaped(_ESCAPE.sub("_x005F_", told))
