"""One piece of raceway out of the bodies it is drawn with: its ends and its centre line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from modelcheck.geometry.mouths import Mouth, Part, path_between
from modelcheck.geometry.path import (
    Piece,
    cross,
    reverse,
    size_of,
    unit,
)
from modelcheck.geometry.turns import end_directions, length_m

Array = npt.NDArray[np.float64]

_PAIR = 2
_TOUCH_M = 1e-3
_GAP_M = 3e-3  # bodies of one element that are so near are one


@dataclass(frozen=True, slots=True)
class Shape:
    """Ends of a piece of raceway; with two, the way from the first to the second."""

    mouths: tuple[Mouth, ...]
    path: tuple[Piece, ...] = ()


def swept(path: Sequence[Piece], radius_m: float) -> Part:
    """Body of a circle swept along `path`.

    Parameters
    ----------
    path : sequence of Piece
        At least one.
    radius_m : float
        Outer radius. [m]
    """
    start, end = end_directions(path)
    return Part(
        (Mouth(path[0].start, start, radius_m), Mouth(path[-1].end, end, radius_m)), tuple(path)
    )


def composed(parts: Sequence[Part]) -> Shape:
    """Ends of all `parts` together: those that no other part joins or covers."""
    if len(parts) == 1 and len(parts[0].mouths) == _PAIR:
        return Shape(parts[0].mouths, parts[0].path)
    parts = _without_inner(parts)
    mouths = [(number, mouth) for number, part in enumerate(parts) for mouth in part.mouths]
    joints = _joints(mouths)
    joined = {each for pair in joints for each in pair}
    open_ = [
        place
        for place, (number, mouth) in enumerate(mouths)
        if place not in joined
        and not any(_covers(part, mouth) for k, part in enumerate(parts) if k != number)
    ]
    ends = tuple(mouths[place][1] for place in open_)
    if len(ends) != _PAIR:
        return Shape(ends)
    if (
        mouths[open_[0]][0] == mouths[open_[1]][0]
        and len(parts[mouths[open_[0]][0]].mouths) == _PAIR
    ):
        return Shape(ends, parts[mouths[open_[0]][0]].path)
    path = _chained(parts, mouths, joints, open_) or path_between(*ends)
    return Shape(ends, path)


def _without_inner(parts: Sequence[Part]) -> list[Part]:
    """`parts` without those that lie wholly inside another: liners, sleeves, rings."""
    ordered = sorted(parts, key=lambda part: (-length_m(part.path), -_width(part)))
    kept: list[Part] = []
    for part in ordered:
        if not any(
            len(part.mouths) <= _PAIR
            and all(_covers(other, mouth) or _repeats(other, mouth) for mouth in part.mouths)
            for other in kept
        ):
            kept.append(part)
    return [part for part in parts if any(part is each for each in kept)]


def _width(part: Part) -> float:
    return max((mouth.radius_m for mouth in part.mouths), default=0.0)


def _repeats(part: Part, mouth: Mouth) -> bool:
    """True if `part` opens at the same place in the same direction."""
    return any(
        size_of(mouth.point - other.point) < _TOUCH_M
        and float(mouth.direction @ other.direction) > 0.9
        for other in part.mouths
    )


def _joints(mouths: Sequence[tuple[int, Mouth]]) -> list[tuple[int, int]]:
    found = []
    for a, (part_a, first) in enumerate(mouths):
        for b in range(a + 1, len(mouths)):
            part_b, second = mouths[b]
            near = max(_GAP_M, 0.05 * first.radius_m)
            apart = size_of(first.point - second.point)
            facing = float(first.direction @ second.direction)
            if part_a != part_b and apart < near and facing < 0.1:
                found.append((a, b))
    return found


def _covers(part: Part, mouth: Mouth) -> bool:
    """True if `mouth` lies inside `part`, away from its ends."""
    if not part.path:
        return False
    if min(size_of(mouth.point - end.point) for end in part.mouths) < _TOUCH_M:
        return False
    reach = max(mouth.radius_m, _width(part)) * 0.6
    return any(distance_m(piece, mouth.point) < reach for piece in part.path)


def distance_m(piece: Piece, point: Array) -> float:
    """Distance of `point` from a piece of centre line; beyond its ends there is none (inf). [m]"""
    if piece.centre is None or piece.axis is None:
        along = piece.end - piece.start
        share = float((point - piece.start) @ along / (along @ along))
        if not 0.0 <= share <= 1.0:
            return float("inf")
        return size_of(point - piece.start - share * along)
    local = point - piece.centre
    flat = local - piece.axis * (local @ piece.axis)
    begin = unit(piece.start - piece.centre)
    angle = float(np.arctan2(cross(begin, flat) @ piece.axis, begin @ flat)) % (2 * np.pi)
    if angle > piece.angle_rad:
        return float("inf")
    off = size_of(flat) - piece.radius_m
    return float(np.hypot(off, local @ piece.axis))


def _chained(
    parts: Sequence[Part],
    mouths: Sequence[tuple[int, Mouth]],
    joints: Sequence[tuple[int, int]],
    ends: Sequence[int],
) -> tuple[Piece, ...]:
    """Way from end to end through parts that join mouth to mouth; empty where there is none."""
    across = {a: b for pair in joints for a, b in (pair, pair[::-1])}
    here, path, passed = ends[0], list[Piece](), set[int]()
    while True:
        number = mouths[here][0]
        own = [place for place, (part, _) in enumerate(mouths) if part == number]
        if number in passed or len(own) != _PAIR or not parts[number].path:
            return ()
        passed.add(number)
        is_first = own[0] == here
        path += parts[number].path if is_first else reverse(parts[number].path)
        other = own[1] if is_first else own[0]
        if other == ends[1]:
            return tuple(path)
        if other not in across:
            return ()
        here = across[other]
