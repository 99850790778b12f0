"""Damages the text of a model by lot, in the ways that files are damaged."""

from __future__ import annotations

import re
from collections.abc import Callable
from random import Random

_NUMBER = re.compile(rb"(?<=[(,])-?\d+\.\d*(?:E[-+]?\d+)?(?=[,)])")
_REFERENCE = re.compile(rb"(?<=[(,])#\d+(?=[,)])")
_ARGUMENT = re.compile(rb"(?<=[(,])[^(),]+(?=[,)])")
_NUMBERS = (b"0.", b"-1.", b"1.E300", b"-1.E-300", b"1.E9", b"$", b"()", b"'x'", b"1.E999", b"NAN")


def _flip(text: bytes, lot: Random) -> bytes:
    """Other bytes in up to four places."""
    spoilt = bytearray(text)
    for _ in range(lot.randint(1, 4)):
        spoilt[lot.randrange(len(spoilt))] = lot.choice((lot.randrange(256), *b"#,();'$*.0 \n"))
    return bytes(spoilt)


def _lines(text: bytes, lot: Random, change: Callable[[list[bytes], int], None]) -> bytes:
    lines = text.splitlines(keepends=True)
    for _ in range(lot.randint(1, 3)):
        change(lines, lot.randrange(len(lines)))
    return b"".join(lines)


def _drop(text: bytes, lot: Random) -> bytes:
    return _lines(text, lot, lambda lines, place: lines.__setitem__(place, b""))


def _swap(text: bytes, lot: Random) -> bytes:
    """Two statements change numbers: what refers to one finds the other."""

    def change(lines: list[bytes], place: int) -> None:
        other = lot.randrange(len(lines))
        mine, yours = lines[place].partition(b"="), lines[other].partition(b"=")
        lines[place], lines[other] = mine[0] + b"=" + yours[2], yours[0] + b"=" + mine[2]

    return _lines(text, lot, change)


def _double(text: bytes, lot: Random) -> bytes:
    """A statement again, further down, mostly as another instance."""

    def change(lines: list[bytes], place: int) -> None:
        again = lines[place]
        if lot.random() < 0.7:
            again = re.sub(rb"^#\d+", b"#%d" % lot.randrange(10**5, 10**9), again)
        lines.insert(lot.randrange(place, len(lines)), again)

    return _lines(text, lot, change)


def _replaced(text: bytes, lot: Random, what: re.Pattern[bytes], by: Callable[[], bytes]) -> bytes:
    places = list(what.finditer(text))
    for match in sorted(lot.sample(places, min(len(places), lot.randint(1, 3))), key=_backwards):
        text = text[: match.start()] + by() + text[match.end() :]
    return text


def _backwards(match: re.Match[bytes]) -> int:
    return -match.start()


def _number(text: bytes, lot: Random) -> bytes:
    def by() -> bytes:
        return lot.choice(
            (*_NUMBERS, b"%.6f" % lot.uniform(-1e4, 1e4), b"%.6f" % lot.uniform(0, 1))
        )

    return _replaced(text, lot, _NUMBER, by)


def _refer(text: bytes, lot: Random) -> bytes:
    """References that lead elsewhere, to what isn't there or nowhere."""
    known = _REFERENCE.findall(text) or [b"#1"]
    return _replaced(
        text, lot, _REFERENCE, lambda: lot.choice((*lot.sample(known, 1), b"#0", b"$"))
    )


def _empty(text: bytes, lot: Random) -> bytes:
    return _replaced(text, lot, _ARGUMENT, lambda: lot.choice((b"$", b"()", b"*", b"''", b".X.")))


def _cut(text: bytes, lot: Random) -> bytes:
    """The end is missing, or a piece in the middle."""
    start = lot.randrange(len(text))
    if lot.random() < 0.5:
        return text[:start]
    return text[:start] + text[start + lot.randrange(1, 400) :]


WAYS: dict[str, Callable[[bytes, Random], bytes]] = {
    "flip": _flip,
    "drop": _drop,
    "swap": _swap,
    "double": _double,
    "number": _number,
    "refer": _refer,
    "empty": _empty,
    "cut": _cut,
}


def spoil(text: bytes, lot: Random) -> tuple[bytes, str]:
    """Damage `text` in up to three ways; gives the damaged text and the names of the ways."""
    ways = lot.sample(sorted(WAYS), lot.choice((1, 1, 1, 2, 3)))
    for way in ways:
        text = WAYS[way](text, lot) or b"\n"
    return text, "+".join(ways)
