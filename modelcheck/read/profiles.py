"""Profiles of swept bodies: a circle, or loops of points."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from modelcheck.geometry.frames import Array, moved
from modelcheck.geometry.path import Piece, drawn_points
from modelcheck.read.curves import Scales, UnreadableError, UnsoundError, axis_placement, path_of
from modelcheck.read.property_values import Entity

ROUND = ("IfcCircleProfileDef", "IfcCircleHollowProfileDef")
_ROUND_SIDES = 8


@dataclass(frozen=True, slots=True)
class Profile:
    """A closed figure in the plane z = 0; a circle where `radius_m` is given."""

    centre: Array  # shape (3,) [m]
    radius_m: float | None
    loops: tuple[Array, ...]  # outer first, shape (n, 3) [m]


def profile_of(entity: Entity, scales: Scales) -> Profile:
    """Read a profile definition.

    Raises
    ------
    UnreadableError
        If it is of a kind that isn't worked here.
    """
    kind = entity.is_a()
    if kind in ROUND:
        matrix = axis_placement(entity.Position, scales.length_m)
        return Profile(matrix[:3, 3].copy(), float(entity.Radius) * scales.length_m, ())
    if kind in ("IfcRectangleProfileDef", "IfcRoundedRectangleProfileDef"):
        return _rectangle(entity, scales, 0.0)
    if kind == "IfcRectangleHollowProfileDef":
        return _rectangle(entity, scales, float(entity.WallThickness) * scales.length_m)
    if kind == "IfcArbitraryClosedProfileDef":
        return _arbitrary([entity.OuterCurve], scales)
    if kind == "IfcArbitraryProfileDefWithVoids":
        return _arbitrary([entity.OuterCurve, *entity.InnerCurves], scales)
    raise UnreadableError(kind)


def _rectangle(entity: Entity, scales: Scales, wall_m: float) -> Profile:
    matrix = axis_placement(entity.Position, scales.length_m)
    x = float(entity.XDim) * scales.length_m / 2.0
    y = float(entity.YDim) * scales.length_m / 2.0
    loops = [_corners(x, y)]
    if wall_m > 0.0:
        loops.append(_corners(x - wall_m, y - wall_m))
    return Profile(matrix[:3, 3].copy(), None, tuple(moved(matrix, loop) for loop in loops))


def _corners(x: float, y: float) -> Array:
    return np.array([[-x, -y, 0.0], [x, -y, 0.0], [x, y, 0.0], [-x, y, 0.0]])


def _arbitrary(curves: list[Entity], scales: Scales) -> Profile:
    paths = [path_of(curve, scales) for curve in curves]
    circle = _as_circle(paths[0])
    if circle is not None:
        return Profile(circle[0], circle[1], ())
    loops = tuple(np.array(drawn_points(path)[:-1]) for path in paths)
    if any(len(loop) < 3 for loop in loops):  # noqa: PLR2004 - an area has three corners
        raise UnsoundError("a profile without area")
    return Profile(loops[0].mean(axis=0), None, loops)


def _as_circle(path: tuple[Piece, ...]) -> tuple[Array, float] | None:
    """Centre and radius of a closed path of arcs about one centre, or of many even chords."""
    if not path:
        return None
    first = path[0]
    if first.centre is not None:
        is_one = all(
            piece.centre is not None and np.linalg.norm(piece.centre - first.centre) < 1e-5  # noqa: PLR2004
            for piece in path
        )
        closes = sum(piece.angle_rad for piece in path) > 2.0 * np.pi - 1e-3
        return (first.centre, first.radius_m) if is_one and closes else None
    points = np.array([piece.start for piece in path])
    if len(points) < _ROUND_SIDES or any(piece.centre is not None for piece in path):
        return None
    centre = points.mean(axis=0)
    reach = np.linalg.norm(points - centre, axis=1)
    is_round = float(np.ptp(reach)) < 0.01 * float(reach.mean())
    return (centre, float(reach.mean())) if is_round else None
