"""TOML files read key by key: a mistake is named with its line, an unknown key with the nearest."""

from __future__ import annotations

import re
import sys
import tomllib
from collections.abc import Collection, Iterator, Mapping, Sequence
from datetime import date
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from modelcheck.errors import InputFileError

KeyPath = tuple[str | int, ...]
_SHOWN_LENGTH = 60


def read_toml(path: Path) -> TomlTable:
    """Top table of the TOML file at `path`.

    Raises
    ------
    InputFileError
        If there is no such file, or it isn't UTF-8 text, or isn't TOML.
    """
    text = _text_of(path)
    try:
        values = tomllib.loads(text)
    except ValueError as error:  # also of a number with thousands of digits
        what, line = _placed(str(error), text)
        raise InputFileError(f"this is not TOML: {what}", path=path, line=line) from None
    except RecursionError:
        raise InputFileError("its values are nested too deep", path=path) from None
    return TomlTable(values, path=path, text=text)


def nearest(word: str, known: Collection[str]) -> str:
    """Say which of `known` is nearest to `word`; empty if none is near."""
    close = get_close_matches(word, sorted(known), n=1, cutoff=0.6)
    return f", did you mean {close[0]!r}" if close else ""


class TomlTable:
    """One table of a TOML file; `done` tells of the keys that nobody asked for."""

    def __init__(
        self, values: Mapping[str, Any], *, path: Path, text: str, at: KeyPath = ()
    ) -> None:
        self.path = path
        self._values = values
        self._text = text
        self._at = at
        self._asked: list[str] = []

    def error(self, message: str, *, key: str | None = None) -> InputFileError:
        """Make the error that says `message` of this table, or of its `key`, with the line."""
        at = self._at if key is None else (*self._at, key)
        return InputFileError(f"{_spelled(at)}{message}", path=self.path, line=self._line_of(at))

    def has(self, key: str) -> bool:
        """Tell whether the table says something of `key`."""
        return self._value(key) is not None

    def __iter__(self) -> Iterator[str]:
        return iter(self._values)

    def text(self, key: str, default: str = "") -> str:
        """Text at `key`."""
        value = self._value(key)
        if value is None:
            return default
        if not isinstance(value, str) or not value.strip():
            raise self.error(f"is {_shown(value)}, it must be a text", key=key)
        return value.strip()

    def choice(self, key: str, options: Sequence[str]) -> str | None:
        """One of `options` at `key`, or None."""
        value = self._value(key)
        if value is None:
            return None
        if value not in options:
            raise self.error(f"is {_shown(value)}, it must be {_either(options)}", key=key)
        return str(value)

    def texts(self, key: str, options: Sequence[str] = ()) -> tuple[str, ...]:
        """Text or list of texts at `key`, each one of `options` if there are any."""
        value = self._value(key)
        if value is None:
            return ()
        several = value if isinstance(value, list) else [value]
        for each in several:
            if not isinstance(each, str) or not each.strip() or (options and each not in options):
                wanted = _either(options) if options else "a text"
                raise self.error(f"has {_shown(each)}, each must be {wanted}", key=key)
        return tuple(each.strip() for each in several)

    def number(self, key: str, *, least: float | None = None) -> float | None:
        """Return the number at `key`, at least `least`, or None."""
        value = self._value(key)
        return None if value is None else self._checked(value, key=key, least=least)

    def positive(self, key: str) -> float | None:
        """Return the number above 0 at `key`, or None."""
        value = self.number(key)
        if value is not None and value <= 0:
            raise self.error(f"is {value:g}, it must be more than 0", key=key)
        return value

    def numbers(self, key: str, count: int) -> tuple[float, ...] | None:
        """List of `count` numbers at `key`, or None."""
        value = self._value(key)
        if value is None:
            return None
        if not isinstance(value, list) or len(value) != count:
            raise self.error(f"is {_shown(value)}, it must be a list of {count} numbers", key=key)
        return tuple(self._checked(each, key=key) for each in value)

    def number_rows(self, key: str, count: int) -> tuple[tuple[float, ...], ...]:
        """List of lists of `count` numbers at `key`; empty if there is none."""
        value = self._value(key)
        rows = [] if value is None else value
        if not isinstance(rows, list) or any(
            not isinstance(row, list) or len(row) != count for row in rows
        ):
            message = f"is {_shown(value)}, it must be a list of lists of {count} numbers"
            raise self.error(message, key=key)
        return tuple(tuple(self._checked(each, key=key) for each in row) for row in rows)

    def whole(self, key: str) -> int | None:
        """Return the whole number at `key`, 0 or more, or None."""
        value = self._value(key)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int) or value < 0:
            raise self.error(f"is {_shown(value)}, it must be a whole number", key=key)
        return value

    def flag(self, key: str) -> bool | None:
        """Return true or false at `key`, or None."""
        value = self._value(key)
        if value is not None and not isinstance(value, bool):
            raise self.error(f"is {_shown(value)}, it must be true or false", key=key)
        return value

    def date(self, key: str) -> str:
        """Return the date at `key` as YYYY-MM-DD, written so or as a text; empty if none is."""
        value = self._value(key)
        if value is None:
            return ""
        try:
            day = date.fromisoformat(value) if isinstance(value, str) else value
        except ValueError:
            day = None
        if type(day) is not date:  # a time of day is no date
            raise self.error(f"is {_shown(value)}, it must be a date such as 2026-01-31", key=key)
        return day.isoformat()

    def table(self, key: str) -> TomlTable:
        """Table at `key`; an empty one if there is none."""
        value = self._value(key)
        if value is not None and not isinstance(value, dict):
            raise self.error(f"is {_shown(value)}, it must be a table", key=key)
        return TomlTable(value or {}, path=self.path, text=self._text, at=(*self._at, key))

    def tables(self, key: str) -> tuple[TomlTable, ...]:
        """Every table of the array at `key`."""
        value = self._value(key)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(each, dict) for each in value):
            raise self.error(f"must be a list of tables, each under [[{key}]]", key=key)
        return tuple(
            TomlTable(each, path=self.path, text=self._text, at=(*self._at, key, place))
            for place, each in enumerate(value)
        )

    def done(self) -> None:
        """Refuse the keys that nobody asked for.

        Raises
        ------
        InputFileError
            With the first of them, its line and the nearest known key.
        """
        for key in self._values:
            if key not in self._asked:
                known = (
                    f"known here: {', '.join(self._asked)}"
                    if self._asked
                    else "nothing is set here"
                )
                raise self.error(f"is not known{nearest(key, self._asked)}; {known}", key=key)

    def _value(self, key: str) -> Any:  # noqa: ANN401 - TOML holds anything
        if key not in self._asked:
            self._asked.append(key)
        return self._values.get(key)

    def _checked(self, value: object, *, key: str, least: float | None = None) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float) or not _is_finite(value):
            raise self.error(f"has {_shown(value)}, it must be a number", key=key)
        if least is not None and value < least:
            raise self.error(f"is {value:g}, it must be {least:g} or more", key=key)
        return float(value)

    def _line_of(self, at: KeyPath) -> int | None:
        """Line of the key, or of the nearest table round it that has one."""
        lines = _lines(self._text)
        while at and at not in lines:
            at = at[:-1]
        return lines.get(at)


