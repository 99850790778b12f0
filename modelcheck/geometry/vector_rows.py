"""Products, lengths and angles of many vectors at once: arrays of shape (n, 3), row by row."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain
from typing import Any

import numpy as np
from numpy.typing import NDArray

from modelcheck.model.element import Point

Array = NDArray[Any]


def rows_of(points: Iterable[Point]) -> Array:
    """Points as rows; twice as fast as the library, which looks at every tuple."""
    return np.fromiter(chain.from_iterable(points), float).reshape(-1, 3)


def pairs_of(pairs: Iterable[tuple[int, int]]) -> Array:
    """Pairs of numbers as rows, for the same reason."""
    return np.fromiter(chain.from_iterable(pairs), int).reshape(-1, 2)


def dots(first: Array, second: Array) -> Array:
    """Scalar products."""
    return np.asarray(np.einsum("ij,ij->i", first, second))


def lengths(vectors: Array) -> Array:
    """Length of each vector."""
    return np.sqrt(dots(vectors, vectors))


def crosses(first: Array, second: Array) -> Array:
    """Vector products; several times as fast as the library's for the few rows of a body."""
    a, b, c = first.T
    x, y, z = second.T
    return np.array((b * z - c * y, c * x - a * z, a * y - b * x)).T


def angles_deg(first: Array, second: Array) -> Array:
    """Angle between each two vectors, 0 to 180, exact for small ones too. [deg]"""
    return np.asarray(np.degrees(np.arctan2(lengths(crosses(first, second)), dots(first, second))))


def off_lines_m(points: Array, starts: Array, directions: Array) -> Array:
    """Distance of each point from the line through `starts` along the unit `directions`. [m]"""
    offsets = points - starts
    return lengths(offsets - dots(offsets, directions)[:, None] * directions)
