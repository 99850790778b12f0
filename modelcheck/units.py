"""The only place where a length, volume or angle changes its unit.

Inside the program lengths are metres, angles degrees, volumes cubic metres.
"""

from __future__ import annotations

from typing import Literal

Unit = Literal["mm", "in"]
VolumeUnit = Literal["cm3", "in3"]

M_PER_MM = 0.001
M_PER_CM = 0.01
M_PER_INCH = 0.0254
M_PER_FOOT = 0.3048
KG_PER_POUND = 0.45359237
STANDARD_GRAVITY = 9.80665  # [m/s2]
N_PER_POUND_FORCE = KG_PER_POUND * STANDARD_GRAVITY
N_PER_M_PER_POUND_FORCE_PER_FOOT = N_PER_POUND_FORCE / M_PER_FOOT
_M_PER_UNIT = {"mm": M_PER_MM, "in": M_PER_INCH}
_M3_PER_UNIT = {"cm3": M_PER_CM**3, "in3": M_PER_INCH**3}


def to_metres(value: float, unit: Unit) -> float:
    """Convert a length to metres.

    Parameters
    ----------
    value : float
        A length. [unit]
    unit : {"mm", "in"}
    """
    return value * _M_PER_UNIT[unit]


def from_metres(length_m: float, unit: Unit) -> float:
    """Convert a length in metres to `unit`.

    Parameters
    ----------
    length_m : float
        A length. [m]
    unit : {"mm", "in"}
    """
    return length_m / _M_PER_UNIT[unit]


def convert(value: float, unit: Unit, to: Unit) -> float:
    """Convert a length between millimetres and inches; the same unit gives the same number.

    Parameters
    ----------
    value : float
        A length. [unit]
    unit : {"mm", "in"}
    to : {"mm", "in"}
    """
    return value if unit == to else from_metres(to_metres(value, unit), to)


def convert_volume(value: float, unit: VolumeUnit, to: VolumeUnit) -> float:
    """Convert a volume between cubic centimetres and cubic inches.

    Parameters
    ----------
    value : float
        A volume. [unit]
    unit : {"cm3", "in3"}
    to : {"cm3", "in3"}
    """
    return value if unit == to else value * _M3_PER_UNIT[unit] / _M3_PER_UNIT[to]
