"""What lies on the sides of a box: its own walls, plates, and parts named as covers."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from modelcheck.geometry.box_bodies import Bodies, main_bodies
from modelcheck.geometry.box_rays import hits
from modelcheck.geometry.box_walls import Room, Wall, plate_on, walls_of
from modelcheck.model.element import WALLS, axis_of

Array = NDArray[Any]

_COVER_WORD = re.compile(r"\b(cover|lid|door|couvercle|porte)", re.IGNORECASE)
_FRONT_WORD = re.compile(r"\bfront", re.IGNORECASE)
_SPAN = 0.5  # of the whole, that the box has without its cover
_THIN = 0.4  # of the box: a plate, or a lid with its skirt
_WIDER_M = 0.035  # a flanged lid stands out by, each way
_OFF_M = 0.030  # a lid or door may stand off by
_SUNK = 0.25  # of the depth, that a lid may lie in by
_TOUCH_M = 5e-4
_ASIDE_M = np.array([3.1e-5, 4.3e-5, 2.3e-5])  # so that no ray runs along an edge
_ACROSS = 0.8  # of the room, that a divider reaches both ways


@dataclass(frozen=True, slots=True, kw_only=True)
class Sides:
    """Walls of the box itself and what else lies on its sides."""

    room: Room
    walls: dict[str, Wall]
    plates: dict[str, Wall]  # on the sides that a separate plate covers
    named: dict[str, Wall]  # on the sides that a part named as a cover covers
    low: Array  # outline of the box itself, shape (3,) [m]
    high: Array  # shape (3,) [m]
    is_solid: bool
    spoilt: str = ""  # why its cover can't be told
    divided: str = ""  # what stands in its middle

    @property
    def open_sides(self) -> list[str]:
        """Sides that neither a wall nor a plate closes."""
        closed = {*self.plates, *self.named}
        return [side for side in WALLS if self.walls[side].is_open and side not in closed]


def sides_of(bodies: Bodies, names: Sequence[str]) -> Sides:
    """Look at the box from its middle.

    Parameters
    ----------
    bodies : Bodies
    names : sequence of str
        Of the part that each item belongs to; empty for the box itself.
    """
    named, spoilt = _named_covers(bodies, names, _COVER_WORD)
    main, solid = main_bodies(bodies, ~named)
    if not solid and main.sum() > 1 and not (named.any() or spoilt):
        named, spoilt = _named_covers(bodies, names, _FRONT_WORD)
        main = main & ~named
    low, high = bodies.outline(main)
    held = np.zeros_like(main) if solid else _around(bodies, (low + high) / 2)
    room, walls = walls_of(bodies.faces_of(main & ~held), low, high)
    divided = _divided(bodies, held, room)
    sides = Sides(
        room=room, walls=walls, plates={}, named={}, low=low, high=high, is_solid=solid,
        spoilt=spoilt, divided=divided,
    )  # fmt: skip
    sides.plates.update(_plates(bodies, ~main & ~named, sides))
    covers = bodies.faces_of(named)
    sides.named.update(
        {side: wall for side in WALLS if (wall := plate_on(covers, side, room)) is not None}
    )
    return sides


def _around(bodies: Bodies, middle: Array) -> Array:
    """Tell which bodies, but not all, a point lies in the material of, shape (b,)."""
    count = len(bodies.low)
    within = np.ones(count, dtype=bool)
    for axis in range(3):
        met = hits(bodies.faces, axis, middle[None, :] + _ASIDE_M)[0]
        for ahead in (met > middle[axis], met < middle[axis]):
            times = np.bincount(bodies.faces.piece[ahead], minlength=count)
            within &= times % 2 == 1
    return within & (not within.all())


def _divided(bodies: Bodies, held: Array, room: Room) -> str:
    """Say between which walls one of these bodies stands as a plate across the room."""
    size = room.high - room.low
    for low, high in zip(bodies.low[held], bodies.high[held], strict=True):
        share = (high - low) / size
        axis = int(np.argmin(share))
        if share[axis] <= _THIN and np.delete(share, axis).min() >= _ACROSS:
            return f"a plate divides the box between -{'xyz'[axis]} and +{'xyz'[axis]}"
    return ""


def _named_covers(bodies: Bodies, names: Sequence[str], word: re.Pattern[str]) -> tuple[Array, str]:
    """Bodies of parts named as a cover, unless they hold the box itself; then why not."""
    matches = np.array([bool(word.search(names[number])) for number in bodies.component])
    none = np.zeros_like(matches)
    if not matches.any() or matches.all():
        return none, ""
    whole = np.subtract(*reversed(bodies.outline(np.ones_like(matches))))
    rest = np.subtract(*reversed(bodies.outline(~matches)))
    if (rest >= _SPAN * whole).all():
        return matches, ""
    name = min(names[number] for number in bodies.component[matches])
    return none, f"the part {name!r} holds most of the box"


def _plates(bodies: Bodies, among: Array, sides: Sides) -> dict[str, Wall]:
    """Plates by the side they cover."""
    found = {}
    for side in WALLS:
        chosen = among & _lies_on(bodies, side, sides)
        plate = plate_on(bodies.faces_of(chosen), side, sides.room) if chosen.any() else None
        if plate is not None:
            found[side] = plate
    return found


def _lies_on(bodies: Bodies, side: str, sides: Sides) -> Array:
    """Tell which bodies are thin and lie on a side, over its wall or in its opening."""
    axis, wall = axis_of(side), sides.walls[side]
    near, far = bodies.low[:, axis], bodies.high[:, axis]
    if side[0] == "-":
        near, far = -far, -near
    depth_m = (sides.high - sides.low)[axis]
    thin = far - near <= _THIN * depth_m
    across = np.arange(3) != axis
    fits = (bodies.low >= sides.low - _WIDER_M) & (bodies.high <= sides.high + _WIDER_M)
    close = near <= wall.outer_m + _OFF_M
    if wall.is_open:
        reaches = far >= wall.outer_m - min(_OFF_M, _SUNK * depth_m)
    else:
        over = sides.is_solid | (far > wall.inner_m + _TOUCH_M)
        reaches = (far >= wall.outer_m - _TOUCH_M) & over
    return np.asarray(thin & fits[:, across].all(axis=1) & close & reaches)
