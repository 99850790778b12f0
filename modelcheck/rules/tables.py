"""The one reader of the tables in ``data``: typed rows, a bad one named by its file and line."""

from __future__ import annotations

import csv
import tomllib
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, fields
from functools import cache
from importlib.resources import files
from typing import Any, Literal, TypeVar, get_args, get_origin, get_type_hints

from modelcheck.errors import TableError

HOW = ("seen", "derived", "memory")
UNCHECKED = "figure not checked against the code book"
_DATA = files("modelcheck.rules") / "data"


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRow:
    """What every row ends with: its clause and how the figure was obtained."""

    clause: str
    source: str  # a key of sources.toml
    how: str  # seen, derived or memory
    note: str = ""

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return ""

    @property
    def caveats(self) -> tuple[str, ...]:
        """What a finding says of a figure that was not seen in a source; nothing if it was."""
        if self.how == "seen":
            return ()
        origin = "from memory" if self.how == "memory" else "derived"
        what = ", ".join(part for part in (self.clause, self.figure) if part)
        return (f"{UNCHECKED}: {what} ({origin})",)


@dataclass(frozen=True, slots=True, kw_only=True)
class CodedRow(TableRow):
    """A row that one code has from some edition on."""

    code: str  # cec, nec or any
    edition_from: str  # year; empty: every edition


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where figures were read."""

    title: str
    edition: str
    read: str
    address: str = ""


RowT = TypeVar("RowT", bound=TableRow)
CodedT = TypeVar("CodedT", bound=CodedRow)
KeyT = TypeVar("KeyT", bound=Hashable)


def in_force(
    rows: Sequence[CodedT], *, code: str, edition: str, key: Callable[[CodedT], KeyT]
) -> dict[KeyT, CodedT]:
    """Newest row of each `key` that `edition` of `code` has; years are compared as text."""
    held = [row for row in rows if row.code in (code, "any") and row.edition_from <= edition]
    return {key(row): row for row in sorted(held, key=lambda row: row.edition_from)}


@cache
def sources() -> dict[str, Source]:
    """Sources by key, as ``sources.toml`` lists them."""
    text = (_DATA / "sources.toml").read_text(encoding="utf-8")
    return {key: Source(**entry) for key, entry in tomllib.loads(text).items()}


@cache
def read_table(name: str, record: type[RowT]) -> tuple[RowT, ...]:
    """Rows of ``data/name`` as `record`, in file order.

    Parameters
    ----------
    name : str
        File name of the table.
    record : type
        A subclass of `TableRow`; its own fields, then those of `TableRow`, are the columns.

    Raises
    ------
    TableError
        If a column, a cell, a source or a way of reading is not one of the known ones.
    """
    last = [field.name for field in fields(TableRow)]
    wanted = [field.name for field in fields(record) if field.name not in last] + last
    lines = (_DATA / name).read_text(encoding="utf-8").splitlines()
    reader = csv.DictReader(lines, strict=True)
    if reader.fieldnames != wanted:
        raise TableError(f"{name}: the columns must be {','.join(wanted)}")
    hints = get_type_hints(record)
    return tuple(
        _typed(row, record, hints=hints, where=f"{name}:{reader.line_num}") for row in reader
    )


def _typed(row: dict[str, str], record: type[RowT], *, hints: dict[str, Any], where: str) -> RowT:
    if None in row or None in row.values():
        raise TableError(f"{where}: the row must have {len(hints)} cells")
    if row["source"] not in sources():
        raise TableError(f"{where}: source is {row['source']!r}, which sources.toml does not list")
    if row["how"] not in HOW:
        raise TableError(f"{where}: how is {row['how']!r}, it must be one of {', '.join(HOW)}")
    cells = {}
    for column, text in row.items():
        try:
            cells[column] = _cell(text, hints[column])
        except ValueError:
            raise TableError(f"{where}: {column} is {text!r}") from None
    return record(**cells)


def _cell(text: str, hint: Any) -> Any:  # noqa: ANN401 - a cell has the type its column says
    if get_origin(hint) is not Literal:
        return _CELLS[hint](text)
    if text not in get_args(hint):
        raise ValueError(text)
    return text


def _yes_or_no(text: str) -> bool:
    if text not in ("yes", "no"):
        raise ValueError(text)
    return text == "yes"


_CELLS: dict[Any, Callable[[str], Any]] = {
    str: str,
    int: int,
    float: float,
    bool: _yes_or_no,
    int | None: lambda text: int(text) if text else None,
    float | None: lambda text: float(text) if text else None,
}
