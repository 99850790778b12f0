"""Centre lines: straight stretches and arcs, their length, their bends."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

STRAIGHT_DEG = 0.5  # a turn up to this is drawing noise, no bend
LEAST_M = 1e-6  # of a piece that has a length
_LONG_CHORD_M = 1.5
_COARSE_CHORD_DEG = 12.0  # a lone pair of corners finer than this is a bend of one chord
_CHORD_DEG = 50.0
_YZX, _ZXY = np.array([1, 2, 0]), np.array([2, 0, 1])


@dataclass(frozen=True, slots=True)
class Piece:
    """A straight stretch, or an arc where `centre` is given."""

    start: Array  # shape (3,) [m]
    end: Array  # shape (3,) [m]
    centre: Array | None = None  # shape (3,) [m]
    axis: Array | None = None  # unit, the arc turns right-handed about it
    angle_rad: float = 0.0

    @property
    def radius_m(self) -> float:
        """Radius of an arc. [m]"""
        assert self.centre is not None
        return size_of(self.start - self.centre)

    @property
    def length_m(self) -> float:
        """Length along the centre line. [m]"""
        if self.centre is None:
            return size_of(self.end - self.start)
        return self.radius_m * self.angle_rad

    def direction(self, share: float) -> Array:
        """Unit tangent at `share` (0 to 1) of the way."""
        if self.centre is None or self.axis is None:
            return unit(self.end - self.start)
        return unit(cross(self.axis, self.at(share) - self.centre))

    def at(self, share: float) -> Array:
        """Point at `share` (0 to 1) of the way."""
        if self.centre is None or self.axis is None:
            return self.start + share * (self.end - self.start)
        return self.centre + turned(self.start - self.centre, self.axis, share * self.angle_rad)

    def reversed(self) -> Piece:
        """The same piece from its other end."""
        axis = None if self.axis is None else -self.axis
        return Piece(self.end, self.start, self.centre, axis, self.angle_rad)


@dataclass(frozen=True, slots=True)
class Turn:
    """One bend of a centre line."""

    angle_deg: float
    radius_m: float | None
    at: Array
    first: int  # piece it begins in
    extra_m: float = 0.0  # how much the arc is longer than its chords
    arc: tuple[Array, Array] | None = None  # its two ends; None: at the corner


def size_of(vector: Array) -> float:
    """Length of one vector; numpy's own takes ten times as long for one."""
    return math.sqrt(vector.dot(vector))


def cross(first: Array, second: Array) -> Array:
    """Vector product of two single vectors, shape (3,), for the same reason."""
    result: Array = first[_YZX] * second[_ZXY] - first[_ZXY] * second[_YZX]
    return result


def unit(vector: Array) -> Array:
    """Vector of length one in the direction of `vector`; zero stays zero."""
    length = size_of(vector)
    return vector / length if length > 0.0 else vector


def turned(vector: Array, axis: Array, angle_rad: float) -> Array:
    """`vector` turned right-handed about the unit `axis`.

    Parameters
    ----------
    vector, axis : array, shape (3,)
    angle_rad : float
        Angle. [rad]
    """
    cosine, sine = np.cos(angle_rad), np.sin(angle_rad)
    along = axis * np.dot(axis, vector) * (1.0 - cosine)
    result: Array = vector * cosine + cross(axis, vector) * sine + along
    return result


def across(axis: Array) -> tuple[Array, Array]:
    """Two unit vectors square to the unit `axis` and to each other."""
    hint = np.array([1.0, 0.0, 0.0]) if abs(axis[0]) < 0.9 else np.array([0.0, 1.0, 0.0])
    first = unit(cross(axis, hint))
    return first, cross(axis, first)


def angle_deg(first: Array, second: Array) -> float:
    """Angle between two unit vectors, exact near 0 and 180. [deg]"""
    sine = size_of(cross(first, second))
    return float(np.degrees(np.arctan2(sine, float(np.dot(first, second)))))


def arc_through(start: Array, middle: Array, end: Array) -> Piece:
    """Arc from `start` through `middle` to `end`; straight where they are in line."""
    normal = cross(a := middle - start, b := end - start)
    square = float(np.dot(normal, normal))
    if square <= 1e-20 * max(float(np.dot(b, b)), 1e-12) ** 2:
        return Piece(start, end)
    centre = start + (np.dot(a, a) * cross(b, normal) - np.dot(b, b) * cross(a, normal)) / (
        2.0 * square
    )
    axis = unit(normal)
    return Piece(start, end, centre, axis, _swept(start - centre, end - centre, axis))


def arc_about(start: Array, end: Array, centre: Array, axis: Array) -> Piece:
    """Arc from `start` to `end`, right-handed about `axis` through `centre`."""
    return Piece(start, end, centre, axis, _swept(start - centre, end - centre, axis))


def _swept(start: Array, end: Array, axis: Array) -> float:
    angle = float(np.arctan2(np.dot(cross(start, end), axis), np.dot(start, end)))
    return angle if angle > 1e-9 else angle + 2.0 * np.pi


