"""Placements within copies as numbers, to be worked many together; what is odd is left alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from modelcheck.geometry.frames import Array, Numbers, turn_of

_FLAT, _SPATIAL = 2, 3  # coordinates of a point

Values = Mapping[str, Any]  # of an instance, as `Copy` holds them


class _UnusualError(Exception):
    """Something that must be worked by itself."""


UNUSUAL = (_UnusualError, KeyError, TypeError, ValueError, ArithmeticError)


def frame_in(position: Values | None) -> tuple[Numbers, Array]:
    """Origin in the unit of the model, and axes as columns, of an IfcAxis2Placement3D or none.

    Raises
    ------
    One of UNUSUAL
        If it is anything else, or lacks a number.
    """
    if position is None:
        return (0.0, 0.0, 0.0), turn_of(None, None)
    origin = _numbers(position["Location"]["Coordinates"], _SPATIAL)
    if position["type"] != "IfcAxis2Placement3D":
        raise _UnusualError
    return origin, turn_of(_ratios(position["Axis"], 3), _ratios(position["RefDirection"], 3))


def centre_in(position: Values | None) -> Numbers:
    """Origin of an IfcAxis2Placement2D or none, likewise."""
    if position is None:
        return (0.0, 0.0)
    if position["type"] != "IfcAxis2Placement2D":
        raise _UnusualError
    _ratios(position["RefDirection"], _FLAT)
    return _numbers(position["Location"]["Coordinates"], _FLAT)


def _ratios(direction: Values | None, size: int) -> Numbers | None:
    if direction is None:
        return None
    ratios = _numbers(direction["DirectionRatios"], size)
    if not any(ratios):
        raise _UnusualError
    return ratios


def _numbers(values: Sequence[float], size: int) -> Numbers:
    if len(values) != size:
        raise _UnusualError
    return tuple([float(each) for each in values])
