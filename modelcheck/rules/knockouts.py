"""Holes that raceways of a trade size enter a box through."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from modelcheck.rules.tables import TableRow, read_table
from modelcheck.units import to_metres


@dataclass(frozen=True, slots=True, kw_only=True)
class Knockout(TableRow):
    """Hole of one trade size."""

    trade_size_in: str
    metric_designator: int
    diameter_in: float
    least_in: float
    most_in: float

    @property
    def diameter_m(self) -> float:
        """Nominal diameter of the hole. [m]"""
        return to_metres(self.diameter_in, "in")

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"hole for {self.trade_size_in}: {self.diameter_in:g} in"


def knockouts() -> tuple[Knockout, ...]:
    """Every hole, smallest first."""
    return read_table("knockouts.csv", Knockout)


def knockout(trade_size_in: str) -> Knockout | None:
    """Hole of this trade size, or None if it isn't tabulated."""
    return _by_trade_size().get(trade_size_in)


@cache
def _by_trade_size() -> dict[str, Knockout]:
    return {row.trade_size_in: row for row in knockouts()}
