"""Items of a representation as swept circles or as faces, in metres."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from modelcheck.geometry.frames import (
    Array,
    moved,
    moved_piece,
    uniform_scale,
)
from modelcheck.geometry.mesh import Face
from modelcheck.geometry.path import Piece, across, cross, size_of, unit, without_points
from modelcheck.geometry.tube import distance_m
from modelcheck.read.curves import (
    Scales,
    UnreadableError,
    UnsoundError,
    axis_placement,
    direction,
    filleted,
    path_of,
    point,
    revolved,
)
from modelcheck.read.facets import faces_of_set, faces_of_shells
from modelcheck.read.profiles import Profile, profile_of
from modelcheck.read.property_values import Entity

_SIDES = 24
_JOIN_M = 1e-6
_STEP_RAD = math.radians(7.5)


@dataclass(frozen=True, slots=True)
class Swept:
    """A circle swept along a path."""

    path: tuple[Piece, ...]
    radius_m: float
    profile: str = ""  # name of the profile


@dataclass(frozen=True, slots=True)
class Faced:
    """A body of faces."""

    faces: tuple[Face, ...]
    profile: str = ""


Solid = Swept | Faced


def solids_of(item: Entity, scales: Scales) -> list[Solid]:
    """Bodies of one representation item that isn't mapped.

    Raises
    ------
    UnreadableError
        If the item is of a kind that isn't worked from its parameters.
    """
    reader = _READERS.get(item.is_a())
    if reader is None:
        raise UnreadableError(item.is_a())
    return reader(item, scales)


def placed(solid: Solid, matrix: Array, scale: float = 1.0) -> Solid:
    """`solid` moved, turned or mirrored by `matrix`, which scales every length by `scale`."""
    if isinstance(solid, Faced):
        moved_faces = tuple([moved(matrix, loop) for loop in face] for face in solid.faces)
        return Faced(moved_faces, solid.profile)
    path = tuple([moved_piece(matrix, piece) for piece in solid.path])
    return Swept(path, solid.radius_m * scale, solid.profile)


def carried(solid: Solid, matrix: Array) -> Solid:
    """`solid` moved, turned, scaled or mirrored by `matrix`, whose scale isn't known."""
    if isinstance(solid, Faced):
        return placed(solid, matrix)
    scale = uniform_scale(matrix)
    if scale is not None:
        return placed(solid, matrix, scale)
    if len(solid.path) == 1 and solid.path[0].centre is None:
        stretched = _stretched(solid, matrix)
        if stretched is not None:
            return stretched
    return carried(Faced(tuple(faces_along(solid)), solid.profile), matrix)


def _stretched(solid: Swept, matrix: Array) -> Swept | None:
    """A straight pipe that is scaled along and across by different factors, if it stays round."""
    along = solid.path[0].direction(0.0)
    images = [matrix[:3, :3] @ each for each in (*across(along), along)]
    wide = size_of(images[0])
    even = abs(size_of(images[1]) - wide) < 1e-6 * wide
    square = all(
        abs(float(unit(a) @ unit(b))) < 1e-6  # noqa: PLR2004
        for a, b in ((images[0], images[1]), (images[0], images[2]), (images[1], images[2]))
    )
    if not (even and square):
        return None
    return Swept((moved_piece(matrix, solid.path[0]),), solid.radius_m * wide, solid.profile)


def faces_along(solid: Swept) -> list[Face]:
    """A swept circle as faces: rings of points along its path, and two caps."""
    stations = [(solid.path[0].start, solid.path[0].direction(0.0))]
    for number, piece in enumerate(solid.path):
        steps = 1 if piece.centre is None else max(1, math.ceil(piece.angle_rad / _STEP_RAD))
        for step in range(1, steps + 1):
            share = step / steps
            along = piece.direction(share)
            if step == steps and number + 1 < len(solid.path):
                along = unit(along + solid.path[number + 1].direction(0.0))
            stations.append((piece.at(share), along))
    aside = across(stations[0][1])[0]
    rings = []
    for at, along in stations:
        aside = unit(aside - along * (aside @ along))
        other = cross(along, aside)
        angles = np.arange(_SIDES) * (2.0 * math.pi / _SIDES)
        rings.append(
            at
            + solid.radius_m * (np.outer(np.cos(angles), aside) + np.outer(np.sin(angles), other))
        )
    return _skinned([[ring] for ring in rings], closed=False)


def faces_of(solid: Solid) -> list[Face]:
    """Faces of a body, of whichever kind."""
    return faces_along(solid) if isinstance(solid, Swept) else list(solid.faces)


def _skinned(rings: Sequence[Sequence[Array]], *, closed: bool) -> list[Face]:
    """Faces between the loops of following rings, and caps on the outermost."""
    faces: list[Face] = []
    for first, second in itertools.pairwise(rings):
        for a, b in zip(first, second, strict=True):
            for place in range(len(a)):
                after = (place + 1) % len(a)
                faces.append([np.array([a[place], a[after], b[after], b[place]])])
    if not closed:
        faces += [[loop[::-1] for loop in rings[0]], list(rings[-1])]
    return faces


