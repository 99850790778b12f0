"""A code minimum with the arithmetic that gave it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

from modelcheck.rules.tables import TableRow
from modelcheck.units import Unit, convert, to_metres

MEASURING_TOLERANCE_MM = 0.1  # how far a measured distance may fall short and still meet


@dataclass(frozen=True, slots=True, kw_only=True)
class Requirement:
    """A length that a code asks for, its arithmetic, and the table row behind it."""

    value: float  # [unit]
    unit: Unit
    rule: TableRow
    terms: tuple[tuple[float, float], ...] = ()  # how often each size counts, and the size
    looked_up: str = ""  # in place of terms: where a table has it

    @classmethod
    def of_sum(cls, terms: Sequence[tuple[float, float]], *, unit: Unit, rule: TableRow) -> Self:
        """Add up (count, size) terms; number and working come from the same terms.

        Parameters
        ----------
        terms : sequence of (float, float), shape (n, 2)
            How often each size counts, and the size. [-], [unit]
        unit : {"mm", "in"}
        rule : TableRow
        """
        value = sum([count * size for count, size in terms])
        return cls(value=value, unit=unit, rule=rule, terms=tuple(terms))

    @property
    def value_m(self) -> float:
        """Value converted to metres. [m]"""
        return to_metres(self.value, self.unit)

    @property
    def working(self) -> str:
        """Arithmetic in the unit it was worked in."""
        if self.looked_up:
            return self.looked_up
        spelled = [
            f"{size:g}" if count == 1 else f"{count:g} x {size:g}" for count, size in self.terms
        ]
        return f"{' + '.join(spelled)} = {self.value:g} {self.unit}"

    def value_in(self, unit: Unit) -> float:
        """Value converted to `unit`, never worked again."""
        return convert(self.value, self.unit, unit)

    def working_in(self, unit: Unit) -> str:
        """Arithmetic in the unit it was worked in, and its end in `unit`."""
        return self.working if unit == self.unit else f"{self.working} = {spell(self, unit)}"


def spell(requirement: Requirement, unit: Unit) -> str:
    """Value and unit as the tables round them."""
    return spell_length(requirement.value_in(unit), unit)


def spell_length(length: float, unit: Unit) -> str:
    """Write a length to 0.1 mm or 0.01 in, without idle zeros.

    Parameters
    ----------
    length : float
        A length. [unit]
    unit : {"mm", "in"}
    """
    digits = f"{length:.{1 if unit == 'mm' else 2}f}".rstrip("0").rstrip(".")
    return f"{'0' if digits == '-0' else digits} {unit}"


def meets(provided: float, required: float, *, tolerance: float) -> bool:
    """Whether a measured distance is long enough; nothing is rounded first.

    Parameters
    ----------
    provided : float
        As measured. [unit]
    required : float
        As the code asks. [unit]
    tolerance : float
        How far short still meets. [unit]
    """
    return provided >= required - tolerance
