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

from modelcheck.write.csv_tables import Column, Table
from modelcheck.write.xml_text import escaped, for_xml

_LEVEL = 3  # of compression: a third of the time of 6, for a seventh more of room
_LONGEST = 32_767  # characters that a cell can hold, in UTF-16
_CUT = "... (cut; whole in {file})"
_NUMBER = r"-?[0-9]+(?:\.[0-9]+)?"
_NUMBERS = re.compile(f"(?:{_NUMBER})?(?:\n(?:{_NUMBER})?)*")
_TOLD_OTHERWISE = bytes({*range(32), 127, *b"&<>"} - {*b"\n"})  # of ASCII
_VALUE = ("><v>", "</v></c>")  # what stands before and after a number
_INLINE = (' t="inlineStr"><is><t>', "</t></is></c>")  # and a text
_SPACED = ' t="inlineStr"><is><t xml:space="preserve">'
_ESCAPE = re.compile("_(?=x[0-9A-Fa-f]{4}_)")  # what else would be read as a character's number
_STYLES = re.compile(r'<col min="(\d+)" max="(\d+)"[^>]* style="(\d+)"')
_DIMENSION = re.compile(r'<dimension ref="[^"]*"/>')
_END = "</sheetData>"


@dataclass(frozen=True, slots=True, kw_only=True)
class Filling:
    """What comes into a sheet below its header."""

    table: Table
    parts: Iterable[Sequence[Column]]  # of the table; asked for to the end
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
    writers = _column_writers(sheet, filling)
    start, end = sheet.split(_END)
    size = f'<dimension ref="A1:{writers[-1].name}{filling.count + 1}"/>'
    yield _DIMENSION.sub(size, start, count=1)
    first, after = 2, filling.count + 2
    for part in filling.parts:
        last = min(first + len(part[0]), after)
        numbers = [str(number) for number in range(first, last)]
        columns = [
            writer.texts(numbers, cells[: last - first])
            for writer, cells in zip(writers, part, strict=True)
        ]
        rows = zip(numbers, *filter(None, columns), strict=True)
        yield "".join([f'<row r="{number}">{"".join(cells)}</row>' for number, *cells in rows])
        first = last
    yield _END + end


def _column_writers(sheet: str, filling: Filling) -> list[_ColumnWriter]:
    """A writer for each column, with the style that `sheet` has for it."""
    styles = {
        place: style
        for first, last, style in _STYLES.findall(sheet)
        for place in range(int(first) - 1, int(last))
    }
    cut = _CUT.format(file=filling.table.file)
    return [
        _ColumnWriter(xl_col_to_name(place), styles[place], is_number=is_number, cut=cut)
        for place, is_number in enumerate(filling.numbers)
    ]


class _ColumnWriter:
    """Writes the cells of one column; what must be told in another way is looked for in all."""

    def __init__(self, name: str, style: str, *, is_number: bool, cut: str) -> None:
        self.name = name
        self._start, self._style = f'<c r="{name}', f'" s="{style}"'
        self._is_number, self._cut = is_number, cut

    def texts(self, numbers: Sequence[str], cells: Column) -> list[str]:
        """Text of each cell, in the rows of these `numbers`; no text if all are empty."""
        if not any(cells):
            return []
        told = zip(numbers, cells, strict=True)
        if not (_are_numbers(cells) if self._is_number else _are_plain(cells)):
            return [self._text(number, cell) for number, cell in told]
        before, after = _VALUE if self._is_number else _INLINE
        start, middle = self._start, f"{self._style}{before}"
        return [f"{start}{number}{middle}{cell}{after}" if cell else "" for number, cell in told]

    def _text(self, number: str, cell: str) -> str:
        """Text of a cell in a column where others are told in another way, or it is itself."""
        before, after = _INLINE
        if not cell:
            return ""
        if self._is_number and _are_numbers((cell,)):
            before, after = _VALUE
        elif not _are_plain((cell,)):
            cell = _marked(cell, self._cut)
            if cell != cell.strip():
                before = _SPACED
        return f"{self._start}{number}{self._style}{before}{cell}{after}"


def _are_numbers(cells: Column) -> bool:
    return _NUMBERS.fullmatch("\n".join(cells)) is not None


def _are_plain(cells: Column) -> bool:
    """Whether XML holds all of `cells` as they are, and a cell of a sheet does."""
    text = "\n".join(("", *cells, ""))
    return (
        text.isascii()
        and len(text.encode().translate(None, _TOLD_OTHERWISE)) == len(text)
        and "_x" not in text
        and "\n " not in text
        and " \n" not in text
        and text.count("\n") == len(cells) + 1
        and (len(text) <= _LONGEST or max(map(len, cells)) <= _LONGEST)
    )


def _marked(cell: str, cut: str) -> str:
    """A text that XML has to be told in another way."""
    told = for_xml(cell)
    units = told.encode("utf-16-le")
    if len(units) > 2 * _LONGEST:
        told = units[: 2 * (_LONGEST - len(cut))].decode("utf-16-le", errors="ignore") + cut
    return escaped(_ESCAPE.sub("_x005F_", told))
