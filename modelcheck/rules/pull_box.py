"""Least distances in a pull or junction box for conductors of 4 AWG and larger."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from modelcheck.errors import RuleInputError
from modelcheck.rules.conductors import Conductor, ConductorSize, conductor_size
from modelcheck.rules.requirement import Requirement
from modelcheck.rules.tables import CodedRow, read_table
from modelcheck.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class PullBoxFactor(CodedRow):
    """One multiplier of one code."""

    check: str
    enclosure: str  # box or wireway
    factor: float  # times the largest nominal size, or the conductor's diameter
    counted: str  # largest, row, wall, larger, conductor: what it is worked over

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"{self.check} by {self.factor:g} x"


@dataclass(frozen=True, slots=True, kw_only=True)
class BendingSpace(CodedRow):
    """Least depth by the largest conductor, one wire a terminal."""

    table: str  # where the code prints it
    size_from: str
    size_to: str
    depth_in: float

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"{self.table}, {self.size_from} to {self.size_to}: {self.depth_in:g} in"


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeThreshold(CodedRow):
    """Conductor from which the distances hold, and the raceways that can't hold it."""

    conductor_size: str
    small_raceway_in: str  # trade size up to which three of them don't fit
    cable_size_by: str  # what gives a cable's size: its "conductors" or its "connector"

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"distances from {self.conductor_size} on"


def pull_box_factors() -> tuple[PullBoxFactor, ...]:
    """Every multiplier, in file order."""
    return read_table("pull_box_factors.csv", PullBoxFactor)


def bending_spaces() -> tuple[BendingSpace, ...]:
    """Every depth by conductor size, in file order."""
    return read_table("bending_spaces.csv", BendingSpace)


def size_thresholds() -> tuple[SizeThreshold, ...]:
    """Where the distances begin to hold."""
    return read_table("size_thresholds.csv", SizeThreshold)


def straight_pull_length(sizes: Sequence[float], *, unit: Unit, rule: PullBoxFactor) -> Requirement:
    """Least inside distance between two opposite walls joined by a straight pull.

    Parameters
    ----------
    sizes : sequence of float, shape (n,), n >= 1
        Nominal sizes of the raceways of the pulls, any order. [unit]
    unit : {"mm", "in"}
    rule : PullBoxFactor

    Raises
    ------
    RuleInputError
        If `sizes` is empty.

    References
    ----------
    nec-2023 314.28(A)(1); cec-2024 12-3036 2)b).
    """
    if not sizes:
        raise RuleInputError("a straight pull needs at least one raceway")
    return Requirement.of_sum([(rule.factor, max(sizes))], unit=unit, rule=rule)


def angle_pull_distance(sizes: Sequence[float], *, unit: Unit, rule: PullBoxFactor) -> Requirement:
    """Least inside distance from a wall of an angle or U pull or a splice to the wall opposite.

    Parameters
    ----------
    sizes : sequence of float, shape (n,), n >= 1
        Nominal sizes that `rule` sums together: one row or one wall, any order. [unit]
    unit : {"mm", "in"}
    rule : PullBoxFactor

    Raises
    ------
    RuleInputError
        If `sizes` is empty.

    References
    ----------
    nec-2023 314.28(A)(2); cec-2024 12-3036 2)c)i).
    """
    if not sizes:
        raise RuleInputError("an angle pull needs at least one entry in its wall")
    *others, largest = sorted(sizes)
    terms = [(rule.factor, largest), *((1.0, size) for size in reversed(others))]
    return Requirement.of_sum(terms, unit=unit, rule=rule)


def entry_spacing(first: float, second: float, *, unit: Unit, rule: PullBoxFactor) -> Requirement:
    """Least distance between two entries that carry the same conductors.

    Parameters
    ----------
    first, second : float
        Nominal sizes of the two raceways, either order. [unit]
    unit : {"mm", "in"}
    rule : PullBoxFactor

    References
    ----------
    nec-2023 314.28(A)(2); cec-2024 12-3036 2)c)ii).
    """
    return Requirement.of_sum([(rule.factor, max(first, second))], unit=unit, rule=rule)


def cover_depth_by_diameter(
    raceway: float, conductor: Conductor, *, unit: Unit, rule: PullBoxFactor
) -> Requirement:
    """Least depth behind a cover: the raceway and some diameters of its largest conductor.

    Parameters
    ----------
    raceway : float
        Nominal size of the raceway opposite the cover. [unit]
    conductor : Conductor
    unit : {"mm", "in"}
    rule : PullBoxFactor

    References
    ----------
    cec-2024 12-3036 2)a).
    """
    terms = [(rule.factor, conductor.diameter(unit)), (1.0, raceway)]
    return Requirement.of_sum(terms, unit=unit, rule=rule)


def bending_space(size: ConductorSize, rows: Sequence[BendingSpace]) -> Requirement | None:
    """Least depth behind a cover by the size of the largest conductor, or None if not tabulated.

    References
    ----------
    nec-2023 314.28(A)(2) Exception.
    """
    for row in rows:
        low, high = conductor_size(row.size_from), conductor_size(row.size_to)
        if low is not None and high is not None and low <= size <= high:
            told = f"{row.table}, {size.size}: {row.depth_in:g} in"
            return Requirement(value=row.depth_in, unit="in", rule=row, looked_up=told)
    return None
