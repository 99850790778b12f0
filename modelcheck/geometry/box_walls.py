"""Where the walls of a box lie, as rays from its middle meet them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from modelcheck.geometry.box_rays import Faces, commonest, hits
from modelcheck.model.element import axis_of

Array = NDArray[Any]

_ROWS = np.linspace(-0.8, 0.8, 9)  # of half the room; the outermost tell round from square
_CENTRAL = 0.7  # lips and rims lie outside
_MIDDLE = 0.3
_CLOSED = 0.2  # share of central rays that meet a wall, knock-outs and all
_PIERCED = 0.45  # share of all rays, for one with a hole in its middle; a broad lip has less
_ACROSS = 1.0  # of half the room, that a wall reaches both ways: a handle is no wall
_COVERED = 0.5  # share of central rays, and of those in the middle, that meet a cover
_FLAT = 0.5  # share of the hits that lie in one plane
_CORNER = 0.15  # of half the room, that a rounded corner may be off
_GRID = np.array([(u + 0.013 * v + 0.0071, v - 0.017 * u + 0.0043) for u in _ROWS for v in _ROWS])
_IS_CENTRAL = (np.abs(_GRID) < _CENTRAL).all(axis=1)
_IS_MIDDLE = (np.abs(_GRID[_IS_CENTRAL]) < _MIDDLE).all(axis=1)
_FIRST_LOOK = 0.3  # of the outline: thick walls leave little room
_LOOKS = 4
_SAME_ROOM_M = 1e-4
_NO_THICKNESS_M = 1e-4


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """One side of a box, as distances from its middle outwards."""

    inner_m: float
    outer_m: float
    is_open: bool = False
    is_square: bool = True
    pieces: tuple[int, ...] = ()  # that its inner face belongs to
    depth_m: float = 0.0  # of the body of a plate, edges and all

    @property
    def is_sheet(self) -> bool:
        """True if it is drawn with one face."""
        return self.outer_m - self.inner_m < _NO_THICKNESS_M

    @property
    def lacks_a_face(self) -> bool:
        """True of a plate with edges but one face only."""
        return self.is_sheet and self.depth_m >= _NO_THICKNESS_M


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """What rays start from: a block in the box's axes."""

    low: Array  # shape (3,) [m]
    high: Array  # shape (3,) [m]

    @property
    def middle(self) -> Array:
        """Its middle, shape (3,)."""
        return np.asarray((self.low + self.high) / 2)

    def lines(self, axis: int, scale: float) -> Array:
        """Points of a grid across the middle, shape (n, 3)."""
        across = [(axis + 1) % 3, (axis + 2) % 3]
        points = np.tile(self.middle, (len(_GRID), 1))
        points[:, across] += _GRID * scale * (self.high - self.low)[across] / 2
        return points


def walls_of(faces: Faces, low: Array, high: Array) -> tuple[Room, dict[str, Wall]]:
    """Look for the walls of a box from its middle, and again from the room so found.

    Parameters
    ----------
    faces : Faces
        Of the box itself, in its axes.
    low, high : ndarray, shape (3,)
        Corners of its outline. [m]

    Returns
    -------
    room : Room
    walls : dict of str to Wall
        By the wall's name; coordinates along its axis, times its sign. [m]
    """
    walls = _look(faces, Room(low=low, high=high), scale=_FIRST_LOOK, across=0.0)
    for _ in range(_LOOKS):
        room = _room(walls)
        walls = _look(faces, room, scale=1.0, across=_ACROSS)
        after = _room(walls)
        if np.abs([after.low - room.low, after.high - room.high]).max() < _SAME_ROOM_M:
            break
    return after, walls


