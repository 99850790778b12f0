"""Faceted bodies: corners and faces, and the entities that hold them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import pi

import numpy as np

from tests.builders.pen import Entity, Pen
from tests.builders.space import Leg, Line, Point, square_to, tup, unit

SIDES = 24
STEP_DEG = 5.0


@dataclass(frozen=True, slots=True)
class Mesh:
    """Corners and faces (any number of corners, counted from 0, seen from outside)."""

    points: list[Point]
    faces: list[tuple[int, ...]]


def path_points(legs: Sequence[Leg]) -> list[Point]:
    """Points along all legs, each once; an arc as chords."""
    points = [legs[0].start]
    for leg in legs:
        steps = 1 if isinstance(leg, Line) else max(2, round(leg.angle_deg / STEP_DEG))
        points += [leg.point_at(k / steps) for k in range(1, steps + 1)]
    return points


def tube_mesh(
    legs: Sequence[Leg], radius_m: float, normals: tuple[Point, Point] | None = None
) -> Mesh:
    """Closed tube along legs; its end rings lie in planes square to it, or to `normals`."""
    path = path_points(legs)
    steps = [unit(np.subtract(b, a)) for a, b in pairwise(path)]
    ends = [np.array(legs[0].directions[0]), np.array(legs[-1].directions[1])]
    planes = [np.array(normal) for normal in normals] if normals else ends
    tangents = [ends[0], *(unit(a + b) for a, b in pairwise(steps)), ends[1]]
    faces_at = [planes[0], *tangents[1:-1], planes[1]]
    rim = square_to(tangents[0])
    points: list[Point] = []
    for at, along, face in zip(path, tangents, faces_at, strict=True):
        rim = unit(rim - along * float(rim @ along))
        other = np.cross(along, rim)
        for k in range(SIDES):
            spoke = (
                rim * np.cos(2 * pi * k / SIDES) + other * np.sin(2 * pi * k / SIDES)
            ) * radius_m
            slide = -float(spoke @ face) / float(along @ face)
            points.append(tup(np.array(at) + spoke + along * slide))
    return Mesh(points, _tube_faces(len(path)))


def _tube_faces(rings: int) -> list[tuple[int, ...]]:
    last = (rings - 1) * SIDES
    faces = [tuple(reversed(range(SIDES))), tuple(range(last, last + SIDES))]
    for first in range(0, last, SIDES):
        second = first + SIDES
        for k in range(SIDES):
            n = (k + 1) % SIDES
            faces.append((first + k, first + n, second + n, second + k))
    return faces


def brep(pen: Pen, mesh: Mesh) -> Entity:
    """Faceted brep."""
    return pen.make("IfcFacetedBrep", shell(pen, mesh, "IfcClosedShell"))


def surface(pen: Pen, mesh: Mesh) -> Entity:
    """Surface model of one open shell."""
    return pen.make("IfcShellBasedSurfaceModel", [shell(pen, mesh, "IfcOpenShell")])


def shell(pen: Pen, mesh: Mesh, ifc_class: str) -> Entity:
    """Shell of poly loops."""
    corners = [pen.corner(point) for point in mesh.points]
    faces = []
    for face in mesh.faces:
        loop = pen.make("IfcPolyLoop", [corners[index] for index in face])
        bound = pen.make("IfcFaceOuterBound", loop, Orientation=True)
        faces.append(pen.make("IfcFace", [bound]))
    return pen.make(ifc_class, faces)


def triangulated(pen: Pen, mesh: Mesh) -> Entity:
    """Triangulated face set (IFC4 and later)."""
    triangles = [
        (face[0] + 1, face[k] + 1, face[k + 1] + 1)
        for face in mesh.faces
        for k in range(1, len(face) - 1)
    ]
    points = _point_list(pen, mesh)
    return pen.make("IfcTriangulatedFaceSet", points, Closed=True, CoordIndex=triangles)


def polygonal(pen: Pen, mesh: Mesh) -> Entity:
    """Polygonal face set (IFC4 and later)."""
    faces = [
        pen.make("IfcIndexedPolygonalFace", [index + 1 for index in face]) for face in mesh.faces
    ]
    return pen.make("IfcPolygonalFaceSet", _point_list(pen, mesh), Closed=True, Faces=faces)


def _point_list(pen: Pen, mesh: Mesh) -> Entity:
    return pen.make("IfcCartesianPointList3D", [pen.row(point) for point in mesh.points])


FACETED = {
    "brep": (brep, "Brep"),
    "surface": (surface, "SurfaceModel"),
    "mesh": (triangulated, "Tessellation"),
    "polygons": (polygonal, "Tessellation"),
}
