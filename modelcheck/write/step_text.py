"""IFC models as the text that they are: what is added or taken out, all else byte for byte."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from os import SEEK_END
from shutil import copyfileobj
from typing import BinaryIO

_TAIL_BYTES = 4096
_HEAD_BYTES = 4096
_PART_BYTES = 1 << 20  # that are copied at a time
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


Span = tuple[int, int]  # begin and end in a text
Argument = Ref | Typed | Enum | str | int | float | None | tuple[Ref, ...]


def end_of_data(text: BinaryIO) -> int | None:
    """Place of the ``ENDSEC`` that closes the last data section; None in an unusual file."""
    start = max(0, text.seek(0, SEEK_END) - _TAIL_BYTES)
    text.seek(start)
    found = _TAIL.search(text.read())
    return None if found is None else start + found.start()


def line_end(text: BinaryIO) -> str:
    """Line end that `text` begins with."""
    text.seek(0)
    return "\r\n" if b"\r\n" in text.read(_HEAD_BYTES) else "\n"


def holds(text: BinaryIO, word: bytes) -> bool:
    """Whether a word is in `text`."""
    return any(word in lines for lines in _kept(text, text.seek(0, SEEK_END), ()))


def spans_of(text: BinaryIO, step_ids: Collection[int]) -> list[Span]:
    """Begin and end of the statements of these instances, each with its line end."""
    wanted = {str(step_id).encode() for step_id in step_ids}
    text.seek(0)
    statements = _STATEMENT.finditer(text.read())
    return [match.span() for match in statements if match[1].lstrip(b"0") in wanted]


def copy_kept(
    text: BinaryIO, target: BinaryIO, *, end: int, gone: Sequence[Span], greatest: int
) -> int:
    """Copy `text` up to the place `end`, without the spans that are `gone`, which are in order.

    Returns
    -------
    int
        Greatest number that an instance of it has or refers to, or `greatest` if that is more. A
        reference to nothing must stay one: its number is not free either.
    """
    above, is_above = _above(greatest), False
    for lines in _kept(text, end, gone):
        target.write(lines)
        is_above = is_above or above.search(lines) is not None
    if not is_above:
        return greatest
    whole = b"".join(_kept(text, end, gone))
    found = (int(match[1]) for match in _OUTSIDE_STRINGS.finditer(whole) if match[1])
    return max((number for number in found if number < _MOST), default=greatest)


def copy_rest(text: BinaryIO, target: BinaryIO, *, end: int) -> None:
    """Copy `text` from the place `end` on."""
    text.seek(end)
    copyfileobj(text, target)


def _kept(text: BinaryIO, end: int, gone: Sequence[Span]) -> Iterator[bytes]:
    """Text up to `end` but for what is `gone`, in parts that break no line."""
    starts, stops = (0, *(stop for _, stop in gone)), (*(start for start, _ in gone), end)
    for start, stop in zip(starts, stops, strict=True):
        text.seek(start)
        left = stop - start
        while lines := text.read(min(left, _PART_BYTES)):
            lines += text.readline(left - len(lines))
            left -= len(lines)
            yield lines


def statement(step_id: int, ifc_class: str, arguments: Iterable[Argument]) -> str:
    """Write one instance."""
    return f"#{step_id}={ifc_class.upper()}({','.join(map(_spelled, arguments))});"


def _spelled(argument: Argument) -> str:
    match argument:
        case str():
            plain = _PLAIN.fullmatch(argument)
            return f"'{argument if plain else ''.join(_encoded(argument))}'"
        case tuple():
            return f"({','.join([f'#{each.step_id}' for each in argument])})"
        case None:
            return "$"
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
    """Pattern of a reference to a number greater than `number`, or to one that begins with 0."""
    digits = str(number)
    same_length = (
        f"{digits[:place]}[{int(digit) + 1}-9]\\d{{{len(digits) - place - 1}}}"
        for place, digit in enumerate(digits)
        if digit != "9"
    )
    is_greater = f"\\d|(?<=#(?:{'|'.join(same_length)}))"  # it is longer, or looked back at
    return re.compile(f"#\\d{{{len(digits)}}}(?:{is_greater})".encode())
