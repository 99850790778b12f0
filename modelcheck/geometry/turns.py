"""Bends of a centre line: arcs, also those drawn as chords, and corners."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from modelcheck.geometry.chords import (
    CHORD_DEG,
    COARSE_CHORD_DEG,
    LONG_CHORD_M,
    NOTHING_DEG,
    STRAIGHT_DEG,
    Drawn,
    with_arcs,
)
from modelcheck.geometry.path import Array, Piece, angle_deg, cross, size_of, turned, unit


@dataclass(frozen=True, slots=True)
class Turn:
    """One bend of a centre line."""

    angle_deg: float
    radius_m: float | None
    at: Array
    first: int  # piece it begins in
    extra_m: float = 0.0  # how much the arc is longer than its chords
    arc: tuple[Array, Array] | None = None  # its two ends; None: at the corner


def length_m(path: Sequence[Piece]) -> float:
    """Length along the centre line; arcs drawn as short chords count as arcs. [m]"""
    return length_with_m(path, turns(path))


def length_with_m(path: Sequence[Piece], bends: Sequence[Turn]) -> float:
    """Length along the centre line, whose bends are known. [m]"""
    return sum([piece.length_m for piece in path]) + sum([turn.extra_m for turn in bends])


def turns(path: Sequence[Piece]) -> list[Turn]:
    """Bends of `path` in order: arcs, corners, and chords of an arc as one bend."""
    if len(path) == 1 and path[0].centre is None:
        return []
    drawn = with_arcs(path)
    found = [*_arcs(drawn), *_corners([each.piece for each in drawn])]
    found.sort(key=lambda turn: turn.first)
    return [turn for turn in found if turn.angle_deg > STRAIGHT_DEG]


def _arcs(drawn: Sequence[Drawn]) -> list[Turn]:
    found: list[Turn] = []
    number = 0
    while number < len(drawn):
        first = drawn[number].piece
        if first.centre is None or first.axis is None:
            number += 1
            continue
        last = number
        while last + 1 < len(drawn) and _same_arc(first, drawn[last + 1].piece):
            last += 1
        parts = drawn[number : last + 1]
        total = sum(part.piece.angle_rad for part in parts)
        extra_m = sum(part.piece.length_m - part.drawn_m for part in parts)
        middle = first.centre + turned(first.start - first.centre, first.axis, total / 2.0)
        ends, turn_deg = (first.start, parts[-1].piece.end), float(np.degrees(total))
        found.append(Turn(turn_deg, first.radius_m, middle, number, max(0.0, extra_m), ends))
        number = last + 1
    return found


def _same_arc(first: Piece, other: Piece) -> bool:
    if first.centre is None or other.centre is None or first.axis is None or other.axis is None:
        return False
    near = max(1e-4, 0.001 * first.radius_m)
    return bool(
        size_of(first.centre - other.centre) < near and np.dot(first.axis, other.axis) > 0.99
    )


@dataclass(frozen=True, slots=True)
class _Corner:
    piece: int  # the piece that ends in it
    angle_deg: float
    axis: Array
    at: Array


def _all_corners(path: Sequence[Piece]) -> list[_Corner]:
    corners = []
    for number in range(len(path) - 1):
        before, after = path[number].direction(1.0), path[number + 1].direction(0.0)
        angle = angle_deg(before, after)
        if angle > NOTHING_DEG:
            corners.append(_Corner(number, angle, unit(cross(before, after)), path[number].end))
    return corners


def _corners(path: Sequence[Piece]) -> list[Turn]:
    corners = _all_corners(path)
    found: list[Turn] = []
    while corners:
        group = _chord_group(path, corners)
        found.append(_turn_of(path, group))
        corners = corners[len(group) :]
    return found


def _chord_group(path: Sequence[Piece], corners: Sequence[_Corner]) -> Sequence[_Corner]:
    """Corners from the first on that are those of one arc drawn as chords."""
    group = [corners[0]]
    for corner in corners[1:]:
        last = group[-1]
        chord = path[corner.piece]
        follows = corner.piece == last.piece + 1 and chord.centre is None
        if not follows or np.dot(corner.axis, last.axis) < 0.98 or chord.length_m > LONG_CHORD_M:
            break
        if max(corner.angle_deg, last.angle_deg) > CHORD_DEG:
            break
        if len(group) > 1 and not _like_chords(path[last.piece], chord):
            break
        group.append(corner)
    while len(group) > 1 and not _is_arc(group):
        group.pop()
    return group


def _like_chords(first: Piece, second: Piece) -> bool:
    return abs(first.length_m - second.length_m) <= 0.3 * max(first.length_m, second.length_m)


def _is_arc(group: Sequence[_Corner]) -> bool:
    """Inner corners turn alike, the outer ones no more than those."""
    angles = [corner.angle_deg for corner in group]
    if len(angles) == 2:
        return max(angles) <= COARSE_CHORD_DEG and max(angles) - min(angles) <= 0.3 * max(angles)
    inner = angles[1:-1]
    top = max(inner)
    return top - min(inner) <= 0.3 * top and max(angles[0], angles[-1]) <= 1.3 * top


def _turn_of(path: Sequence[Piece], group: Sequence[_Corner]) -> Turn:
    total = sum(corner.angle_deg for corner in group)
    if len(group) == 1:
        return Turn(total, None, group[0].at, group[0].piece)
    chord = float(np.mean([path[corner.piece].length_m for corner in group[1:]]))
    turn = max(corner.angle_deg for corner in group)
    radius = chord / (2.0 * float(np.sin(np.radians(turn) / 2.0)))
    extra = (len(group) - 1) * (radius * float(np.radians(turn)) - chord)
    ends = (path[group[0].piece + 1].start, path[group[-1].piece].end)
    middle = group[len(group) // 2].at
    return Turn(total, radius, middle, group[0].piece, max(0.0, extra), ends)


def end_directions(path: Sequence[Piece]) -> tuple[Array, Array]:
    """Unit directions out of `path` at its two ends, true to an arc that chords stand for."""
    if len(path) == 1 and path[0].centre is None:
        along = path[0].direction(0.0)
        return -along, along
    drawn = with_arcs(path)
    return -drawn[0].piece.direction(0.0), drawn[-1].piece.direction(1.0)
