"""The axes of a box: along its flat faces, named as its placement names them."""

from __future__ import annotations

from itertools import permutations, product
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely import MultiPoint

from modelcheck.geometry.box_rays import Faces

_ALIGNED = np.cos(np.radians(0.5))
_SQUARE = np.sin(np.radians(0.5))
_SAME = np.cos(np.radians(0.001))  # 0.02 mm on a metre: the placement's axes are meant
_FLAT_SHARE = 0.55  # of what isn't along the first axis; an octagon has a half
_CELLS = 60  # normals worth comparing, by area

Array = NDArray[Any]
_TURNS = [
    turn
    for order in permutations(range(3))
    for signs in product((1, -1), repeat=3)
    if np.linalg.det(turn := np.diag(signs)[list(order)]) > 0
]


def box_axes(faces: Faces, placement_axes: Array) -> Array:
    """Find the axes of a box.

    Parameters
    ----------
    faces : Faces
    placement_axes : ndarray, shape (3, 3)
        Axes of the element's placement as rows; need not be unit, square or right-handed.

    Returns
    -------
    ndarray, shape (3, 3)
        Right-handed unit vectors as rows, each as near as can be to the placement's.
    """
    placement = _right_handed(placement_axes)
    normals, areas = _gathered(faces)
    first = _mean(normals, areas, _heaviest(normals, areas))
    across = np.abs(normals @ first) < _ALIGNED
    square = np.abs(normals @ first) < _SQUARE
    if square.any():
        second = _mean(normals[square], areas[square], _heaviest(normals[square], areas[square]))
        found = _completed(first, second)
        along = (np.abs(normals @ found[1:].T) > _ALIGNED).any(axis=1)
        if areas[along].sum() >= _FLAT_SHARE * areas[across].sum():
            return _named(found, placement)
    if (np.abs(placement @ first) > _ALIGNED).any():
        return placement
    return _named(_completed(first, _narrowest(faces.start, first)), placement)


def _right_handed(axes: Array) -> Array:
    """Square up given axes, keeping x and the plane of x and y."""
    x, y = np.asarray(axes, dtype=float)[:2]
    return _completed(x, y)


def _completed(first: Array, second: Array) -> Array:
    """Right-handed unit axes from two directions."""
    x = first / np.linalg.norm(first)
    y = second - (second @ x) * x
    y /= np.linalg.norm(y)
    return np.array([x, y, np.cross(x, y)])


def _gathered(faces: Faces) -> tuple[Array, Array]:
    """Give the normals that hold most area, like ones together, and their areas."""
    forward = faces.normal * np.where(_points_back(faces.normal), -1.0, 1.0)[:, None]
    _, cell = np.unique(np.round(forward, 3), axis=0, return_inverse=True)
    cell = cell.ravel()
    areas = np.bincount(cell, weights=faces.area)
    sums = np.stack([np.bincount(cell, weights=faces.area * part) for part in forward.T], axis=1)
    largest = np.argsort(-areas, kind="stable")[:_CELLS]
    normals = sums[largest] / np.linalg.norm(sums[largest], axis=1)[:, None]
    return normals, areas[largest]


def _points_back(normals: Array) -> Array:
    """Tell which normals to turn round, so that opposite faces share one."""
    largest = np.argmax(np.abs(normals) > 1e-3, axis=1)
    return np.asarray(normals[np.arange(len(normals)), largest] < 0)


def _heaviest(normals: Array, areas: Array) -> int:
    """Number of the normal with most area along it."""
    along = np.abs(normals @ normals.T) > _ALIGNED
    return int(np.argmax(np.round(along @ areas, 9)))


def _mean(normals: Array, areas: Array, seed: int) -> Array:
    """Mean by area of the normals along one of them."""
    cosines = normals @ normals[seed]
    weights = np.where(np.abs(cosines) > _ALIGNED, areas * np.sign(cosines), 0.0)
    mean = weights @ normals
    return np.asarray(mean / np.linalg.norm(mean))


def _narrowest(points: Array, normal: Array) -> Array:
    """Direction across `normal` along which the points' smallest rectangle lies."""
    plane = _completed(normal, np.eye(3)[int(np.argmin(np.abs(normal)))])[1:]
    outline = MultiPoint(points @ plane.T).minimum_rotated_rectangle
    if outline.geom_type != "Polygon":
        return np.asarray(plane[0])
    corners = np.array(outline.exterior.coords)
    return np.asarray((corners[1] - corners[0]) @ plane)


def _named(axes: Array, placement: Array) -> Array:
    """Order and turn axes so that each is as near as can be to the placement's."""
    closeness = [float(np.trace(turn @ axes @ placement.T)) for turn in _TURNS]
    named = _TURNS[int(np.argmax(np.round(closeness, 6)))] @ axes
    cosines = np.einsum("ij,ij->i", named, placement)
    return placement if (cosines > _SAME).all() else np.asarray(named)
