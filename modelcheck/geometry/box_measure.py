"""A box measured inside, whatever way its body was drawn."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from modelcheck.geometry.box_bodies import bodies_of
from modelcheck.geometry.box_frame import box_axes
from modelcheck.geometry.box_rays import flat_faces
from modelcheck.geometry.box_sides import Sides, sides_of
from modelcheck.geometry.box_walls import Wall
from modelcheck.model.element import Point, Vector

Array = NDArray[Any]

_ALL_ROUND = 4  # walls at least


@dataclass(frozen=True, slots=True, kw_only=True)
class Component:
    """One item of a box's body."""

    faces: Sequence[Sequence[Array]]  # loops of each face, outer first, shape (n, 3) [m]
    name: str = ""  # of the part it belongs to; empty for the box itself


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredBox:
    """What the body of a box says of its inside and its cover."""

    origin: Point  # middle of the inside [m]
    axes: tuple[Vector, Vector, Vector]  # right-handed unit vectors
    inside_m: tuple[float, float, float]
    outside_low_m: Vector  # outer faces along the axes from `origin`, without cover or flange
    outside_high_m: Vector
    cover: tuple[str, ...] = ()
    cover_from: str = ""  # plate, open side or part
    is_hollow: bool = False
    is_boxlike: bool = True  # False: round or irregular, and the inside is a bounding box
    doubt: str = ""  # why a face of it must be missing
    divided: str = ""  # by what, so that no inside size is that of the whole
    assumptions: tuple[str, ...] = ()


def measure_box(components: Sequence[Component], placement_axes: Array) -> MeasuredBox:
    """Measure a box between the inner faces of its walls and find the side of its cover.

    Parameters
    ----------
    components : sequence of Component
        Items of its body, in project coordinates.
    placement_axes : ndarray, shape (3, 3)
        Axes of its placement as rows; the box's own are named after them.

    Returns
    -------
    MeasuredBox

    Raises
    ------
    ValueError
        If no face has an area.
    """
    about = _anywhere(components)
    faces = flat_faces([item.faces for item in components], about)
    if not len(faces.first):
        raise ValueError("the body has no face with an area")
    axes = box_axes(faces, placement_axes)
    bodies = bodies_of(faces.turned(axes))
    seen = sides_of(bodies, [item.name for item in components])
    return _result(seen, _cover(seen), axes, about)


def _anywhere(components: Sequence[Component]) -> Array:
    """Give a point of the body; coordinates of 25 000 km leave no digits to spare."""
    loops = (loop for item in components for face in item.faces for loop in face if len(loop))
    return np.asarray(next(loops, np.zeros((1, 3)))[0], dtype=float)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cover:
    """The side of the cover, what tells it, or why it isn't known."""

    sides: tuple[str, ...] = ()
    told_by: str = ""
    doubt: str = ""


def _cover(seen: Sides) -> _Cover:
    """Tell the side of the cover: by a part's name, a plate, or the one open side."""
    if seen.spoilt:
        return _Cover(doubt=seen.spoilt)
    if seen.named:
        doubt = f"parts named as covers lie on {_listed(seen.named)}"
        return _one_of(seen.named, told_by="part", doubt=doubt)
    left_open = seen.open_sides
    if len(seen.plates) == 1 and left_open:
        over, to = _listed(seen.plates), _listed(left_open)
        return _Cover(doubt=f"a plate lies on {over} and the body is open at {to}")
    if left_open:
        doubt = f"the body is open at {_listed(left_open)}"
        return _one_of(left_open, told_by="open side", doubt=doubt)
    doubt = f"plates lie on {_listed(seen.plates)}" if seen.plates else ""
    return _one_of(seen.plates, told_by="plate", doubt=doubt)


def _one_of(sides: Collection[str], *, told_by: str, doubt: str) -> _Cover:
    """Take the side if there is one only."""
    return _Cover(sides=tuple(sides), told_by=told_by) if len(sides) == 1 else _Cover(doubt=doubt)


def _listed(sides: Iterable[str]) -> str:
    """Join names of walls."""
    return " and ".join(sides)


def _closed_walls(seen: Sides, cover: _Cover) -> dict[str, Wall]:
    """Walls with the plates that close open sides; a cover is not outside size."""
    walls = dict(seen.walls)
    for side, plate in {**seen.plates, **seen.named}.items():
        if walls[side].is_open:
            rim_m = walls[side].outer_m
            end_m = max(plate.inner_m, rim_m) if side in cover.sides else plate.outer_m
            walls[side] = replace(walls[side], inner_m=plate.inner_m, outer_m=end_m, is_open=False)
    return walls


def _is_boxlike(seen: Sides, walls: dict[str, Wall]) -> bool:
    """Tell whether flat walls close the box all round."""
    closed = [wall for wall in walls.values() if not wall.is_open]
    sized = (seen.high - seen.low).min() > 0
    return sized and len(closed) >= _ALL_ROUND and all(wall.is_square for wall in closed)


def _result(seen: Sides, cover: _Cover, axes: Array, about: Array) -> MeasuredBox:
    """Put together what was seen."""
    walls = _closed_walls(seen, cover)
    boxlike = _is_boxlike(seen, walls)
    low, high = seen.low, seen.high
    out_low, out_high = low, high
    if boxlike:
        low, high = _corners({side: wall.inner_m for side, wall in walls.items()})
        out_low, out_high = _corners({side: wall.outer_m for side, wall in walls.items()})
    middle = (low + high) / 2
    return MeasuredBox(
        origin=_triple(about + middle @ axes),
        axes=(_triple(axes[0]), _triple(axes[1]), _triple(axes[2])),
        inside_m=_triple(high - low),
        outside_low_m=_triple(out_low - middle),
        outside_high_m=_triple(out_high - middle),
        cover=cover.sides,
        cover_from=cover.told_by,
        is_hollow=not seen.is_solid,
        is_boxlike=boxlike,
        doubt=_missing_face(seen),
        divided=seen.divided,
        assumptions=_assumptions(seen, cover, boxlike=boxlike),
    )


def _missing_face(seen: Sides) -> str:
    """Say which walls and covers are drawn with one face where there must be two.

    Where the inner one is missing, the outer one is taken for it and the box is measured too large.
    """
    walls = {side: wall for side, wall in seen.walls.items() if not wall.is_open}
    single = [side for side, wall in walls.items() if wall.is_sheet]
    if single and 2 * len(single) <= len(walls):
        return f"only one face is drawn of wall {_listed(single)}, two of the others"
    for side, plate in {**seen.plates, **seen.named}.items():
        if seen.walls[side].is_open and plate.lacks_a_face:
            return f"only one face and the edges are drawn of the cover on {side}"
    return ""


def _corners(faces: dict[str, float]) -> tuple[Array, Array]:
    """Low and high corner from the distances of the six sides outwards."""
    low = np.array([-faces[f"-{axis}"] for axis in "xyz"])
    return low, np.array([faces[f"+{axis}"] for axis in "xyz"])


def _assumptions(seen: Sides, cover: _Cover, *, boxlike: bool) -> tuple[str, ...]:
    """Say what was taken for granted, or left open."""
    said = []
    if not boxlike:
        said.append("the body is round or irregular: its bounding box is taken as the inside size")
    elif seen.is_solid:
        said.append("drawn solid: its size is taken as the inside size")
    if cover.doubt:
        said.append(f"{cover.doubt}: the body does not tell the cover")
    return tuple(said)


def _triple(vector: Array) -> Vector:
    """Plain numbers of an array of shape (3,)."""
    x, y, z = vector.tolist()
    return x, y, z
