"""Representation items of tubes: each function draws a centre line with a radius."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from tests.builders.meshes import path_points, tube_mesh
from tests.builders.pen import Entity, Pen
from tests.builders.space import Arc, Frame, Leg, Line, Point, square_to, tup, unit

SPARE_M = 0.05  # how far a body is drawn past the plane that clips it


def straight(pen: Pen, line: Line, profile: Entity) -> Entity:
    """Profile drawn out along the line."""
    return pen.extrusion(profile, pen.axes(line.start, line.directions[0]), line.length_m)


def backward(pen: Pen, line: Line, profile: Entity) -> Entity:
    """Profile that stands at the end of the line and is drawn out against its own z."""
    position = pen.axes(line.end, line.directions[0])
    down = pen.direction((0.0, 0.0, -1.0))
    return pen.make("IfcExtrudedAreaSolid", profile, position, down, pen.length(line.length_m))


def across(pen: Pen, line: Line, radius_m: float) -> Entity:
    """Rectangle as long as the line and as wide as the tube, drawn out square to the run."""
    along = line.directions[0]
    side = square_to(np.array(along))
    corner = tup(np.array(line.point_at(0.5)) - side * radius_m)
    position = pen.axes(corner, tup(side), along)
    return pen.extrusion(pen.rectangle(line.length_m, 2 * radius_m), position, 2 * radius_m)


def cylinder(pen: Pen, line: Line, radius_m: float) -> Entity:
    """Cylinder of constructive geometry."""
    position = pen.axes(line.start, line.directions[0])
    primitive = pen.make(
        "IfcRightCircularCylinder", position, pen.length(line.length_m), pen.length(radius_m)
    )
    return pen.make("IfcCsgSolid", primitive)


def clipped(pen: Pen, line: Line, normals: tuple[Point, Point], profile: Entity) -> Entity:
    """Extrusion that is too long at both ends, cut off by two planes."""
    along = np.array(line.directions[0])
    start, end = tup(np.array(line.start) - along * SPARE_M), np.array(line.end) + along * SPARE_M
    solid = straight(pen, Line(start, tup(end)), profile)
    first, last = normals
    for at, outward in ((line.start, tup(-np.array(first))), (line.end, last)):
        plane = pen.make("IfcPlane", pen.axes(at, outward))
        half = pen.make("IfcHalfSpaceSolid", plane, AgreementFlag=False)
        solid = pen.make("IfcBooleanClippingResult", "DIFFERENCE", solid, half)
    return solid


def revolved(pen: Pen, arc: Arc, profile: Entity) -> Entity:
    """Profile turned about the axis of the arc."""
    along, _ = arc.directions
    out = tup(unit(np.subtract(arc.start, arc.centre)))
    frame = Frame.at(arc.start, along, out)
    axis = frame.inverse.vector(arc.axis)
    centre = frame.inverse.point(arc.centre)
    return pen.make(
        "IfcRevolvedAreaSolid",
        profile,
        pen.frame(frame),
        pen.make("IfcAxis1Placement", pen.point(centre), pen.direction(axis)),
        pen.angle(arc.angle_deg),
    )


def disk(
    pen: Pen, directrix: Entity, radius_m: float, *, bore_m: float | None, end: float | None
) -> Entity:
    """Disk swept along a whole curve, whose parameter runs from 0 to `end`."""
    bore = None if bore_m is None else pen.length(bore_m)
    start = None if end is None else 0.0
    return pen.make("IfcSweptDiskSolid", directrix, pen.length(radius_m), bore, start, end)


def parameter_length(pen: Pen, curve: Entity) -> float | None:
    """How far the parameter of a curve runs; only IFC2X3 must be told."""
    if pen.file.schema != "IFC2X3":
        return None
    if curve.is_a("IfcPolyline"):
        return float(len(curve.Points) - 1)
    if curve.is_a("IfcTrimmedCurve"):
        return float(curve.Trim2[0].wrappedValue - curve.Trim1[0].wrappedValue)
    return sum(parameter_length(pen, part.ParentCurve) or 0.0 for part in curve.Segments)


def polyline(pen: Pen, legs: Sequence[Leg]) -> Entity:
    """Open polyline, arcs as short chords."""
    return pen.make("IfcPolyline", [pen.corner(point) for point in path_points(legs)])


def indexed_curve(pen: Pen, legs: Sequence[Leg]) -> Entity:
    """Poly curve with real arcs (IFC4 and later)."""
    points: list[Point] = [legs[0].start]
    segments = []
    for leg in legs:
        first = len(points)
        if isinstance(leg, Line):
            points.append(leg.end)
            segments.append(pen.make("IfcLineIndex", (first, first + 1)))
        else:
            points += [leg.point_at(0.5), leg.end]
            segments.append(pen.make("IfcArcIndex", (first, first + 1, first + 2)))
    listed = pen.make("IfcCartesianPointList3D", [pen.row(point) for point in points])
    return pen.make("IfcIndexedPolyCurve", listed, segments, SelfIntersect=False)


def composite_curve(pen: Pen, legs: Sequence[Leg]) -> Entity:
    """Composite curve of polylines and trimmed circles."""
    parts = [
        pen.make(
            "IfcCompositeCurveSegment",
            "CONTINUOUS",
            SameSense=True,
            ParentCurve=polyline(pen, [leg]) if isinstance(leg, Line) else _trimmed(pen, leg),
        )
        for leg in legs
    ]
    return pen.make("IfcCompositeCurve", parts, SelfIntersect=False)


def _trimmed(pen: Pen, arc: Arc) -> Entity:
    out = tup(unit(np.subtract(arc.start, arc.centre)))
    circle = pen.make("IfcCircle", pen.axes(arc.centre, arc.axis, out), pen.length(arc.radius_m))
    return pen.make(
        "IfcTrimmedCurve",
        circle,
        [pen.make("IfcParameterValue", 0.0)],
        [pen.make("IfcParameterValue", pen.angle(arc.angle_deg))],
        SenseAgreement=True,
        MasterRepresentation="PARAMETER",
    )


def centre_curve(pen: Pen, legs: Sequence[Leg]) -> Entity:
    """Curve of an Axis representation."""
    if all(isinstance(leg, Line) for leg in legs):
        return polyline(pen, legs)
    is_old = pen.file.schema == "IFC2X3"
    return composite_curve(pen, legs) if is_old else indexed_curve(pen, legs)


def bounds(pen: Pen, legs: Sequence[Leg], radius_m: float) -> list[Entity]:
    """Bounding box, square to the drawing's axes."""
    if len(legs) == 1 and isinstance(legs[0], Line):
        points = np.array([pen.base.point(point) for point in path_points(legs)])
        along = np.abs(np.array(pen.base.vector(legs[0].directions[0])))
        grow = radius_m * np.sqrt(np.maximum(0.0, 1 - along**2))
    else:
        points = np.array([pen.base.point(point) for point in tube_mesh(legs, radius_m).points])
        grow = np.zeros(3)
    low, high = points.min(axis=0) - grow, points.max(axis=0) + grow
    size = [pen.length(value) for value in high - low]
    return [pen.make("IfcBoundingBox", pen.point(low), *size)]


def halves(line: Line) -> list[Leg]:
    """Two lines of half the length."""
    return [Line(a, b) for a, b in pairwise((line.start, line.point_at(0.5), line.end))]
