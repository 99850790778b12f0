"""Straight bodies of round section, the most that a model holds, all at once as arrays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from modelcheck.geometry.frames import Array, Numbers, turn_of
from modelcheck.geometry.path import LEAST_M, Piece
from modelcheck.read.copies import Copy
from modelcheck.read.curves import LONGEST_M
from modelcheck.read.profiles import ROUND
from modelcheck.read.property_values import Entity
from modelcheck.read.solids import Swept

EXTRUDED = "IfcExtrudedAreaSolid"
_FLAT, _SPATIAL = 2, 3  # coordinates of a point

_Values = Mapping[str, Any]  # of a copy
_Row = tuple[list[float], Array, str]  # see `_placed`; axes as columns; name of the profile


class _UnusualError(Exception):
    """Something that is worked by itself."""


def rods_of(items: Sequence[Entity], scale: float) -> list[Swept | None]:
    """Circles that are extruded square to themselves, each where its item has it.

    Parameters
    ----------
    items : sequence of entities or copies
        Of any kind.
    scale : float
        Length unit of the model. [m]

    Returns
    -------
    list of Swept or None
        As `solids_of` would make them. None for what must be read by itself: what is of another
        form, isn't copied, or has a number that no building has.
    """
    rows = [_row(item) for item in items]
    known = [row for row in rows if row is not None]
    if not known:
        return [None] * len(items)
    numbers, turns, names = zip(*known, strict=True)
    with np.errstate(all="ignore"):  # what isn't sound is left out
        starts, ends, radii, sound = _placed(np.array(numbers), np.array(turns), scale)
    found = zip(starts, ends, radii.tolist(), names, sound.tolist(), strict=True)
    rods = iter(
        [
            Swept((Piece(start, end),), radius_m, name) if is_sound else None
            for start, end, radius_m, name, is_sound in found
        ]
    )
    return [None if row is None else next(rods) for row in rows]


def _placed(numbers: Array, turns: Array, scale: float) -> tuple[Array, Array, Array, Array]:
    """Ends of the axis of each, shape (n, 3), its radius, and whether all of that is sound.

    Parameters
    ----------
    numbers : array, shape (n, 7)
        Centre in the plane of the profile, radius, depth, origin of the plane. [unit of the model]
    turns : array, shape (n, 3, 3)
        Axes of the plane as columns.
    scale : float
        [m]
    """
    scaled = numbers * scale
    centres, radii, depths, origins = np.split(scaled, (2, 3, 4), axis=1)
    feet, tops = (np.hstack([centres, each]) for each in (np.zeros_like(depths), depths))
    across = turns.transpose(0, 2, 1)
    starts, ends = ((each[:, None, :] @ across)[:, 0, :] + origins for each in (feet, tops))
    reach = np.abs(np.hstack([starts, ends])).max(axis=1) + np.abs(radii[:, 0])
    sound = (np.abs(depths[:, 0]) > LEAST_M) & (reach < LONGEST_M / 2.0)
    return starts, ends, radii[:, 0], sound


def _row(item: Entity) -> _Row | None:
    if type(item) is not Copy or item.values["type"] != EXTRUDED:
        return None
    values = item.values
    try:
        area, (x, y, z) = values["SweptArea"], values["ExtrudedDirection"]["DirectionRatios"]
        if area["type"] not in ROUND or x or y or not z:
            return None
        origin, axis, hint = _frame(values["Position"], "IfcAxis2Placement3D", _SPATIAL)
        centre, _, _ = _frame(area["Position"], "IfcAxis2Placement2D", _FLAT)
        depth = values["Depth"] if z > 0.0 else -values["Depth"]
        numbers = [float(each) for each in (*centre, area["Radius"], depth, *origin)]
        return numbers, turn_of(axis, hint), area["ProfileName"] or ""
    except (_UnusualError, KeyError, TypeError, ValueError, ArithmeticError):
        return None


def _frame(
    position: _Values | None, kind: str, size: int
) -> tuple[Numbers, Numbers | None, Numbers | None]:
    """Origin, axis and reference direction of a placement."""
    if position is None:
        return (0.0,) * size, None, None
    origin: Numbers = position["Location"]["Coordinates"]
    if position["type"] != kind or len(origin) != size:
        raise _UnusualError
    axis = _ratios(position["Axis"], size) if size == _SPATIAL else None
    return origin, axis, _ratios(position["RefDirection"], size)


def _ratios(direction: _Values | None, size: int) -> Numbers | None:
    if direction is None:
        return None
    ratios: Numbers = direction["DirectionRatios"]
    if len(ratios) != size or not any(ratios):
        raise _UnusualError
    return ratios
