"""Rows put into the sheets of a workbook that bears none: the library takes ten times as long.

References: ISO/IEC 29500-1, Office Open XML, part 1: 18.3 (worksheets), 22.9.2.19 (ST_Xstring).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from itertools import islice
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

from xlsxwriter.utility import xl_col_to_name

from modelcheck.write.csv_tables import Table
from modelcheck.write.xml_text import escaped, for_xml

_AT_ONCE = 256  # rows
_LEVEL = 3  # of compression: a third of the time of 6, for a seventh more of room
_LONGEST = 32_767  # characters that a cell can hold, in UTF-16
_CUT = "... (cut; whole in {file})"
_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")
_MARKED = re.compile("[^ -%'-;=?-~]|_x")  # what may have to be written in another way
_ESCAPE = re.compile("_(?=x[0-9A-Fa-f]{4}_)")  # what else would be read as a character's number
_STYLES = re.compile(r'<col min="(\d+)" max="(\d+)"[^>]* style="(\d+)"')
_DIMENSION = re.compile(r'<dimension ref="[^"]*"/>')
_END = "</sheetData>"


@dataclass(frozen=True, slots=True, kw_only=True)
class Filling:
    """What comes into a sheet below its header."""

    table: Table
    numbers: Sequence[bool]  # whether a column holds them
    count: int  # rows that have room


@dataclass(frozen=True, slots=True)
class _Column:
    """How each cell of a column begins."""

    name: str
    place: str
    number: str  # after the row; empty in a column of texts
    text: str


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
    columns = _columns(sheet, filling)
    start, end = sheet.split(_END)
    area = f'<dimension ref="A1:{xl_col_to_name(len(columns) - 1)}{filling.count + 1}"/>'
    yield _DIMENSION.sub(area, start, count=1)
    cut = _CUT.format(file=filling.table.file)
    rows = enumerate(islice(filling.table.rows(), filling.count), start=2)
    while some := [_row(number, cells, columns, cut) for number, cells in islice(rows, _AT_ONCE)]:
        yield "".join(some)
    yield _END + end


def _columns(sheet: str, filling: Filling) -> list[_Column]:
    styles = {
        place: f'" s="{style}"'
        for first, last, style in _STYLES.findall(sheet)
        for place in range(int(first), int(last) + 1)
    }
    return [
        _Column(
            name,
            f'<c r="{xl_col_to_name(place - 1)}',
            f"{styles[place]}><v>" if is_number else "",
            f'{styles[place]} t="inlineStr"><is><t',
        )
        for place, (name, is_number) in enumerate(
            zip(filling.table.columns, filling.numbers, strict=True), start=1
        )
    ]


def _row(number: int, cells: Mapping[str, str], columns: Sequence[_Column], cut: str) -> str:
    parts = [f'<row r="{number}">']
    for column in columns:
        cell = cells[column.name]
        if not cell:
            continue
        if column.number and _NUMBER.fullmatch(cell):
            parts.append(f"{column.place}{number}{column.number}{cell}</v></c>")
        else:
            text = f">{cell}" if _is_plain(cell) else _marked(cell, cut)
            parts.append(f"{column.place}{number}{column.text}{text}</t></is></c>")
    parts.append("</row>")
    return "".join(parts)


def _is_plain(cell: str) -> bool:
    has_margin = cell[0] == " " or cell[-1] == " "
    return not (has_margin or len(cell) > _LONGEST or _MARKED.search(cell))


def _marked(cell: str, cut: str) -> str:
    """A text that XML has to be told in another way, with the end of its tag."""
    told = for_xml(cell)
    units = told.encode("utf-16-le")
    if len(units) > 2 * _LONGEST:
        told = units[: 2 * (_LONGEST - len(cut))].decode("utf-16-le", errors="ignore") + cut
    xml = escaped(_ESCAPE.sub("_x005F_", told))
    return f' xml:space="preserve">{xml}' if told != told.strip() else f">{xml}"
