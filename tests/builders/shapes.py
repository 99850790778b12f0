"""Representation items of tubes: each function draws legs of a centre line."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from math import pi

import numpy as np

from tests.builders.pen import Entity, Pen
from tests.builders.space import Arc, Frame, Leg, Line, Point, square_to, tup, unit

SIDES = 32


def straight(pen: Pen, line: Line, radius_m: float, *, bore_m: float | None = None) -> Entity:
    """Circle drawn out along the line."""
    along = line.directions[0]
    return pen.extrusion(pen.circle(radius_m, bore_m), pen.axes(line.start, along), line.length_m)


def across(pen: Pen, line: Line, radius_m: float) -> Entity:
    """Rectangle as long as the line and as wide as the tube, drawn out square to the run."""
    along = line.directions[0]
    side = square_to(np.array(along))
    corner = tup(np.array(line.point_at(0.5)) - side * radius_m)
    position = pen.axes(corner, tup(side), along)
    return pen.extrusion(pen.rectangle(line.length_m, 2 * radius_m), position, 2 * radius_m)


def revolved(pen: Pen, arc: Arc, radius_m: float, *, bore_m: float | None = None) -> Entity:
    """Circle turned about the axis of the arc."""
    along, _ = arc.directions
    out = tup(unit(np.subtract(arc.start, arc.centre)))
    # in the profile's plane x points away from the centre, so the axis to turn about is -/+ y
    frame = Frame.at(arc.start, along, out)
    axis = frame.inverse.vector(arc.axis)
    centre = frame.inverse.point(arc.centre)
    return pen.make(
        "IfcRevolvedAreaSolid",
        pen.circle(radius_m, bore_m),
        pen.frame(frame),
        pen.make("IfcAxis1Placement", pen.point(centre), pen.direction(axis)),
        pen.angle(arc.angle_deg),
    )


def chords(leg: Leg, step_deg: float = 7.5) -> list[Point]:
    """Points along a leg: both ends of a line, the arc at most `step_deg` apart."""
    if isinstance(leg, Line):
        return [leg.start, leg.end]
    number = max(2, round(leg.angle_deg / step_deg))
    return [leg.point_at(k / number) for k in range(number + 1)]


def path_points(legs: Sequence[Leg], step_deg: float = 7.5) -> list[Point]:
    """Points along all legs, each once."""
    points: list[Point] = []
    for leg in legs:
        points += chords(leg, step_deg)[1 if points else 0 :]
    return points


def disk(pen: Pen, directrix: Entity, radius_m: float, *, bore_m: float | None = None) -> Entity:
    """Disk swept along a curve."""
    bore = None if bore_m is None else pen.length(bore_m)
    return pen.make("IfcSweptDiskSolid", directrix, pen.length(radius_m), bore, 0.0, 1.0)


def polyline(pen: Pen, points: Sequence[Point]) -> Entity:
    """Open polyline."""
    return pen.make("IfcPolyline", [pen.corner(point) for point in points])


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
    rows = [pen.row(point) for point in points]
    listed = pen.make("IfcCartesianPointList3D", rows)
    return pen.make("IfcIndexedPolyCurve", listed, segments, SelfIntersect=False)


def composite_curve(pen: Pen, legs: Sequence[Leg]) -> Entity:
    """Composite curve of polylines and trimmed circles."""
    parts = []
    for leg in legs:
        if isinstance(leg, Line):
            curve = polyline(pen, [leg.start, leg.end])
        else:
            out = tup(unit(np.subtract(leg.start, leg.centre)))
            circle = pen.make(
                "IfcCircle", pen.axes(leg.centre, leg.axis, out), pen.length(leg.radius_m)
            )
            low = pen.make("IfcParameterValue", 0.0)
            high = pen.make("IfcParameterValue", pen.angle(leg.angle_deg))
            curve = pen.make(
                "IfcTrimmedCurve",
                circle,
                [low],
                [high],
                SenseAgreement=True,
                MasterRepresentation="PARAMETER",
            )
        parts.append(
            pen.make("IfcCompositeCurveSegment", "CONTINUOUS", SameSense=True, ParentCurve=curve)
        )
    return pen.make("IfcCompositeCurve", parts, SelfIntersect=False)


@dataclass(frozen=True, slots=True)
class Mesh:
    """Corners and faces (any number of corners, counted from 0, seen from outside)."""

    points: list[Point]
    faces: list[tuple[int, ...]]


def tube_mesh(legs: Sequence[Leg], radius_m: float, sides: int = SIDES) -> Mesh:
    """Closed tube along legs; its rings stand square to the centre line at both ends."""
    path = path_points(legs)
    tangents = _tangents(path, legs)
    across_dir = square_to(tangents[0])
    points: list[Point] = []
    for at, along in zip(path, tangents, strict=True):
        across_dir = unit(across_dir - along * float(across_dir @ along))
        other = np.cross(along, across_dir)
        for k in range(sides):
            turn = 2 * pi * k / sides
            rim = across_dir * np.cos(turn) + other * np.sin(turn)
            points.append(tup(np.array(at) + rim * radius_m))
    faces = [tuple(reversed(range(sides))), tuple(range(len(points) - sides, len(points)))]
    for ring in range(len(path) - 1):
        first, second = ring * sides, (ring + 1) * sides
        for k in range(sides):
            n = (k + 1) % sides
            faces.append((first + k, first + n, second + n, second + k))
    return Mesh(points, faces)


def _tangents(path: Sequence[Point], legs: Sequence[Leg]) -> list[np.ndarray]:
    steps = [unit(np.subtract(b, a)) for a, b in itertools.pairwise(path)]
    inner = [unit(a + b) for a, b in itertools.pairwise(steps)]
    ends = [np.array(legs[0].directions[0]), np.array(legs[-1].directions[1])]
    return [ends[0], *inner, ends[1]]


def brep(pen: Pen, mesh: Mesh) -> Entity:
    """Faceted brep."""
    return pen.make("IfcFacetedBrep", shell(pen, mesh))


def shell(pen: Pen, mesh: Mesh, ifc_class: str = "IfcClosedShell") -> Entity:
    """Shell of poly loops."""
    corners = [pen.corner(point) for point in mesh.points]
    faces = []
    for face in mesh.faces:
        loop = pen.make("IfcPolyLoop", [corners[index] for index in face])
        faces.append(pen.make("IfcFace", [pen.make("IfcFaceOuterBound", loop, Orientation=True)]))
    return pen.make(ifc_class, faces)


def triangulated(pen: Pen, mesh: Mesh) -> Entity:
    """Triangulated face set (IFC4 and later)."""
    triangles = [
        (face[0] + 1, face[k] + 1, face[k + 1] + 1)
        for face in mesh.faces
        for k in range(1, len(face) - 1)
    ]
    return pen.make(
        "IfcTriangulatedFaceSet", _point_list(pen, mesh), Closed=True, CoordIndex=triangles
    )


def polygonal(pen: Pen, mesh: Mesh) -> Entity:
    """Polygonal face set (IFC4 and later)."""
    faces = [
        pen.make("IfcIndexedPolygonalFace", [index + 1 for index in face]) for face in mesh.faces
    ]
    return pen.make("IfcPolygonalFaceSet", _point_list(pen, mesh), Closed=True, Faces=faces)


def _point_list(pen: Pen, mesh: Mesh) -> Entity:
    rows = [pen.row(point) for point in mesh.points]
    return pen.make("IfcCartesianPointList3D", rows)
