"""Centre lines: straight stretches and arcs, their length, their bends."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

LEAST_M = 1e-6  # of a piece that has a length
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
