"""Grid lines of a model, and which of them a point is nearest to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import ifcopenshell
import numpy as np

from modelcheck.geometry.frames import Array, moved
from modelcheck.geometry.path import Piece
from modelcheck.read.curves import DAMAGED, Scales, UnreadableError, direction, path_of, point
from modelcheck.read.placements import Placements
from modelcheck.read.property_values import Entity
from modelcheck.read.spatial import text_of

_FARTHEST_M = 30.0  # from the nearest line of a direction: past it a grid says nothing of a point
_FAMILIES = ("UAxes", "VAxes", "WAxes")
_ENDLESS_M = 1e4  # half of what is drawn of a line without ends
_FULL = 2.0 * np.pi


@dataclass(frozen=True, slots=True)
class Grid:
    """One grid: the lines of each direction, drawn in its own plane."""

    model: str
    to_plane: Array  # shape (4, 4), from project coordinates
    families: tuple[tuple[tuple[str, tuple[Piece, ...]], ...], ...]  # tag and line


def grids_of(
    file: ifcopenshell.file, model: str, placements: Placements, scales: Scales
) -> Iterator[Grid]:
    """Grids of one file; a line without a tag, or of a kind that isn't worked, is left out."""
    for grid in file.by_type("IfcGrid"):
        try:
            matrix = placements.of(grid.ObjectPlacement)
            families = tuple(
                lines
                for name in _FAMILIES
                if (lines := tuple(_lines(getattr(grid, name) or (), scales)))
            )
        except (UnreadableError, *DAMAGED):
            continue
        if families:
            yield Grid(model, np.asarray(np.linalg.inv(matrix), dtype=float), families)


def nearest_lines(grids: Sequence[Grid], points: Array, model: str) -> tuple[str, ...]:
    """Tags of the lines of each direction that each point is nearest to, such as ``B/3``.

    Of several grids the one with the nearest lines tells, of two alike that of `model`; where
    each is far off none does.

    Parameters
    ----------
    grids : sequence of Grid
    points : ndarray, shape (n, 3)
        [m]
    model : str
        That the elements at the points are in.
    """
    best = np.full(len(points), _FARTHEST_M)
    names = [""] * len(points)
    for grid in sorted(grids, key=lambda each: each.model != model):
        flat = moved(grid.to_plane, points)
        flat[:, 2] = 0.0
        apart, tags = zip(*(_nearest(lines, flat) for lines in grid.families), strict=True)
        off = np.max(apart, axis=0)
        for place in np.flatnonzero(off < best - 1e-6):
            best[place] = off[place]
            names[place] = "/".join(each[place] for each in tags)
    return tuple(names)


def _lines(axes: Iterable[Entity], scales: Scales) -> Iterator[tuple[str, tuple[Piece, ...]]]:
    for axis in axes:
        tag = text_of(axis.AxisTag)
        try:
            path = tuple(_flattened(piece) for piece in _path(axis.AxisCurve, scales))
        except UnreadableError:
            continue
        if tag and path:
            yield tag, path


def _path(curve: Entity, scales: Scales) -> tuple[Piece, ...]:
    if not curve.is_a("IfcLine"):
        return path_of(curve, scales)
    middle, along = point(curve.Pnt, scales.length_m), direction(curve.Dir.Orientation)
    if along is None:
        raise UnreadableError("a line without a direction")
    reach = along / np.linalg.norm(along) * _ENDLESS_M
    return (Piece(middle - reach, middle + reach),)


def _flattened(piece: Piece) -> Piece:
    """`piece` in the plane of its grid."""
    plane = np.array([1.0, 1.0, 0.0])
    centre = None if piece.centre is None else piece.centre * plane
    return Piece(piece.start * plane, piece.end * plane, centre, piece.axis, piece.angle_rad)


def _nearest(
    lines: Sequence[tuple[str, tuple[Piece, ...]]], flat: Array
) -> tuple[Array, list[str]]:
    """Distance of each point from the nearest line, and its tag."""
    apart = np.array([np.min([_apart(each, flat) for each in path], axis=0) for _, path in lines])
    nearest = np.argmin(apart, axis=0)
    return np.min(apart, axis=0), [lines[place][0] for place in nearest]


def _apart(piece: Piece, flat: Array) -> Array:
    """Distance of each point from a straight stretch or an arc as far as it is drawn. [m]"""
    if piece.centre is None or piece.axis is None:
        along = piece.end - piece.start
        share = np.clip((flat - piece.start) @ along / (along @ along), 0.0, 1.0)
        return np.asarray(np.linalg.norm(flat - piece.start - share[:, None] * along, axis=1))
    out, first = flat - piece.centre, piece.start - piece.centre
    turn = np.arctan2(np.cross(first, out) @ piece.axis, out @ first) % _FULL
    ends = [np.linalg.norm(flat - end, axis=1) for end in (piece.start, piece.end)]
    round_it = np.abs(np.linalg.norm(out, axis=1) - piece.radius_m)
    on_arc = turn <= piece.angle_rad + 1e-9
    return np.asarray(np.where(on_arc, round_it, np.minimum(*ends)))
