"""Straight bodies of round section, the most that a model holds, all at once as arrays."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from modelcheck.geometry.frames import Array
from modelcheck.geometry.path import LEAST_M, Piece
from modelcheck.read.copied_frames import UNUSUAL, centre_in, frame_in
from modelcheck.read.copies import Copy
from modelcheck.read.curves import LONGEST_M
from modelcheck.read.profiles import ROUND
from modelcheck.read.property_values import Entity
from modelcheck.read.solids import Swept

EXTRUDED = "IfcExtrudedAreaSolid"
_Row = tuple[list[float], Array, str]  # see `_placed`; axes as columns; name of the profile


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
        origin, turn = frame_in(values["Position"])
        centre = centre_in(area["Position"])
        depth = values["Depth"] if z > 0.0 else -values["Depth"]
        numbers = [float(each) for each in (*centre, area["Radius"], depth, *origin)]
        return numbers, turn, area["ProfileName"] or ""
    except UNUSUAL:
        return None