def without_points(path: Sequence[Piece]) -> tuple[Piece, ...]:
    """`path` without pieces of no length."""
    return tuple(piece for piece in path if piece.length_m > LEAST_M)


def reverse(path: Sequence[Piece]) -> tuple[Piece, ...]:
    """`path` from its other end."""
    return tuple(piece.reversed() for piece in reversed(path))


def polyline(points: Sequence[Array]) -> tuple[Piece, ...]:
    """Path of straight stretches through `points`."""
    return without_points([Piece(a, b) for a, b in itertools.pairwise(points)])


def drawn_points(path: Sequence[Piece], *, step_rad: float = np.pi / 12) -> list[Array]:
    """Points of `path` for drawing, arcs as chords.

    Parameters
    ----------
    path : sequence of Piece
    step_rad : float
        Most that one chord turns. [rad]
    """
    points = [path[0].start] if path else []
    for piece in path:
        if piece.centre is None:
            points.append(piece.end)
            continue
        count = max(1, int(np.ceil(piece.angle_rad / step_rad)))
        points.extend(piece.at(number / count) for number in range(1, count + 1))
    return points


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
    found = [*_arcs(path), *_corners(path)]
    found.sort(key=lambda turn: turn.first)
    return [turn for turn in found if turn.angle_deg > STRAIGHT_DEG]


def _arcs(path: Sequence[Piece]) -> list[Turn]:
    found: list[Turn] = []
    number = 0
    while number < len(path):
        first = path[number]
        if first.centre is None or first.axis is None:
            number += 1
            continue
        total, last = first.angle_rad, number
        while last + 1 < len(path) and _same_arc(first, path[last + 1]):
            last += 1
            total += path[last].angle_rad
        middle = first.centre + turned(first.start - first.centre, first.axis, total / 2.0)
        ends, turn_deg = (first.start, path[last].end), float(np.degrees(total))
        found.append(Turn(turn_deg, first.radius_m, middle, number, arc=ends))
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
        if angle > 0.01:
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
        if not follows or np.dot(corner.axis, last.axis) < 0.98 or chord.length_m > _LONG_CHORD_M:
            break
        if max(corner.angle_deg, last.angle_deg) > _CHORD_DEG:
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
        return max(angles) <= _COARSE_CHORD_DEG and max(angles) - min(angles) <= 0.3 * max(angles)
    inner = angles[1:-1]
    top = max(inner)
    return top - min(inner) <= 0.3 * top and max(angles[0], angles[-1]) <= 1.3 * top


def _turn_of(path: Sequence[Piece], group: Sequence[_Corner]) -> Turn:
    total = sum(corner.angle_deg for corner in group)
    if len(group) == 1:
        return Turn(total, None, group[0].at, group[0].piece)
    chord, turn = _chord_of(path, group)
    outer = _outer_chords(path, group)
    radius = chord / (2.0 * float(np.sin(np.radians(turn) / 2.0)))
    extra = (len(group) - 1 + len(outer)) * (radius * float(np.radians(turn)) - chord)
    middle, total = group[len(group) // 2].at, total + len(outer) * turn / 2.0
    chords = [*outer, group[0].piece + 1, group[-1].piece]
    ends = (path[min(chords)].start, path[max(chords)].end)
    return Turn(total, radius, middle, group[0].piece, max(0.0, extra), ends)


def _chord_of(path: Sequence[Piece], group: Sequence[_Corner]) -> tuple[float, float]:
    """Length [m] of the chords of a bend, and the turn from one to the next. [deg]"""
    chords = [path[corner.piece].length_m for corner in group[1:]]
    return float(np.mean(chords)), max(corner.angle_deg for corner in group)


def _outer_chords(path: Sequence[Piece], group: Sequence[_Corner]) -> list[int]:
    """Pieces at an end of `path` that are chords of the bend too: 0, the last, both or none.

    An arc that begins at the very end of a path has no tangent there: its first chord is as long
    as the others, and its first corner turns as much as they do.
    """
    chord, turn = _chord_of(path, group)
    found = []
    for piece, corner in ((group[0].piece, group[0]), (group[-1].piece + 1, group[-1])):
        is_end = piece in (0, len(path) - 1) and path[piece].centre is None
        is_alike = abs(path[piece].length_m - chord) <= 0.05 * chord
        if is_end and is_alike and corner.angle_deg > 0.9 * turn:
            found.append(piece)
    return found


def end_directions(path: Sequence[Piece]) -> tuple[Array, Array]:
    """Unit directions out of `path` at its two ends, true to an arc that chords stand for."""
    if len(path) == 1 and path[0].centre is None:
        along = path[0].direction(0.0)
        return -along, along
    out = [-path[0].direction(0.0), path[-1].direction(1.0)]
    corners = _all_corners(path)
    while corners:
        group = _chord_group(path, corners)
        corners = corners[len(group) :]
        if len(group) == 1:
            continue
        half = float(np.radians(_chord_of(path, group)[1])) / 2.0
        for piece in _outer_chords(path, group):
            if piece == 0:
                out[0] = turned(out[0], group[0].axis, -half)
            if piece == len(path) - 1:
                out[1] = turned(out[1], group[-1].axis, half)
    return out[0], out[1]