def _look(faces: Faces, room: Room, *, scale: float, across: float) -> dict[str, Wall]:
    """Find the six walls of a room; open sides end at the rim."""
    found = {}
    for axis in range(3):
        met = hits(faces, axis, room.lines(axis, scale))
        for side in (f"-{'xyz'[axis]}", f"+{'xyz'[axis]}"):
            found[side] = _wall(faces, met, side, room, across)
    closed = {side: wall for side, wall in found.items() if wall is not None}
    pieces = {piece for wall in closed.values() for piece in wall.pieces}
    points = faces.some(np.isin(faces.piece, list(pieces))).start if pieces else faces.start
    low, high = points.min(axis=0), points.max(axis=0)
    return {side: closed.get(side) or _opening(_outwards(side, low, high)) for side in found}


def _opening(rim_m: float) -> Wall:
    """A side without a wall: it ends where the bodies of the walls do, flanges have no say."""
    return Wall(inner_m=rim_m, outer_m=rim_m, is_open=True)


def _outwards(side: str, low: Array, high: Array) -> float:
    """Coordinate of the outermost point on a side, times the side's sign."""
    axis = axis_of(side)
    return float(high[axis] if side[0] == "+" else -low[axis])


def _room(walls: dict[str, Wall]) -> Room:
    """Room between the inner faces."""
    return Room(
        low=np.array([-walls[f"-{axis}"].inner_m for axis in "xyz"]),
        high=np.array([walls[f"+{axis}"].inner_m for axis in "xyz"]),
    )


def _wall(faces: Faces, met: Array, side: str, room: Room, across: float) -> Wall | None:
    """Wall on one side from where the lines met the faces; None where it is open."""
    sign, axis = (1 if side[0] == "+" else -1), axis_of(side)
    outwards = np.where(sign * met > sign * room.middle[axis], sign * met, np.nan)
    first = np.fmin.reduce(outwards, axis=1)
    if np.isnan(first).all():
        return None
    inner_m, agree = commonest(first)
    enough = agree[_IS_CENTRAL].mean() >= _CLOSED or agree.mean() >= _PIERCED
    if not enough or (np.ptp(_GRID[agree], axis=0) < across).any():
        return None
    outer_m, _ = commonest(np.fmax.reduce(outwards[agree], axis=1))
    nearest = np.nanargmin(outwards[agree], axis=1)
    return Wall(
        inner_m=inner_m,
        outer_m=outer_m,
        is_square=_is_square(first, agree, inner_m, inner_m - sign * room.middle[axis]),
        pieces=tuple(np.unique(faces.piece[nearest]).tolist()),
    )


def _is_square(first: Array, agree: Array, inner_m: float, half_m: float) -> bool:
    """Tell whether a wall is flat, and goes on nearly so to its corners."""
    met = ~np.isnan(first)
    flat = agree[_IS_CENTRAL & met]
    near = np.abs(first[~_IS_CENTRAL & met] - inner_m) <= _CORNER * half_m
    return all(part.mean() >= _FLAT for part in (flat, near) if len(part))


def plate_on(faces: Faces, side: str, room: Room) -> Wall | None:
    """Give the plate that covers one side of the room, if these faces do.

    Parameters
    ----------
    faces : Faces
        Of bodies that may be a cover.
    side : str
        One of ``-x`` … ``+z``.
    room : Room
    """
    if not len(faces.first):
        return None
    sign, axis = (1 if side[0] == "+" else -1), axis_of(side)
    met = sign * hits(faces, axis, room.lines(axis, 1.0)[_IS_CENTRAL])
    outwards = np.where(met > sign * room.middle[axis], met, np.nan)
    first = np.fmin.reduce(outwards, axis=1)
    if max(np.isnan(first).mean(), np.isnan(first[_IS_MIDDLE]).mean()) > 1 - _COVERED:
        return None
    inner_m, agree = commonest(first)
    outer_m, _ = commonest(np.fmax.reduce(outwards[agree], axis=1))
    hit = np.unique(faces.piece[np.nanargmin(outwards[agree], axis=1)])
    depth_m = float(np.ptp(faces.some(np.isin(faces.piece, hit)).start[:, axis]))
    return Wall(inner_m=inner_m, outer_m=outer_m, depth_m=depth_m)
