"""Names and diameters of raceways.

A trade size or metric designator is a name: looked up here, never converted.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from modelcheck.rules.tables import TableRow, read_table
from modelcheck.units import Unit, to_metres


@dataclass(frozen=True, slots=True, kw_only=True)
class Designation(TableRow):
    """The two names of one raceway size."""

    trade_size_in: str  # as the trade writes it: 1-1/4
    metric_designator: int
    inches: float  # nominal value of the name, not a measured length

    def nominal(self, unit: Unit) -> float:
        """Value of the name that the multipliers work on, in `unit`."""
        return self.inches if unit == "in" else float(self.metric_designator)

    def label(self, unit: Unit) -> str:
        """Both names, the one of `unit` first: ``53 (2)`` or ``2 in (53)``."""
        if unit == "in":
            return f"{self.trade_size_in} in ({self.metric_designator})"
        return f"{self.metric_designator} ({self.trade_size_in})"

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"{self.trade_size_in} in is {self.metric_designator}"


@dataclass(frozen=True, slots=True, kw_only=True)
class OutsideDiameter(TableRow):
    """Outside diameter of one size of one raceway type."""

    raceway_type: str
    trade_size_in: str
    metric_designator: int
    diameter_in: float

    @property
    def diameter_m(self) -> float:
        """The same in metres."""
        return to_metres(self.diameter_in, "in")

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return (
            f"outside diameter of {self.raceway_type} {self.trade_size_in}: {self.diameter_in:g} in"
        )


def designations() -> tuple[Designation, ...]:
    """Every size, smallest first."""
    return read_table("trade_sizes.csv", Designation)


def outside_diameters() -> tuple[OutsideDiameter, ...]:
    """Every outside diameter that is tabulated."""
    return read_table("outside_diameters.csv", OutsideDiameter)


def by_trade_size(text: str) -> Designation | None:
    """Size of this trade size in inches, written as in the table (``1-1/4``), or None."""
    return _by_trade_size().get(text)


def by_metric_designator(designator: int) -> Designation | None:
    """Size of this metric designator, or None."""
    return _by_metric_designator().get(designator)


def outside_diameter(raceway_type: str, trade_size_in: str) -> OutsideDiameter | None:
    """Row of this type and size, or None: no other type stands in for an unknown one."""
    return _by_type_and_size().get((raceway_type, trade_size_in))


def outside_diameter_m(raceway_type: str, trade_size_in: str) -> float | None:
    """Outside diameter of this type and size, or None if it isn't tabulated."""
    row = outside_diameter(raceway_type, trade_size_in)
    return None if row is None else row.diameter_m


@cache
def _by_trade_size() -> dict[str, Designation]:
    return {row.trade_size_in: row for row in designations()}


@cache
def _by_metric_designator() -> dict[int, Designation]:
    return {row.metric_designator: row for row in designations()}


@cache
def _by_type_and_size() -> dict[tuple[str, str], OutsideDiameter]:
    return {(row.raceway_type, row.trade_size_in): row for row in outside_diameters()}
