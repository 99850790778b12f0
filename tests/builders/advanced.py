"""Advanced breps: true cylinders and tori, bounded by circles and a seam (IFC4 and later)."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tests.builders.pen import Entity, Pen
from tests.builders.space import Arc, Leg, Line, Point, square_to, tup, unit


def advanced_items(pen: Pen, legs: Sequence[Leg], radius_m: float) -> list[Entity]:
    """One closed brep a leg."""
    return [_tube(pen, leg, radius_m) for leg in legs]


def _tube(pen: Pen, leg: Leg, radius_m: float) -> Entity:
    """Wall, and a flat face at either end; the seam runs along the outside of an arc."""
    rim = _rim(leg.start, leg)
    last = _rim(leg.end, leg)
    first_dir, last_dir = leg.directions
    starts = [tup(np.array(leg.start) + rim * radius_m), tup(np.array(leg.end) + last * radius_m)]
    corners = [pen.make("IfcVertexPoint", pen.corner(point)) for point in starts]
    rings = [
        _ring(pen, pen.axes(leg.start, first_dir, tup(rim)), radius_m, corners[0]),
        _ring(pen, pen.axes(leg.end, last_dir, tup(last)), radius_m, corners[1]),
    ]
    seam = pen.make("IfcEdgeCurve", *corners, _seam(pen, leg, starts, radius_m), SameSense=True)
    bound = [(rings[0], 1), (seam, 1), (rings[1], -1), (seam, -1)]
    wall = _face(pen, bound, _surface(pen, leg, rim, radius_m))
    back = tup(-np.array(first_dir))
    ends = [
        _face(pen, [(rings[0], -1)], pen.make("IfcPlane", pen.axes(leg.start, back, tup(rim)))),
        _face(pen, [(rings[1], 1)], pen.make("IfcPlane", pen.axes(leg.end, last_dir, tup(last)))),
    ]
    return pen.make("IfcAdvancedBrep", pen.make("IfcClosedShell", [wall, *ends]))


def _rim(at: Point, leg: Leg) -> np.ndarray:
    """Direction from the centre line to the seam."""
    if isinstance(leg, Arc):
        return unit(np.subtract(at, leg.centre))
    return square_to(np.array(leg.directions[0]))


def _ring(pen: Pen, axes: Entity, radius_m: float, corner: Entity) -> Entity:
    circle = pen.make("IfcCircle", axes, pen.length(radius_m))
    return pen.make("IfcEdgeCurve", corner, corner, circle, SameSense=True)


def _seam(pen: Pen, leg: Leg, ends: list[Point], radius_m: float) -> Entity:
    if isinstance(leg, Arc):
        out = tup(_rim(leg.start, leg))
        axes = pen.axes(leg.centre, leg.axis, out)
        return pen.make("IfcCircle", axes, pen.length(leg.radius_m + radius_m))
    along = pen.direction(pen.base.vector(leg.directions[0]))
    vector = pen.make("IfcVector", along, pen.length(leg.length_m))
    return pen.make("IfcLine", pen.corner(ends[0]), vector)


def _surface(pen: Pen, leg: Leg, rim: np.ndarray, radius_m: float) -> Entity:
    if isinstance(leg, Line):
        axes = pen.axes(leg.start, leg.directions[0], tup(rim))
        return pen.make("IfcCylindricalSurface", axes, pen.length(radius_m))
    axes = pen.axes(leg.centre, leg.axis, tup(rim))
    return pen.make("IfcToroidalSurface", axes, pen.length(leg.radius_m), pen.length(radius_m))


def _face(pen: Pen, edges: list[tuple[Entity, int]], surface: Entity) -> Entity:
    """Face bounded by edges, each gone along (1) or against (-1) its own sense."""
    oriented = [
        pen.make("IfcOrientedEdge", EdgeElement=edge, Orientation=sense > 0)
        for edge, sense in edges
    ]
    bound = pen.make("IfcFaceOuterBound", pen.make("IfcEdgeLoop", oriented), Orientation=True)
    return pen.make("IfcAdvancedFace", [bound], surface, SameSense=True)
