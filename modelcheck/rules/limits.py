"""Single figures that no other table holds."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from modelcheck.rules.tables import CodedRow, TableRow, in_force, read_table


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit(CodedRow):
    """One named figure."""

    name: str
    value: float
    unit: str

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"{self.name} {self.value:g} {self.unit}"


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckClause(CodedRow):
    """Clause of a check whose figures stand in other tables, or that has none."""

    check: str

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"number of the clause for {self.check}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Edition(TableRow):
    """An edition that can be chosen."""

    code: str
    edition: str
    is_default: bool


def limits() -> tuple[Limit, ...]:
    """Every named figure."""
    return read_table("limits.csv", Limit)


def check_clauses() -> tuple[CheckClause, ...]:
    """Every clause that stands for a whole check."""
    return read_table("clauses.csv", CheckClause)


def editions() -> tuple[Edition, ...]:
    """Every edition that can be chosen."""
    return read_table("editions.csv", Edition)


def default_edition(code: str) -> str | None:
    """Edition of `code` that holds when none is given; None if the code isn't known."""
    return next((row.edition for row in editions() if row.code == code and row.is_default), None)


def every_edition(name: str) -> Limit:
    """Figure that all codes and editions share."""
    return _shared()[name]


@cache
def _shared() -> dict[str, Limit]:
    return in_force(limits(), code="any", edition="", key=lambda row: row.name)