def _profile_name(item: Entity) -> str:
    return str(item.SweptArea.ProfileName or "")


def _extruded(item: Entity, scales: Scales) -> list[Solid]:
    profile = profile_of(item.SweptArea, scales)
    matrix = axis_placement(item.Position, scales.length_m)
    along = direction(item.ExtrudedDirection)
    if along is None:
        raise UnsoundError("an extrusion without direction")
    reach = unit(along) * float(item.Depth) * scales.length_m
    name = _profile_name(item)
    is_square = abs(float(unit(along)[2])) > 1.0 - 1e-9
    if profile.radius_m is not None and is_square:
        path = without_points([Piece(profile.centre, profile.centre + reach)])
        if not path:
            raise UnsoundError("an extrusion without depth")
        return [placed(Swept(path, profile.radius_m, name), matrix)]
    loops = _loops(profile)
    rings = [list(loops), [loop + reach for loop in loops]]
    return [placed(Faced(tuple(_skinned(rings, closed=False)), name), matrix)]


def _loops(profile: Profile) -> tuple[Array, ...]:
    if profile.radius_m is None:
        return profile.loops
    angles = np.arange(_SIDES) * (2.0 * math.pi / _SIDES)
    ring = np.column_stack([np.cos(angles), np.sin(angles), np.zeros(_SIDES)])
    return (profile.centre + profile.radius_m * ring,)


def _revolved(item: Entity, scales: Scales) -> list[Solid]:
    profile = profile_of(item.SweptArea, scales)
    matrix = axis_placement(item.Position, scales.length_m)
    origin = point(item.Axis.Location, scales.length_m)
    axis = direction(item.Axis.Axis)
    axis = np.array([0.0, 0.0, 1.0]) if axis is None else unit(axis)
    angle = scales.angle(float(item.Angle))
    if not 0.0 < abs(angle) <= 2.0 * math.pi + 1e-6:
        raise UnsoundError("a turn that is no angle")
    name = _profile_name(item)
    arc = revolved(profile.centre, origin, axis, angle)
    if profile.radius_m is not None and arc.radius_m > profile.radius_m and abs(angle) < 6.0:  # noqa: PLR2004
        return [placed(Swept((arc,), profile.radius_m, name), matrix)]
    steps = max(2, math.ceil(abs(angle) / _STEP_RAD))
    rings = []
    for step in range(steps + 1):
        turned_loops = []
        for loop in _loops(profile):
            turn = angle * step / steps
            if step == 0:
                turned_loops.append(loop)
                continue
            turned_loops.append(np.array([revolved(each, origin, axis, turn).end for each in loop]))
        rings.append(turned_loops)
    closed = abs(angle) > 2.0 * math.pi - 1e-6
    return [placed(Faced(tuple(_skinned(rings, closed=closed)), name), matrix)]


def _disk(item: Entity, scales: Scales) -> list[Solid]:
    path = _cut_to(item, path_of(item.Directrix, scales))
    fillet = getattr(item, "FilletRadius", None)
    if fillet:
        path = filleted(path, float(fillet) * scales.length_m)
    if not path:
        raise UnsoundError("a sweep along no way")
    return [Swept(path, float(item.Radius) * scales.length_m)]


def _cut_to(item: Entity, path: tuple[Piece, ...]) -> tuple[Piece, ...]:
    """Part of the directrix between the parameters, where they are numbers of its points."""
    start, end = item.StartParam, item.EndParam
    if not item.Directrix.is_a("IfcPolyline") or start is None or end is None:
        return path
    count = len(path)
    if not 0.0 <= start < end <= count or (start == 0.0 and end in (1.0, float(count))):
        return path
    kept = []
    for number, piece in enumerate(path):
        low, high = max(start, number) - number, min(end, number + 1.0) - number
        if low < high:
            kept.append(Piece(piece.at(low), piece.at(high)))
    return without_points(kept)


def _along_curve(item: Entity, scales: Scales) -> list[Solid]:
    profile = profile_of(item.SweptArea, scales)
    if profile.radius_m is None:
        raise UnreadableError("a sweep of another figure than a circle")
    path = path_of(item.Directrix, scales)
    solid = Swept(path, profile.radius_m, _profile_name(item))
    return [placed(solid, axis_placement(item.Position, scales.length_m))]


def _brep(item: Entity, scales: Scales) -> list[Solid]:
    voids = getattr(item, "Voids", None) or ()
    return [Faced(faces_of_shells([item.Outer, *voids], scales.length_m))]


def _surface_model(item: Entity, scales: Scales) -> list[Solid]:
    sets = item.FbsmFaces if item.is_a("IfcFaceBasedSurfaceModel") else item.SbsmBoundary
    return [Faced(faces_of_shells(sets, scales.length_m))]


def _face_set(item: Entity, scales: Scales) -> list[Solid]:
    return [Faced(faces_of_set(item, scales.length_m))]


