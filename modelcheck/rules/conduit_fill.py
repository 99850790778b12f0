"""Cross-section of a raceway against that of its conductors."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from modelcheck.rules.raceways import by_trade_size
from modelcheck.rules.tables import CodedRow, read_table
from modelcheck.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class FillPercent(CodedRow):
    """Share of a raceway's cross-section that conductors may fill."""

    place: str  # raceway or nipple
    conductors_from: int
    conductors_to: int | None  # None: any more
    percent: float

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"{self.percent:g} percent"


@dataclass(frozen=True, slots=True, kw_only=True)
class RacewayArea(CodedRow):
    """Cross-section inside one size of one raceway type, as one code prints it."""

    raceway_type: str
    trade_size_in: str
    area_in2: float
    area_mm2: float

    def area(self, unit: Unit) -> float:
        """Cross-section in square `unit`, as the table prints it."""
        return self.area_in2 if unit == "in" else self.area_mm2

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"{self.raceway_type} {self.trade_size_in}: {self.area_in2:g} in2"


def fill_percents() -> tuple[FillPercent, ...]:
    """Every share, in file order."""
    return read_table("fill_percents.csv", FillPercent)


def raceway_areas() -> tuple[RacewayArea, ...]:
    """Every cross-section, in file order."""
    return read_table("raceway_areas.csv", RacewayArea)


def raceway_area(raceway_type: str, trade_size_in: str) -> RacewayArea | None:
    """Row of this type and size, or None: no other type stands in for an unknown one."""
    return _areas().get((raceway_type, trade_size_in))


def fill_limit(
    count: int, rows: Sequence[FillPercent], *, place: str = "raceway"
) -> FillPercent | None:
    """Share that `count` conductors may fill, or None where the code has no such row.

    References
    ----------
    nec-2023 Chapter 9 Table 1; cec-2024 Table 8.
    """
    for row in rows:
        above = row.conductors_to is None or count <= row.conductors_to
        if row.place == place and row.conductors_from <= count and above:
            return row
    return None


def raceway_holding(area_in2: float, count: int, rows: Sequence[FillPercent]) -> str | None:
    """Trade size of the smallest raceway that may hold conductors, whatever its type.

    Of each type the smallest that holds them is looked up, and of those the largest taken, so that
    no type is favoured. None where no raceway is large enough.

    Parameters
    ----------
    area_in2 : float
        Area of all conductors together. [in2]
    count : int
        Number of conductors.
    rows : sequence of FillPercent

    References
    ----------
    nec-2023 Chapter 9 Tables 1 and 4.
    """
    limit = fill_limit(count, rows)
    if limit is None:
        return None
    smallest: dict[str, RacewayArea] = {}
    for row in raceway_areas():
        held = area_in2 <= row.area_in2 * limit.percent / 100.0
        known = smallest.get(row.raceway_type)
        if held and (known is None or row.area_in2 < known.area_in2):
            smallest[row.raceway_type] = row
    sizes = [size for row in smallest.values() if (size := by_trade_size(row.trade_size_in))]
    largest = max(sizes, key=lambda size: size.inches, default=None)
    return None if largest is None else largest.trade_size_in


def most_of_one_size(allowed: float, each: float, *, round_up_from: float | None) -> int:
    """How many conductors of one size an area takes.

    Parameters
    ----------
    allowed : float
        Area that may be filled. [unit^2]
    each : float
        Area of one conductor. [unit^2]
    round_up_from : float or None
        Fraction of a conductor from which one more is allowed; None: none. [-]

    References
    ----------
    nec-2023 Chapter 9 Table 1 Note 7.
    """
    whole, rest = divmod(allowed / each, 1)
    return int(whole) + (round_up_from is not None and rest >= round_up_from)


@cache
def _areas() -> dict[tuple[str, str], RacewayArea]:
    return {(row.raceway_type, row.trade_size_in): row for row in raceway_areas()}
