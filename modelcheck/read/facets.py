"""Bodies that are drawn as faces: breps, surface models and face sets, in metres."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

import numpy as np

from modelcheck.geometry.frames import Array
from modelcheck.geometry.mesh import Face
from modelcheck.read.attributes import of_each
from modelcheck.read.curves import UnreadableError, points_in
from modelcheck.read.property_values import Entity

_FEWEST = 3  # corners of a face

_Loop = Sequence[Sequence[float]]  # coordinates of its corners, as the file holds them


def faces_of_shells(shells: Sequence[Entity], scale: float) -> tuple[Face, ...]:
    """Faces of shells whose loops are polygons, the outer loop of each first.

    Parameters
    ----------
    shells : sequence of entities
        IfcConnectedFaceSet.
    scale : float
        Length unit of the model. [m]

    Raises
    ------
    UnreadableError
        If a face is bounded by anything else.
    """
    drawn = [_loops_of(face) for shell in shells for face in shell.CfsFaces]
    faces = [
        [loop for loop in loops if len(loop) >= _FEWEST]
        for loops in drawn
        if len(loops[0]) >= _FEWEST
    ]
    loops = [loop for face in faces for loop in face]
    points = points_in([row for loop in loops for row in loop], scale)
    ends = accumulate(len(loop) for loop in loops)
    placed = iter([points[end - len(loop) : end] for loop, end in zip(loops, ends, strict=True)])
    return tuple([next(placed) for _ in face] for face in faces)


def _loops_of(face: Entity) -> list[_Loop]:
    bounds = face.Bounds
    loops = [_corners_of(bound) for bound in bounds]
    outer = next((k for k, each in enumerate(bounds) if each.is_a("IfcFaceOuterBound")), 0)
    return [loops[outer], *loops[:outer], *loops[outer + 1 :]]


def _corners_of(bound: Entity) -> _Loop:
    loop = bound.Bound
    if not loop.is_a("IfcPolyLoop"):
        raise UnreadableError(loop.is_a())
    return of_each(loop, "Polygon", "Coordinates")


def faces_of_set(item: Entity, scale: float) -> tuple[Face, ...]:
    """Faces of an IfcTriangulatedFaceSet or IfcPolygonalFaceSet.

    Parameters
    ----------
    item : entity
    scale : float
        Length unit of the model. [m]
    """
    grid = np.array(item.Coordinates.CoordList, dtype=float) * scale
    if item.PnIndex:
        grid = grid[np.array(item.PnIndex) - 1]

    def corners(places: Sequence[int]) -> Array:
        return np.asarray(grid[np.array(places) - 1])

    if item.is_a("IfcTriangulatedFaceSet"):
        return tuple([triangle] for triangle in grid[np.array(item.CoordIndex) - 1])
    faces: list[Face] = []
    for face in item.Faces:
        holes = getattr(face, "InnerCoordIndices", None) or ()
        faces.append([corners(face.CoordIndex), *(corners(hole) for hole in holes)])
    return tuple(faces)