def _text_of(path: Path) -> str:
    try:
        return path.read_bytes().decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        raise InputFileError(
            f"byte {error.start} is not UTF-8 text; save the file as UTF-8", path=path
        ) from None
    except OSError as error:
        raise InputFileError(f"can't be read: {error.strerror}", path=path) from None


def _placed(message: str, text: str) -> tuple[str, int | None]:
    """Split tomllib's message into what it says and the line of `text`, where it gives one."""
    found = re.fullmatch(r"(.*) \((?:at line (\d+), column \d+|at end of document)\)", message)
    if not found:
        return message, None
    return found[1], int(found[2] or len(text.rstrip().splitlines()))


def _lines(text: str) -> dict[KeyPath, int]:
    """Line of each table header and key, as far as they can be told line by line."""
    lines: dict[KeyPath, int] = {}
    counts: dict[KeyPath, int] = {}
    table: KeyPath = ()
    for number, line in enumerate(text.splitlines(), start=1):
        header = re.match(r"\s*(\[\[?)(.+?)\]", line)
        if header:
            table = _header_path(_parts(header[2]), counts=counts, is_array=header[1] == "[[")
            lines.setdefault(table, number)
        elif key := re.match(r"\s*([^=#]+)=", line):
            path = table
            for part in _parts(key[1]):
                path = (*path, part)
                lines.setdefault(path, number)
    return lines


def _parts(dotted: str) -> tuple[str, ...]:
    """Split a dotted key the way TOML does; nothing if it isn't one."""
    try:
        value: Any = tomllib.loads(f"{dotted} = 0")
    except ValueError:
        return ()
    parts = []
    while isinstance(value, dict):
        ((part, value),) = value.items()
        parts.append(part)
    return tuple(parts)


def _header_path(parts: Sequence[str], *, counts: dict[KeyPath, int], is_array: bool) -> KeyPath:
    path: KeyPath = ()
    for place, part in enumerate(parts):
        path = (*path, part)
        if is_array and place == len(parts) - 1:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path


def _spelled(at: KeyPath) -> str:
    """Write a key path for a person: ``box 2 entry 1 wall``, or ``box "PB-1" cover``."""
    words = [
        str(part + 1)
        if isinstance(part, int)
        else part
        if re.fullmatch(r"\w+", part)
        else f'"{part}"'
        for part in at
    ]
    return " ".join(words) + " " if words else ""


def _either(options: Sequence[str]) -> str:
    quoted = [f"'{option}'" for option in options]
    return quoted[0] if len(quoted) == 1 else f"{', '.join(quoted[:-1])} or {quoted[-1]}"


def _is_finite(value: float) -> bool:
    return abs(value) <= sys.float_info.max


def _shown(value: object) -> str:
    text = repr(value) if isinstance(value, str) else str(value)
    return text if len(text) <= _SHOWN_LENGTH else f"{text[: _SHOWN_LENGTH - 3]}..."
