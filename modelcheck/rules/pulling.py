"""Pulling of conductors through a raceway: tension, sidewall pressure, jamming, limits.

Advice only: no code sets these figures. Forces and weights may be in any units that go together,
the same come back. `weight` is a force a length, of all conductors that are pulled at once.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import cos, exp, radians, sin, sqrt
from typing import Literal

from modelcheck.errors import RuleInputError
from modelcheck.rules.tables import TableRow, read_table

Lying = Literal["single", "triangular", "cradled", "many"]
_THREE = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class PullingFigure(TableRow):
    """One named figure of the advice."""

    name: str
    value: float
    unit: str

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"{self.name} {self.value:g} {self.unit}".removesuffix(" -")


def pulling_figures() -> tuple[PullingFigure, ...]:
    """Every figure, in file order."""
    return read_table("pulling_figures.csv", PullingFigure)


def pulling_figure(name: str) -> PullingFigure:
    """Row of this name."""
    return _by_name()[name]


@cache
def _by_name() -> dict[str, PullingFigure]:
    return {row.name: row for row in pulling_figures()}


def straight_tension(
    tension: float,
    *,
    weight: float,
    length: float,
    friction: float,
    correction: float = 1.0,
    slope_deg: float = 0.0,
) -> float:
    """Tension behind a straight stretch; a pull never pushes, so it is 0 at least.

    Parameters
    ----------
    tension : float
        Before it. [force]
    weight : float
        [force/length]
    length : float
        [length]
    friction : float
        Coefficient. [-]
    correction : float
        Weight correction. [-]
    slope_deg : float
        Of the stretch as it is pulled, upward positive. [deg]

    References
    ----------
    guide-pulling-tensions on the level; from-memory on a slope and with a weight correction.
    """
    slope = radians(slope_deg)
    drag = correction * friction * cos(slope) + sin(slope)
    return max(tension + weight * length * drag, 0.0)


def bend_multiplier(angle_deg: float, *, friction: float, correction: float = 1.0) -> float:
    """Tension behind a bend over the tension before it.

    Parameters
    ----------
    angle_deg : float
        Of the bend. [deg]
    friction : float
        Coefficient. [-]
    correction : float
        Weight correction. [-]

    Returns
    -------
    float
        1 at least. [-]

    References
    ----------
    conduit-manual-tension without a weight correction; from-memory with it
    """
    return exp(correction * friction * radians(angle_deg))


def longest_straight(tension: float, *, weight: float, friction: float) -> float:
    """Length of a level straight raceway that a pull without tension at its start may have.

    Parameters
    ----------
    tension : float
        Most that is allowed. [force]
    weight : float
        [force/length]
    friction : float
        Coefficient. [-]

    References
    ----------
    guide-pulling-tensions
    """
    return tension / (friction * weight)


def lying(count: int, jam_ratio: float) -> Lying:
    """How conductors lie in a raceway.

    Parameters
    ----------
    count : int
        Of the conductors.
    jam_ratio : float
        Inside diameter of the raceway over outside diameter of a conductor. [-]

    References
    ----------
    from-memory
    """
    if count == 1:
        return "single"
    if count != _THREE:
        return "many"
    return "triangular" if jam_ratio < pulling_figure("cradled-from").value else "cradled"


def weight_correction(how: Lying, jam_ratio: float) -> float:
    """Weight correction: how much conductors press on the raceway more than by their weight.

    Parameters
    ----------
    how : {"single", "triangular", "cradled", "many"}
    jam_ratio : float
        Inside diameter of the raceway over outside diameter of a conductor. [-]

    Raises
    ------
    RuleInputError
        If conductors of that diameter don't fit the raceway so.

    References
    ----------
    from-memory
    """
    if how == "single":
        return 1.0
    if how == "many":
        return pulling_figure("weight-of-many").value
    least = 2.0 if how == "cradled" else 1.0 + 2.0 / sqrt(_THREE)
    if jam_ratio < least:
        raise RuleInputError(f"three conductors don't fit: ratio of diameters {jam_ratio:.2f}")
    share = 1.0 / (jam_ratio - 1.0)
    return 1.0 + 4.0 / 3.0 * share**2 if how == "cradled" else 1.0 / sqrt(1.0 - share**2)


def sidewall_pressure(
    tension: float, radius: float, *, how: Lying = "single", correction: float = 1.0
) -> float:
    """Force a length on the conductor that a bend presses most.

    Parameters
    ----------
    tension : float
        Behind the bend. [force]
    radius : float
        Of the bend. [length]
    how : {"single", "triangular", "cradled", "many"}
        How the conductors lie; of many the whole is taken to press on one.
    correction : float
        Weight correction. [-]

    References
    ----------
    guide-pulling-tensions for one cable; from-memory for three.
    """
    shares = {
        "single": 1.0,
        "many": 1.0,
        "triangular": correction / 2.0,
        "cradled": (3.0 * correction - 2.0) / 3.0,
    }
    return shares[how] * tension / radius


def most_by_sidewall(limit: float, radius: float) -> float:
    """Tension at which one cable reaches the limit of its sidewall pressure in a bend.

    Parameters
    ----------
    limit : float
        [force/length]
    radius : float
        Of the bend. [length]

    References
    ----------
    guide-pulling-tensions
    """
    return limit * radius


def least_radius(tension: float, limit: float) -> float:
    """Radius of a bend in which one cable keeps within the limit of its sidewall pressure.

    Parameters
    ----------
    tension : float
        Behind the bend. [force]
    limit : float
        [force/length]

    References
    ----------
    guide-pulling-tensions
    """
    return tension / limit


def conductor_tension_lbf(count: int, area_kcmil: float, material: str) -> float:
    """Most tension on conductors of one size, whatever pulls them. [lbf]

    Parameters
    ----------
    count : int
        Of the conductors.
    area_kcmil : float
        Of one of them. [kcmil]
    material : {"copper", "aluminum"}

    References
    ----------
    guide-pulling-tensions
    """
    stress = pulling_figure(f"{material}-stress").value
    share = pulling_figure("share-of-many").value if count > _THREE else 1.0
    return share * count * stress * area_kcmil * _CMIL_PER_KCMIL


def jams(count: int, jam_ratio: float) -> bool:
    """Tell whether three conductors may wedge side by side in a bend.

    Parameters
    ----------
    count : int
        Of the conductors.
    jam_ratio : float
        Inside diameter of the raceway over outside diameter of a conductor. [-]

    References
    ----------
    from-memory
    """
    low, high = pulling_figure("jam-from").value, pulling_figure("jam-to").value
    return count == _THREE and low <= jam_ratio <= high


_CMIL_PER_KCMIL = 10.0**3
