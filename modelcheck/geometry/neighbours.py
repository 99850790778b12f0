"""What lies near what: points, lines, balls and triangles, found by a spatial index."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from modelcheck.geometry.vector_rows import Array, crosses, dots, lengths, pairs_of, rows_of
from modelcheck.model.element import Point, Triangle

_CHUNK_M = 0.5  # lines are indexed in pieces of this length at most
_SLACK_M = 1e-6  # of a ball: one that a line only just misses is told too
_MOST_ROWS = 200_000  # triangles seen from points that are worked at once
_INSIDE = 0.5  # of the solid angle all round, seen from a point inside a closed body

Line = tuple[Point, Point]


def groups(count: int, pairs: Sequence[tuple[int, int]], *, at_least: int = 1) -> list[list[int]]:
    """Numbers up to `count` in groups that `pairs` hold together, in the order of their first.

    Parameters
    ----------
    count : int
    pairs : sequence of (int, int)
        Numbers.
    at_least : int
        Numbers in a group that is told.
    """
    first, second = pairs_of(pairs).T
    graph = coo_array((np.ones(len(pairs), bool), (first, second)), (count, count))
    _, group = connected_components(graph, directed=False)
    large = np.flatnonzero(np.bincount(group)[group] >= at_least)
    order = large[np.argsort(group[large], kind="stable")]
    starts = np.flatnonzero(np.diff(group[order])) + 1
    return [own.tolist() for own in np.split(order, starts) if len(own)]


def close_pairs(points: Sequence[Point] | Array, reach_m: float) -> Array:
    """Numbers of each two points at most `reach_m` apart, in order, shape (n, 2).

    Parameters
    ----------
    points : sequence of Point
    reach_m : float
        [m]
    """
    if not len(points):
        return np.empty((0, 2), int)
    pairs = cKDTree(np.asarray(points, float)).query_pairs(reach_m, output_type="ndarray")
    return np.asarray(pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))])


def points_near_lines(
    points: Sequence[Point] | Array, lines: Sequence[Line] | Array, reach_m: float
) -> Array:
    """Numbers of each point and the straight lines that pass it within `reach_m`, in order.

    Parameters
    ----------
    points : sequence of Point
    lines : sequence of (Point, Point)
    reach_m : float
        [m]

    Returns
    -------
    ndarray, shape (n, 2)
    """
    if not (len(points) and len(lines)):
        return np.empty((0, 2), int)
    places, ends = np.asarray(points, float), np.asarray(lines, float)
    tree, owner, half = _index(ends)
    near = cKDTree(places).sparse_distance_matrix(tree, half + reach_m, output_type="ndarray")
    table = _with_owners(near["i"], near["j"], owner)
    return table[_from_lines(places[table[:, 0]], ends[table[:, 1]]) <= reach_m]


def lines_near_balls(lines: Sequence[Line], balls: Sequence[tuple[Point, float]]) -> Array:
    """Numbers of each ball (middle and radius) and the lines that touch it, in order.

    Parameters
    ----------
    lines : sequence of (Point, Point)
    balls : sequence of (Point, float)
        Radii in metres. [m]

    Returns
    -------
    ndarray, shape (n, 2)
    """
    if not balls or not lines:
        return np.empty((0, 2), int)
    ends = rows_of(chain.from_iterable(lines)).reshape(-1, 2, 3)
    tree, owner, half = _index(ends)
    centres = rows_of([centre for centre, _ in balls])
    radii = np.asarray([radius for _, radius in balls])
    table = _with_owners(*_rows(tree.query_ball_point(centres, radii + half)), owner)
    apart_m = _from_lines(centres[table[:, 0]], ends[table[:, 1]])
    return table[apart_m <= radii[table[:, 0]] + _SLACK_M]


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
    return float(_gaps_m(np.array([point], float), np.asarray(triangles, float))[0])


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
    solid = [number for number, triangles in enumerate(bodies) if triangles]
    if not (solid and len(points)):
        return ()
    shapes = [np.asarray(bodies[number], float) for number in solid]
    low = np.array([each.min(axis=(0, 1)) for each in shapes]) - reach_m
    high = np.array([each.max(axis=(0, 1)) for each in shapes]) + reach_m
    places = np.asarray(points, float)
    block, near = _in_blocks(places, low, high).T
    found = []
    for each in np.unique(block).tolist():
        own = near[slice(*np.searchsorted(block, (each, each + 1)))]
        gaps_m = _gaps_m(places[own], shapes[each])
        found += [
            (point, solid[each], gap_m)
            for point, gap_m in zip(own.tolist(), gaps_m.tolist(), strict=True)
            if gap_m <= reach_m
        ]
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
    return tuple(np.unique(_in_blocks(points, low, high)[:, 0]).tolist())


def _in_blocks(points: Sequence[Point] | Array, low: Array, high: Array) -> Array:
    """Numbers of upright blocks, in order, and of the points in them, shape (n, 2)."""
    places = np.asarray(points, float).reshape(-1, 3)
    around = lengths(high - low) / 2 * (1.0 + 1e-9) + 1e-9
    found = cKDTree(places).query_ball_point((low + high) / 2, around, return_sorted=False)
    block, point = _rows(found)
    near = places[point]
    is_in = ((near >= low[block]) & (near <= high[block])).all(axis=1)
    return np.column_stack([block[is_in], point[is_in]])


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


def _index(ends: Array) -> tuple[cKDTree, Array, float]:
    """Tree of the middles of short pieces of lines, whose piece each is, half their length."""
    long_m = lengths(ends[:, 1] - ends[:, 0])
    counts = np.maximum(1, np.ceil(long_m / _CHUNK_M)).astype(int)
    owner = np.repeat(np.arange(len(ends)), counts)
    first = np.repeat(np.cumsum(counts) - counts, counts)
    share = (np.arange(len(owner)) - first + 0.5) / counts[owner]
    middles = ends[owner, 0] + share[:, None] * (ends[owner, 1] - ends[owner, 0])
    return cKDTree(middles), owner, float((long_m / counts).max()) / 2


def _rows(found: Sequence[Sequence[int]]) -> tuple[Array, Array]:
    """Number of who asked, and of what was found, for each that was found."""
    counts = np.fromiter(map(len, found), int, len(found))
    flat = np.fromiter(chain.from_iterable(found), int, counts.sum())
    return np.repeat(np.arange(len(found)), counts), flat


def _with_owners(asked: Array, pieces: Array, owner: Array) -> Array:
    """Number of who asked, and of whose pieces were found, in order, each once."""
    count = owner[-1] + 1
    return np.column_stack(np.divmod(np.unique(asked * count + owner[pieces]), count))


def _from_lines(points: Array, ends: Array) -> Array:
    along = ends[:, 1] - ends[:, 0]
    square = np.maximum(np.einsum("ij,ij->i", along, along), np.finfo(float).tiny)
    share = np.clip(np.einsum("ij,ij->i", points - ends[:, 0], along) / square, 0.0, 1.0)
    return np.asarray(np.linalg.norm(points - ends[:, 0] - share[:, None] * along, axis=1))


def _gaps_m(points: Array, triangles: Array) -> Array:
    """Distance of each point from triangles, shape (n, 3, 3), 0 inside the body they close. [m]"""
    gaps_m = np.zeros(len(points))
    step = max(1, _MOST_ROWS // len(triangles))
    for first in range(0, len(points), step):
        some = points[first : first + step]
        corners = (triangles - some[:, None, None]).reshape(-1, 3, 3)
        own = gaps_m[first : first + step]
        is_out = np.abs(_solid_angles(corners).reshape(len(some), -1).sum(axis=1)) <= _INSIDE
        out = corners.reshape(len(some), -1, 3, 3)[is_out].reshape(-1, 3, 3)
        own[is_out] = _from_triangles(out).reshape(-1, len(triangles)).min(axis=1)
    return gaps_m


def _solid_angles(corners: Array) -> Array:
    """Share of the solid angle all round that each triangle fills, seen from the origin."""
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    la, lb, lc = lengths(a), lengths(b), lengths(c)
    bottom = la * lb * lc + dots(a, b) * lc + dots(b, c) * la + dots(c, a) * lb
    return np.asarray(np.arctan2(dots(a, crosses(b, c)), bottom) / (2 * np.pi))


def _from_triangles(corners: Array) -> Array:
    """Distance of the origin from triangles, shape (n, 3, 3)."""
    origin = np.zeros((len(corners), 3))
    edges = [_from_lines(origin, corners[:, (k, (k + 1) % 3)]) for k in range(3)]
    nearest = np.minimum.reduce(edges)
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    normal = crosses(b - a, c - a)
    size = np.linalg.norm(normal, axis=1)
    flat = size > np.finfo(float).tiny
    unit = normal / np.where(flat, size, 1.0)[:, None]
    height = dots(a, unit)
    foot = height[:, None] * unit
    sides = [dots(crosses(q - p, foot - p), unit) for p, q in ((a, b), (b, c), (c, a))]
    over = flat & (np.minimum.reduce(sides) >= 0.0)
    return np.asarray(np.where(over, np.abs(height), nearest))
