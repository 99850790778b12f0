"""Upright blocks around bodies: a first look at what may be near."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

import numpy as np

from modelcheck.geometry.frames import Array, moved
from modelcheck.model.element import Point
from modelcheck.read.solids import Faced, Solid

Block = tuple[Point, Point]  # two corners, in project coordinates [m]


def corners_around(solids: Sequence[Solid]) -> Array | None:
    """Corners of a block that holds bodies, shape (8, 3); None without one. [m]"""
    if not solids:
        return None
    limits = np.vstack([_limits(each) for each in solids])
    low, high = limits.min(axis=0), limits.max(axis=0)
    return np.array([*product(*zip(low, high, strict=True))])


def placed_block(corners: Array, matrix: Array) -> Block:
    """Upright block around what `corners` hold, carried by `matrix`."""
    placed = moved(matrix, corners)
    x, y, z = placed.min(axis=0).tolist()
    to_x, to_y, to_z = placed.max(axis=0).tolist()
    return (x, y, z), (to_x, to_y, to_z)


def _limits(solid: Solid) -> Array:
    """Two corners of a block that holds a body, generous around a bend."""
    if isinstance(solid, Faced):
        points = np.vstack([face[0] for face in solid.faces])
        return np.array([points.min(axis=0), points.max(axis=0)])
    points = np.array([point for piece in solid.path for point in (piece.start, piece.end)])
    radii_m = [piece.radius_m for piece in solid.path if piece.centre is not None]
    out_m = solid.radius_m + 2.0 * max(radii_m, default=0.0)
    return np.array([points.min(axis=0) - out_m, points.max(axis=0) + out_m])
