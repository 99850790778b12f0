"""Placements as matrices of shape (4, 4): columns are the axes and the origin."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import numpy.typing as npt

from modelcheck.geometry.path import Piece, cross, size_of, unit

Array = npt.NDArray[np.float64]
Numbers = tuple[float, ...]  # three of them

_IDENTITY = np.eye(4)
_EVEN = 1e-6  # of the square of a scale


def frame(origin: Numbers, z_axis: Numbers | None, x_hint: Numbers | None) -> Array:
    """Right-handed frame with `z_axis`, its x axis as near to `x_hint` as can be.

    Parameters
    ----------
    origin : three floats
        [unit of the caller]
    z_axis, x_hint : three floats, optional
        Of any length. [-]
    """
    matrix = identity()
    matrix[:3, :3] = turn_of(z_axis, x_hint)
    matrix[:3, 3] = origin
    return matrix


def framed(origins: Array, turns: Array) -> Array:
    """Frames of many origins, shape (n, 3), and axes as columns, shape (n, 3, 3)."""
    matrices = np.tile(_IDENTITY, (len(origins), 1, 1))
    matrices[:, :3, :3], matrices[:, :3, 3] = turns, origins
    return matrices


def identity() -> Array:
    """A frame of its own that moves nothing, shape (4, 4)."""
    return _IDENTITY.copy()


@lru_cache(maxsize=4096)
def turn_of(z_axis: Numbers | None, x_hint: Numbers | None) -> Array:
    """Axes of a frame as columns; most frames of a model have those of another."""
    z = unit(np.array(z_axis)) if z_axis is not None else np.array([0.0, 0.0, 1.0])
    x = np.array(x_hint) if x_hint is not None else np.array([1.0, 0.0, 0.0])
    x = x - z * np.dot(x, z)
    if size_of(x) < 1e-9:
        x = np.array([1.0, 0.0, 0.0]) if abs(z[0]) < 0.9 else np.array([0.0, 1.0, 0.0])
        x = x - z * np.dot(x, z)
    x = unit(x)
    return np.column_stack([x, cross(z, x), z])


def moved(matrix: Array, points: Array) -> Array:
    """`points`, shape (n, 3) or (3,), carried by `matrix`."""
    carried: Array = points @ matrix[:3, :3].T + matrix[:3, 3]
    return carried


def moved_direction(matrix: Array, vector: Array) -> Array:
    """Unit direction of `vector` carried by `matrix`."""
    return unit(matrix[:3, :3] @ vector)


def uniform_scale(matrix: Array) -> float | None:
    """Factor by which `matrix` scales every length, or None where that hangs on the direction."""
    turn = matrix[:3, :3]
    scale = size_of(turn[:, 0])
    uneven = turn.T @ turn - _IDENTITY[:3, :3] * scale**2
    return scale if float(np.abs(uneven).max()) <= _EVEN * scale**2 else None


def moved_piece(matrix: Array, piece: Piece) -> Piece:
    """`piece` carried by a similarity; a mirror turns its axis round."""
    start, end = moved(matrix, piece.start), moved(matrix, piece.end)
    if piece.centre is None or piece.axis is None:
        return Piece(start, end)
    sign = 1.0 if np.linalg.det(matrix[:3, :3]) > 0 else -1.0
    axis = sign * moved_direction(matrix, piece.axis)
    return Piece(start, end, moved(matrix, piece.centre), axis, piece.angle_rad)


def rigid_inverse(matrix: Array) -> Array:
    """Matrix that undoes a turn and a shift."""
    inverse = identity()
    inverse[:3, :3] = matrix[:3, :3].T
    inverse[:3, 3] = -matrix[:3, 3] @ matrix[:3, :3]
    return inverse