def _block(item: Entity, scales: Scales) -> list[Solid]:
    size = np.array([item.XLength, item.YLength, item.ZLength], dtype=float) * scales.length_m
    solid = box_faces(np.zeros(3), size)
    return [placed(solid, axis_placement(item.Position, scales.length_m))]


def box_faces(low: Array, high: Array) -> Faced:
    """Six faces of a block between two corners."""
    x, y, z = zip(low, high, strict=True)
    base = np.array(
        [[x[0], y[0], z[0]], [x[1], y[0], z[0]], [x[1], y[1], z[0]], [x[0], y[1], z[0]]]
    )
    top = base + np.array([0.0, 0.0, z[1] - z[0]])
    return Faced(tuple(_skinned([[base], [top]], closed=False)))


def _cylinder(item: Entity, scales: Scales) -> list[Solid]:
    matrix = axis_placement(item.Position, scales.length_m)
    top = np.array([0.0, 0.0, float(item.Height) * scales.length_m])
    solid = Swept((Piece(np.zeros(3), top),), float(item.Radius) * scales.length_m)
    return [placed(solid, matrix)]


def _bounding_box(item: Entity, scales: Scales) -> list[Solid]:
    low = point(item.Corner, scales.length_m)
    size = np.array([item.XDim, item.YDim, item.ZDim], dtype=float) * scales.length_m
    return [box_faces(low, low + size)]


def _csg(item: Entity, scales: Scales) -> list[Solid]:
    return solids_of(item.TreeRootExpression, scales)


def _boolean(item: Entity, scales: Scales) -> list[Solid]:
    """A swept circle cut by planes or bored out; anything else is left to the geometry library."""
    first = solids_of(item.FirstOperand, scales)
    if item.Operator == "UNION":
        return [*first, *solids_of(item.SecondOperand, scales)]
    if item.Operator != "DIFFERENCE" or not all(isinstance(each, Swept) for each in first):
        raise UnreadableError("a boolean result")
    swept = [each for each in first if isinstance(each, Swept)]
    if item.SecondOperand.is_a("IfcHalfSpaceSolid"):
        return [_cut(each, item.SecondOperand, scales) for each in swept]
    tools = solids_of(item.SecondOperand, scales)
    if not all(_is_bore(tool, swept) for tool in tools):
        raise UnreadableError("a boolean result")
    return [*first]


def _is_bore(tool: Solid, bodies: Sequence[Swept]) -> bool:
    """True if `tool` only hollows one of `bodies` along its centre line."""
    if not isinstance(tool, Swept):
        return False
    return any(
        tool.radius_m < body.radius_m
        and all(
            min(distance_m(piece, each.at(0.5)) for piece in body.path) < 0.1 * body.radius_m
            for each in tool.path
        )
        for body in bodies
    )


def _cut(solid: Swept, half_space: Entity, scales: Scales) -> Swept:
    """`solid` up to where its centre line meets the plane of a half space that is taken away."""
    surface = half_space.BaseSurface
    if not surface.is_a("IfcPlane"):
        raise UnreadableError(surface.is_a())
    matrix = axis_placement(surface.Position, scales.length_m)
    normal = matrix[:3, 2] if half_space.AgreementFlag else -matrix[:3, 2]
    ends = [solid.path[0].start, *(piece.end for piece in solid.path)]
    heights = [float((each - matrix[:3, 3]) @ normal) for each in ends]
    kept: list[Piece] = []
    for piece, low, high in zip(solid.path, heights, heights[1:], strict=False):
        if low < 0.0 and high < 0.0:
            continue
        if low >= 0.0 and high >= 0.0:
            kept.append(piece)
            continue
        if piece.centre is not None:
            raise UnreadableError("an arc that is cut")
        middle = piece.at(low / (low - high))
        kept.append(Piece(middle, piece.end) if low < 0.0 else Piece(piece.start, middle))
    path = without_points(kept)
    if not path or any(size_of(a.end - b.start) > _JOIN_M for a, b in itertools.pairwise(path)):
        raise UnreadableError("a body cut in pieces")
    return Swept(path, solid.radius_m, solid.profile)


_READERS = {
    "IfcExtrudedAreaSolid": _extruded,
    "IfcRevolvedAreaSolid": _revolved,
    "IfcSweptDiskSolid": _disk,
    "IfcSweptDiskSolidPolygonal": _disk,
    "IfcSurfaceCurveSweptAreaSolid": _along_curve,
    "IfcFixedReferenceSweptAreaSolid": _along_curve,
    "IfcFacetedBrep": _brep,
    "IfcFacetedBrepWithVoids": _brep,
    "IfcFaceBasedSurfaceModel": _surface_model,
    "IfcShellBasedSurfaceModel": _surface_model,
    "IfcTriangulatedFaceSet": _face_set,
    "IfcPolygonalFaceSet": _face_set,
    "IfcBlock": _block,
    "IfcRightCircularCylinder": _cylinder,
    "IfcBoundingBox": _bounding_box,
    "IfcCsgSolid": _csg,
    "IfcBooleanResult": _boolean,
    "IfcBooleanClippingResult": _boolean,
}
