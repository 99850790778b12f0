"""Numbers and lengths written in text."""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction
from functools import lru_cache

from modelcheck.units import M_PER_CM, M_PER_FOOT, M_PER_INCH, M_PER_MM

NUMBER = r"\d{1,4}[\s-]+\d{1,2}/\d{1,2}|\d{1,2}/\d{1,2}|\d{0,5}\.\d{1,6}|\d{1,5}"

UNITS_M = {
    "mm": M_PER_MM,
    "cm": M_PER_CM,
    "m": 1.0,
    '"': M_PER_INCH,
    "in": M_PER_INCH,
    "inch": M_PER_INCH,
    "inches": M_PER_INCH,
    "'": M_PER_FOOT,
    "ft": M_PER_FOOT,
    "feet": M_PER_FOOT,
}
_UNIT = "|".join(sorted(UNITS_M, key=len, reverse=True))
_LENGTH = re.compile(rf"\s*(?P<number>{NUMBER})\s*(?P<unit>{_UNIT})?\.?\s*")
_FEET_AND_INCHES = re.compile(
    rf"\s*(?P<feet>\d{{1,4}})\s*(?:'|ft\.?|feet)\s*-?\s*(?P<inches>{NUMBER})\s*(?:\"|in\.?)\s*"
)
_FRACTIONS = re.compile("([\u00bc-\u00be\u2150-\u215e])")
_SIGNS = str.maketrans(
    {"\u2044": "/", "\u2033": '"', "\u201c": '"', "\u201d": '"', "\u2032": "'", "\u2019": "'"}
    | dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-")
    | dict.fromkeys("\u00d8\u00f8\u2300\u2205", " ")
    | {"\u00d7": "x"}
)


@lru_cache(maxsize=16384)
def plain_signs(text: str) -> str:
    """`text` in small letters with plain fractions, quotes, dashes and times signs."""
    apart = _FRACTIONS.sub(r" \1 ", text).translate(_SIGNS)
    plain = unicodedata.normalize("NFKC", apart).translate(_SIGNS).replace("''", '"').casefold()
    return re.sub(r"(\d) +(?=\d+/\d)", r"\1 ", plain)


def number_value(number: str) -> float:
    """Value of ``2``, ``1.25``, ``3/4``, ``1-1/4`` or ``1 1/4``; 0 for ``4/0``, a conductor."""
    if re.search(r"/0+$", number):
        return 0.0
    return float(sum(Fraction(part) for part in re.split(r"[\s-]+", number.strip())))


def lengths_in(text: str, *, units_m: tuple[float, ...]) -> tuple[tuple[float, ...], ...]:
    """Lengths that `text` is made of, joined by ``x``, each with what it may mean; or nothing.

    Parameters
    ----------
    text : str
        Such as ``600 mm``, ``2'-6"`` or ``24 x 18 x 8 in``.
    units_m : tuple of float
        Units to take for a number without one, likeliest first. [m]
    """
    parts = re.split(r"\s*(?:x|\*|(?<![a-z])by(?![a-z]))\s*", plain_signs(text))
    matches = [_FEET_AND_INCHES.fullmatch(part) or _LENGTH.fullmatch(part) for part in parts]
    if not all(matches):
        return ()
    found = [match.groupdict() for match in matches if match]
    last_unit = found[-1].get("unit")
    return tuple(
        _readings(each, UNITS_M.get(each.get("unit") or last_unit or ""), units_m) for each in found
    )


def _readings(
    found: dict[str, str | None], unit_m: float | None, units_m: tuple[float, ...]
) -> tuple[float, ...]:
    if found.get("feet"):
        feet, inches = float(found["feet"] or 0), number_value(found["inches"] or "0")
        return (feet * M_PER_FOOT + inches * M_PER_INCH,)
    value = number_value(found["number"] or "0")
    return (value * unit_m,) if unit_m else tuple(value * each for each in units_m)
