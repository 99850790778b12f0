"""Sizes and diameters of conductors."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from modelcheck.rules.tables import TableRow, read_table
from modelcheck.units import Unit

_SPELLINGS = re.compile(
    r"(?:no\.?|#)?\s*(?P<number>\d+(?:/0)?)\s*(?P<unit>awg|kcmil|mcm)?", re.IGNORECASE
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ConductorSize(TableRow):
    """One size of the series; sizes compare by their area."""

    size: str
    area_kcmil: float  # only tells which of two is larger

    def __le__(self, other: ConductorSize) -> bool:
        return self.area_kcmil <= other.area_kcmil

    def __lt__(self, other: ConductorSize) -> bool:
        return self.area_kcmil < other.area_kcmil


@dataclass(frozen=True, slots=True, kw_only=True)
class Conductor(TableRow):
    """One size with one insulation."""

    size: str
    names: str  # insulations that this row holds for, by their first word
    diameter_in: float
    diameter_mm: float
    area_in2: float
    area_mm2: float

    def diameter(self, unit: Unit) -> float:
        """Outside diameter as the table prints it in `unit`."""
        return self.diameter_in if unit == "in" else self.diameter_mm

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"{self.size} {self.names.split()[0]}: {self.diameter_mm:g} mm"


def conductor_sizes() -> tuple[ConductorSize, ...]:
    """Every size, smallest first."""
    return read_table("conductor_sizes.csv", ConductorSize)


def conductors() -> tuple[Conductor, ...]:
    """Every tabulated conductor."""
    return read_table("conductors.csv", Conductor)


def insulations() -> tuple[str, ...]:
    """Names of insulation that the table has, sorted."""
    return tuple(sorted({name for row in conductors() for name in row.names.split()}))


@cache
def conductor_size(text: str) -> ConductorSize | None:
    """Size that `text` names (``250 kcmil``, ``4 AWG``, ``No. 4``, ``4/0``), or None."""
    match = _SPELLINGS.fullmatch(text.strip())
    if match is None:
        return None
    number, unit = match["number"], (match["unit"] or "").lower().replace("mcm", "kcmil")
    candidates = [f"{number} AWG"] * (unit != "kcmil") + [f"{number} kcmil"] * (unit != "awg")
    return next((size for name in candidates if (size := _sizes().get(name))), None)


def conductor(size: str, insulation: str) -> Conductor | None:
    """Row of this size and of the insulation's first word, or None if there is none.

    Compact stranding goes by its first two words: ``compact XHHW``.
    """
    named = conductor_size(size)
    words = insulation.upper().split()
    if named is None or not words:
        return None
    name = "-".join(words[:2]) if words[0] == "COMPACT" else words[0]
    return _rows().get((named.size, name))


def largest(sizes: Sequence[ConductorSize]) -> ConductorSize | None:
    """Largest of `sizes`, or None if there is none."""
    return max(sizes, key=lambda size: size.area_kcmil, default=None)


@cache
def _sizes() -> dict[str, ConductorSize]:
    return {row.size: row for row in conductor_sizes()}


@cache
def _rows() -> dict[tuple[str, str], Conductor]:
    return {(row.size, name.upper()): row for row in conductors() for name in row.names.split()}
