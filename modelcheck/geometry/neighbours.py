"""What lies near what: points, lines, balls and triangles, found by a spatial index."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from modelcheck.model.element import Point, Triangle

_CHUNK_M = 0.5  # lines are indexed in pieces of this length at most
_INSIDE = 0.5  # of the solid angle all round, seen from a point inside a closed body

Array = NDArray[Any]
Line = tuple[Point, Point]


def close_pairs(points: Sequence[Point], reach_m: float) -> tuple[tuple[int, int], ...]:
    """Numbers of each two points at most `reach_m` apart.

    Parameters
    ----------
    points : sequence of Point
    reach_m : float
        [m]
    """
    if not points:
        return ()
    pairs = cKDTree(np.asarray(points, float)).query_pairs(reach_m)
    return tuple(sorted((int(first), int(second)) for first, second in pairs))


def points_near_lines(
    points: Sequence[Point], lines: Sequence[Line], reach_m: float
) -> tuple[tuple[int, int], ...]:
    """Numbers of each point and the straight lines that pass it within `reach_m`.

    Parameters
    ----------
    points : sequence of Point
    lines : sequence of (Point, Point)
    reach_m : float
        [m]
    """
    if not points or not lines:
        return ()
    tree, owner, half = _index(lines)
    found = tree.query_ball_point(np.asarray(points, float), half + reach_m)
    pairs = {(point, int(owner[chunk])) for point, chunks in enumerate(found) for chunk in chunks}
    if not pairs:
        return ()
    table = np.array(sorted(pairs))
    ends = np.asarray(lines, float)
    gaps = _from_lines(np.asarray(points, float)[table[:, 0]], ends[table[:, 1]])
    return tuple((int(point), int(line)) for point, line in table[gaps <= reach_m])


def lines_near_balls(
    lines: Sequence[Line], balls: Sequence[tuple[Point, float]]
) -> tuple[tuple[int, int], ...]:
    """Numbers of each line and ball (middle and radius) that may touch; a few more than do.

    Parameters
    ----------
    lines : sequence of (Point, Point)
    balls : sequence of (Point, float)
        Radii in metres. [m]
    """
    if not balls or not lines:
        return ()
    tree, owner, half = _index(lines)
    centres = np.asarray([centre for centre, _ in balls], float)
    found = tree.query_ball_point(centres, np.asarray([radius for _, radius in balls]) + half)
    pairs = {(int(owner[chunk]), ball) for ball, chunks in enumerate(found) for chunk in chunks}
    return tuple(sorted(pairs))


def body_gap_m(point: Point, triangles: Sequence[Triangle]) -> float:
    """Distance of `point` from a body, 0 inside a closed one; infinite without triangles.

    Parameters
    ----------
    point : Point
    triangles : sequence of Triangle

    Returns
    -------
    float
        [m]
    """
    if not triangles:
        return float("inf")
    corners = np.asarray(triangles, float) - np.asarray(point, float)
    if abs(_turns(corners)) > _INSIDE:
        return 0.0
    return float(_from_triangles(corners).min())


def bodies_at(
    points: Sequence[Point], bodies: Sequence[Sequence[Triangle]], reach_m: float
) -> tuple[tuple[int, int, float], ...]:
    """Numbers of each point and the bodies it lies in or within `reach_m` of, with the gap.

    Parameters
    ----------
    points : sequence of Point
    bodies : sequence of sequence of Triangle
    reach_m : float
        [m]
    """
    corners = [np.asarray(triangles, float).reshape(-1, 3) for triangles in bodies]
    solid = [number for number, each in enumerate(corners) if len(each)]
    if not (solid and len(points)):
        return ()
    low = np.array([corners[number].min(axis=0) for number in solid]) - reach_m
    high = np.array([corners[number].max(axis=0) for number in solid]) + reach_m
    found = []
    for number, near in zip(solid, _in_blocks(points, low, high), strict=True):
        for point in near:
            gap_m = body_gap_m(points[point], bodies[number])
            if gap_m <= reach_m:
                found.append((point, number, gap_m))
    return tuple(sorted(found))


def blocks_holding(points: Sequence[Point], low: Array, high: Array) -> tuple[int, ...]:
    """Numbers of the upright blocks that hold one of `points`.

    Parameters
    ----------
    points : sequence of Point
        One at least.
    low, high : ndarray, shape (n, 3)
        Two corners of each block. [m]
    """
    held = _in_blocks(points, low, high)
    return tuple(number for number, points_in in enumerate(held) if points_in)


def _in_blocks(points: Sequence[Point], low: Array, high: Array) -> list[list[int]]:
    """Numbers of the points in each upright block."""
    table = np.asarray(points, float).reshape(-1, 3)
    around = np.linalg.norm(high - low, axis=1) / 2 * (1.0 + 1e-9) + 1e-9
    balls = cKDTree(table).query_ball_point((low + high) / 2, around, return_sorted=False)
    held = []
    for near, least, most in zip(balls, low, high, strict=True):
        own = np.asarray(near, int)
        inside = (table[own] >= least) & (table[own] <= most)
        held.append(own[inside.all(axis=1)].tolist())
    return held


def farthest_along_m(triangles: Sequence[Triangle], start: Point, direction: Point) -> float:
    """How far a body reaches from `start` along the unit `direction`.

    Parameters
    ----------
    triangles : sequence of Triangle
        One at least.
    start : Point
    direction : Point

    Returns
    -------
    float
        [m]
    """
    corners = np.asarray(triangles, float).reshape(-1, 3) - np.asarray(start, float)
    return float((corners @ np.asarray(direction)).max())


def _index(lines: Sequence[Line]) -> tuple[cKDTree, Array, float]:
    """Tree of the middles of short pieces of `lines`, whose piece each is, half their length."""
    ends = np.asarray(lines, float)
    lengths = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
    counts = np.maximum(1, np.ceil(lengths / _CHUNK_M)).astype(int)
    owner = np.repeat(np.arange(len(lines)), counts)
    first = np.repeat(np.cumsum(counts) - counts, counts)
    share = (np.arange(len(owner)) - first + 0.5) / counts[owner]
    middles = ends[owner, 0] + share[:, None] * (ends[owner, 1] - ends[owner, 0])
    return cKDTree(middles), owner, float((lengths / counts).max()) / 2


def _from_lines(points: Array, ends: Array) -> Array:
    along = ends[:, 1] - ends[:, 0]
    square = np.maximum(np.einsum("ij,ij->i", along, along), np.finfo(float).tiny)
    share = np.clip(np.einsum("ij,ij->i", points - ends[:, 0], along) / square, 0.0, 1.0)
    return np.asarray(np.linalg.norm(points - ends[:, 0] - share[:, None] * along, axis=1))


def _turns(corners: Array) -> float:
    """Share of the solid angle all round that triangles, shape (n, 3, 3), fill from the origin."""
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    la, lb, lc = (np.linalg.norm(each, axis=1) for each in (a, b, c))
    top = np.einsum("ij,ij->i", a, np.cross(b, c))
    bottom = (
        la * lb * lc
        + np.einsum("ij,ij->i", a, b) * lc
        + np.einsum("ij,ij->i", b, c) * la
        + np.einsum("ij,ij->i", c, a) * lb
    )
    return float(np.arctan2(top, bottom).sum() / (2 * np.pi))


def _from_triangles(corners: Array) -> Array:
    """Distance of the origin from triangles, shape (n, 3, 3)."""
    origin = np.zeros((len(corners), 3))
    edges = [_from_lines(origin, corners[:, (k, (k + 1) % 3)]) for k in range(3)]
    nearest = np.minimum.reduce(edges)
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    normal = np.cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=1)
    flat = size > np.finfo(float).tiny
    unit = normal / np.where(flat, size, 1.0)[:, None]
    height = np.einsum("ij,ij->i", a, unit)
    foot = height[:, None] * unit
    sides = [
        np.einsum("ij,ij->i", np.cross(q - p, foot - p), unit) for p, q in ((a, b), (b, c), (c, a))
    ]
    over = flat & (np.minimum.reduce(sides) >= 0.0)
    return np.asarray(np.where(over, np.abs(height), nearest))
