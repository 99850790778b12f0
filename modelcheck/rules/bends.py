"""Bends of a run: their total against the limit, and their radius."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

from modelcheck.model.run import Run
from modelcheck.rules.limits import every_edition
from modelcheck.rules.tables import CodedRow, TableRow, read_table
from modelcheck.units import Unit, to_metres

_ANGLES = 4096  # that are kept: most bends of a model are elbows of a few angles


@dataclass(frozen=True, slots=True, kw_only=True)
class BendLimit(CodedRow):
    """Most degrees of bend between pull points."""

    raceway_type: str  # empty: of any or several types
    limit_deg: float

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"{self.limit_deg:g} deg"


@dataclass(frozen=True, slots=True, kw_only=True)
class BendRadius(CodedRow):
    """Least radius to the centre line."""

    bender: str  # one-shot (full-shoe benders too) or other
    trade_size_in: str
    radius: float  # [unit]
    unit: Unit

    @property
    def radius_m(self) -> float:
        """The same in metres."""
        return to_metres(self.radius, self.unit)

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"{self.trade_size_in} {self.bender}: {self.radius:g} {self.unit}"


@dataclass(frozen=True, slots=True, kw_only=True)
class StandardElbow(TableRow):
    """An angle that elbows are made to."""

    angle_deg: float

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"elbow of {self.angle_deg:g} deg"


@dataclass(frozen=True, slots=True, kw_only=True)
class BendTotal:
    """Sum of the bends of a run with its arithmetic."""

    total_deg: float  # to a tenth
    working: str
    taken: tuple[str, ...]  # drawn angles that were taken for an elbow


def bend_limits() -> tuple[BendLimit, ...]:
    """Every limit, in file order."""
    return read_table("bend_limits.csv", BendLimit)


def bend_radii() -> tuple[BendRadius, ...]:
    """Every least radius, in file order."""
    return read_table("bend_radii.csv", BendRadius)


def standard_elbows() -> tuple[StandardElbow, ...]:
    """Angles that elbows are made to, smallest first."""
    return read_table("standard_elbows.csv", StandardElbow)


@lru_cache(_ANGLES)
def taken_angle_deg(drawn_deg: float) -> float:
    """Angle of the standard elbow that a drawn angle stands for, else the drawn angle.

    Parameters
    ----------
    drawn_deg : float
        As measured, 0 is straight on. [deg]
    """
    reach = every_edition("elbow-tolerance").value
    nearest = min(_elbow_angles(), key=lambda angle: abs(angle - drawn_deg))
    return nearest if abs(nearest - drawn_deg) <= reach + _FLOAT_NOISE_DEG else drawn_deg


def sum_of_bends(angles_deg: Sequence[float], *, allowance_deg: float = 0.0) -> BendTotal:
    """Add up the bends of a run, each taken for its elbow, and an allowance for each end.

    Parameters
    ----------
    angles_deg : sequence of float, shape (n,)
        As measured, any order. [deg]
    allowance_deg : float
        For what isn't drawn at either end. [deg]

    References
    ----------
    nec-2023 358.24; cec-2024 CEC Section 12.
    """
    taken = [(taken_angle_deg(drawn), drawn) for drawn in angles_deg]
    total = _total_deg([angle for angle, _ in taken], allowance_deg)
    counts = sorted(Counter(round(angle, 2) for angle, _ in taken).items(), reverse=True)
    terms = [f"{angle:g}" if count == 1 else f"{count} x {angle:g}" for angle, count in counts]
    if allowance_deg:
        terms.append(f"2 x {allowance_deg:g} for the ends")
    moved = {(round(drawn, 1), angle) for angle, drawn in taken}
    return BendTotal(
        total_deg=total,
        working=f"{' + '.join(terms) or 'no bend'} = {total:g} deg",
        taken=tuple(
            f"{drawn:g} deg as drawn taken for an elbow of {angle:g} deg"
            for drawn, angle in sorted(moved)
            if abs(drawn - angle) >= _TOLD_DEG
        ),
    )


def bend_total_deg(run: Run, *, allowance_deg: float = 0.0) -> float:
    """Degrees of bend along a run, to a tenth.

    Parameters
    ----------
    run : Run
    allowance_deg : float
        For what isn't drawn at either end. [deg]
    """
    return _total_deg([taken_angle_deg(bend.angle_deg) for bend in run.bends], allowance_deg)


def _total_deg(taken_deg: Sequence[float], allowance_deg: float) -> float:
    return round(sum(taken_deg) + 2 * allowance_deg, 1)


@cache
def _elbow_angles() -> tuple[float, ...]:
    return tuple(elbow.angle_deg for elbow in standard_elbows())


_FLOAT_NOISE_DEG = 1e-9
_TOLD_DEG = 0.05  # a smaller difference doesn't show in the tables
