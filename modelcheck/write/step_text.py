"""IFC models as the text that they are: what is added or taken out, all else byte for byte."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from typing import BinaryIO

_TAIL_BYTES = 4096
_HEAD_BYTES = 4096
_MOST = 10**9  # no file has so many instances: a greater number is damage
_TAIL = re.compile(
    rb"ENDSEC\s*;(?:\s|/\*.*?\*/)*END-ISO-10303-21\s*;(?:\s|/\*.*?\*/)*\Z",
    re.DOTALL | re.IGNORECASE,
)
_STATEMENT = re.compile(rb"#(\d+)\s*=(?:[^;'/]++|'[^']*+'|/\*.*?\*/|/)*+;(?:\r?\n)?", re.DOTALL)
_LETTERS = re.compile(
    r"([\x20-\x7e]+)"
    r"|([\x00-\x1f\x7f-\ud7ff\ue000-\uffff]+)"
    r"|([\U00010000-\U0010ffff]+)"
    r"|[\ud800-\udfff]"
)
_PLAIN = re.compile(r"[ !\"#-&(-\[\]-~]*")  # letters that stand for themselves
_OUTSIDE_STRINGS = re.compile(rb"'[^']*'|#(\d+)")


@dataclass(frozen=True, slots=True)
class Ref:
    """A reference to an instance by its number."""

    step_id: int

    def __str__(self) -> str:
        return f"#{self.step_id}"


@dataclass(frozen=True, slots=True)
class Typed:
    """A value with its IFC type, such as ``IFCLABEL('pass')``."""

    ifc_type: str
    value: str | float | int

    def __str__(self) -> str:
        return f"{self.ifc_type.upper()}({_spelled(self.value)})"


@dataclass(frozen=True, slots=True)
class Enum:
    """A word of an enumeration."""

    word: str

    def __str__(self) -> str:
        return f".{self.word}."


Argument = Ref | Typed | Enum | str | int | float | None | tuple[Ref, ...]


def end_of_data(text: bytes) -> int | None:
    """Place of the ``ENDSEC`` that closes the last data section; None in an unusual file."""
    start = max(0, len(text) - _TAIL_BYTES)
    found = _TAIL.search(text[start:])
    return None if found is None else start + found.start()


def line_end(text: bytes) -> str:
    """Line end that `text` begins with."""
    return "\r\n" if b"\r\n" in text[:_HEAD_BYTES] else "\n"


def greatest_reference(text: bytes, *, at_least: int) -> int:
    """Greatest number that an instance of `text` has or refers to, or `at_least` if that is more.

    A reference to nothing must stay one: its number is not free either.
    """
    if not _above(at_least).search(text):
        return at_least
    found = (int(match[1]) for match in _OUTSIDE_STRINGS.finditer(text) if match[1])
    return max((number for number in found if number < _MOST), default=at_least)


def spans_of(text: bytes, step_ids: Collection[int]) -> list[tuple[int, int]]:
    """Begin and end of the statements of these instances, each with its line end."""
    wanted = {str(step_id).encode() for step_id in step_ids}
    return [match.span() for match in _STATEMENT.finditer(text) if match[1].lstrip(b"0") in wanted]


def without(text: bytes, spans: Iterable[tuple[int, int]]) -> bytes:
    """`text` without these spans, which are in order."""
    parts, done = [], 0
    for start, stop in spans:
        parts.append(text[done:start])
        done = stop
    return b"".join((*parts, text[done:]))


def write_added(text: bytes, target: BinaryIO, *, end: int, lines: Iterable[str]) -> None:
    """Write `text` to `target` with `lines` before the place `end`."""
    view = memoryview(text)
    target.write(view[:end])
    target.writelines(line.encode("ascii") for line in lines)
    target.write(view[end:])


def statement(step_id: int, ifc_class: str, arguments: Iterable[Argument]) -> str:
    """Write one instance."""
    return f"#{step_id}={ifc_class.upper()}({','.join(map(_spelled, arguments))});"


def _spelled(argument: Argument) -> str:
    match argument:
        case None:
            return "$"
        case tuple():
            return f"({','.join(map(_spelled, argument))})"
        case str():
            plain = _PLAIN.fullmatch(argument)
            return f"'{argument if plain else ''.join(_encoded(argument))}'"
        case float():
            return _real(argument)
        case _:
            return str(argument)


def _real(value: float) -> str:
    """Write a number with the point that STEP asks for, to 15 digits."""
    mantissa, _, exponent = f"{value:.15g}".partition("e")
    point = mantissa if "." in mantissa else f"{mantissa}."
    return f"{point}E{int(exponent)}" if exponent else point


def _encoded(text: str) -> Iterator[str]:
    """Text in the letters that STEP allows: the others by their numbers in Unicode."""
    for plain, short, long in _LETTERS.findall(text):
        if plain:
            yield plain.replace("\\", "\\\\").replace("'", "''")
        elif short:
            yield f"\\X2\\{short.encode('utf-16-be').hex().upper()}\\X0\\"
        elif long:
            yield f"\\X4\\{long.encode('utf-32-be').hex().upper()}\\X0\\"
        else:
            yield "?"  # half a surrogate pair


def _above(number: int) -> re.Pattern[bytes]:
    """Pattern of a reference to a number greater than `number`."""
    digits = str(number)
    longer = f"[1-9]\\d{{{len(digits)}}}"
    same_length = (
        f"{digits[:place]}[{int(digit) + 1}-9]\\d{{{len(digits) - place - 1}}}(?!\\d)"
        for place, digit in enumerate(digits)
        if digit != "9"
    )
    return re.compile(f"#(?:{'|'.join((longer, *same_length))})".encode())
