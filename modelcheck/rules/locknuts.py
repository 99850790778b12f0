"""Room that a locknut takes on the inside of a wall."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from modelcheck.rules.tables import TableRow, read_table
from modelcheck.units import to_metres


@dataclass(frozen=True, slots=True, kw_only=True)
class Locknut(TableRow):
    """Widest measure of the locknut of one trade size."""

    trade_size_in: str
    across_in: float  # across the lugs

    @property
    def radius_m(self) -> float:
        """Half of it in metres."""
        return to_metres(self.across_in, "in") / 2

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"locknut of {self.trade_size_in} in is {self.across_in:g} in across"


def locknuts() -> tuple[Locknut, ...]:
    """Every locknut that is tabulated."""
    return read_table("locknut_clearance.csv", Locknut)


def locknut(trade_size_in: str) -> Locknut | None:
    """Locknut of this trade size, or None: no other stands in for it."""
    return _by_trade_size().get(trade_size_in)


@cache
def _by_trade_size() -> dict[str, Locknut]:
    return {row.trade_size_in: row for row in locknuts()}
