"""Pieces of raceway in their own frame: their ends and way, by the evidence that there is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from modelcheck.geometry.frames import Array
from modelcheck.geometry.mesh import Face, newell, triangles
from modelcheck.geometry.mouths import Mouth, Part, parts_of, path_between
from modelcheck.geometry.path import (
    Piece,
    angle_deg,
    cross,
    size_of,
    unit,
)
from modelcheck.geometry.tube import Shape, composed, swept
from modelcheck.geometry.turns import end_directions, length_m, turns
from modelcheck.model.element import (
    Point,
    Role,
    Triangle,
)
from modelcheck.read.ports import Port
from modelcheck.read.shapes import Drawing, Drawn
from modelcheck.read.solids import Faced, Swept, carried, faces_of

_PAIR = 2
_ON_FACE_M = 0.001
_AXIS_M = 0.005
_STRAIGHT_DEG = 0.5
_ONE_WAY = 0.999


@dataclass(frozen=True, slots=True)
class Outline:
    """Ends and way of one piece of raceway in its own frame, with the evidence they rest on."""

    shape: Shape
    evidence: str = "body"  # body, axis or port
    is_round: bool = False
    diameter_m: float | None = None
    profile: str = ""
    bend_conflict: str = ""
    troubles: tuple[str, ...] = ()


def body_outline(drawing: Drawing, role: Role) -> tuple[Outline, bool]:
    """Work out where a piece of raceway begins and ends, and whether its ports may tell more.

    The body decides; where it can't tell, the drawn axis, then ports that lie on the body, then
    the bounding box.
    """
    parts, is_round = _body_parts(drawing)
    shape, axis = composed(parts), _axis_shape(drawing.axis)
    is_told = _is_told(shape, role)
    body = Outline(
        shape=shape,
        is_round=is_round,
        diameter_m=_diameter_m(parts),
        profile=next((each.profile for each in drawing.solids if each.profile), ""),
        troubles=drawing.troubles,
    )
    if axis is not None and (not is_told or _refines(axis, shape, drawing)):
        return replace(body, shape=axis, evidence="axis"), False
    return body, not (is_round and is_told)


def with_ports(body: Outline, drawing: Drawing, ports: Sequence[Port], role: Role) -> Outline:
    """`body` by what its ports tell, in its own frame like itself; else what is left."""
    on_body, is_told = _port_shape(drawing, ports), _is_told(body.shape, role)
    told_twice = is_told and _looks_alike(body.shape, on_body)
    if not told_twice and (len(on_body.mouths) > _PAIR or on_body.path):
        return replace(body, shape=on_body, evidence="port")
    return body if is_told else _without_way(body, drawing, on_body, role)


def _without_way(body: Outline, drawing: Drawing, on_body: Shape, role: Role) -> Outline:
    """What is left where neither body, axis nor ports tell it all: bounds, two ends, or nothing."""
    if not drawing.solids:
        bounds = composed([part for each in drawing.bounds for part in parts_of(each.faces)])
        if _is_told(bounds, role):
            diameter_m = 2.0 * max(mouth.radius_m for mouth in bounds.mouths)
            return replace(body, shape=bounds, diameter_m=diameter_m)
    for each in (body.shape, on_body):
        if len(each.mouths) == _PAIR:
            return replace(body, shape=each, bend_conflict=_unknown_way(each))
    return replace(body, shape=Shape(()))


def _looks_alike(shape: Shape, ports: Shape) -> bool:
    """True if the ports lie on the end faces that the body has: then its middle is their place."""
    return len(ports.mouths) == len(shape.mouths) and all(
        any(float(mouth.direction @ port.direction) > _ONE_WAY for mouth in shape.mouths)
        for port in ports.mouths
    )


def _body_parts(drawing: Drawing) -> tuple[list[Part], bool]:
    rods = [each for each in drawing.solids if isinstance(each, Swept)]
    faces = [face for each in drawing.solids if isinstance(each, Faced) for face in each.faces]
    parts = [swept(each.path, each.radius_m) for each in rods]
    meshed = parts_of(faces) if faces else []
    is_round = bool(rods) or any(_is_round(part) for part in meshed)
    return [*parts, *meshed], is_round


def _diameter_m(parts: Sequence[Part]) -> float | None:
    """Diameter of the longest body: a socket or a collar is wider than the raceway itself."""
    known = [part for part in parts if part.mouths]
    if not known:
        return None
    longest = max(known, key=lambda part: length_m(part.path)) if len(known) > 1 else known[0]
    return 2.0 * max(mouth.radius_m for mouth in longest.mouths) or None


def _is_round(part: Part) -> bool:
    return bool(part.mouths) and all(mouth.is_round for mouth in part.mouths)


def _is_told(shape: Shape, role: Role) -> bool:
    """True if a body says all there is to know of a piece of this role."""
    if role is Role.CAP:
        return bool(shape.mouths)
    if len(shape.mouths) == _PAIR:
        return bool(shape.path)
    return role is Role.FITTING and len(shape.mouths) > _PAIR


def _axis_shape(axis: tuple[Piece, ...]) -> Shape | None:
    if not axis or any(size_of(a.end - b.start) > _ON_FACE_M for a, b in pairwise(axis)):
        return None
    start, end = end_directions(axis)
    return Shape((Mouth(axis[0].start, start, 0.0), Mouth(axis[-1].end, end, 0.0)), axis)


def _refines(axis: Shape, shape: Shape, drawing: Drawing) -> bool:
    """True if the drawn axis is the exact form of a faceted body that ends where it does."""
    if len(shape.mouths) != _PAIR or any(isinstance(each, Swept) for each in drawing.solids):
        return False
    gaps = [
        min(size_of(mouth.point - other.point) for other in shape.mouths) for mouth in axis.mouths
    ]
    return max(gaps) < _AXIS_M and bool(turns(axis.path)) == bool(turns(shape.path))


def _port_shape(drawing: Drawing, ports: Sequence[Port]) -> Shape:
    """Ends at the ports that lie on a face of the body, looking out of it."""
    faces = [face for each in drawing.solids if isinstance(each, Faced) for face in each.faces]
    if not (faces and ports):
        return Shape(())
    middle = np.mean([point for face in faces for loop in face for point in loop], axis=0)
    mouths = []
    for port in ports:
        normal = _face_normal(faces, port.point)
        if normal is None:
            continue
        outward = normal if float((port.point - middle) @ normal) >= 0.0 else -normal
        mouths.append(Mouth(port.point, outward, 0.0))
    if len(mouths) != _PAIR:
        return Shape(tuple(mouths))
    path = path_between(*mouths) or _eccentric(*mouths)
    return Shape(tuple(mouths), path)


def _eccentric(first: Mouth, second: Mouth) -> tuple[Piece, ...]:
    """Way through a reducer or transition whose ends look apart but lie out of line."""
    if angle_deg(-first.direction, second.direction) > _STRAIGHT_DEG:
        return ()
    apart = second.point - first.point
    along = float(apart @ second.direction)
    lateral = size_of(apart - along * second.direction)
    return (Piece(first.point, second.point),) if along > lateral else ()


def _face_normal(faces: Sequence[Face], point: Array) -> Array | None:
    """Normal of the face that `point` lies on."""
    for face in faces:
        loop = face[0]
        normal = unit(newell(loop))
        if abs(float((point - loop[0]) @ normal)) > _ON_FACE_M:
            continue
        if any(_inside(point, triangle, normal) for triangle in triangles(face)):
            return normal
    return None


def _inside(point: Array, triangle: tuple[Array, Array, Array], normal: Array) -> bool:
    a, b, c = triangle
    sides = [float(cross(q - p, point - p) @ normal) for p, q in ((a, b), (b, c), (c, a))]
    slack = 1e-9
    return all(side >= -slack for side in sides) or all(side <= slack for side in sides)


def _unknown_way(shape: Shape) -> str:
    turn = angle_deg(-shape.mouths[0].direction, shape.mouths[1].direction)
    return (
        f"its two ends are {turn:.1f} degrees out of line, but how it bends between them "
        "can't be told from its body"
    )


def body_faces(drawn: Drawn) -> list[Face]:
    """Faces of everything `drawn` where it stands, the bounding box if there is nothing else."""
    faces: list[Face] = []
    for solid in drawn.own.solids or drawn.own.bounds:
        faces += faces_of(carried(solid, drawn.matrix))
    return faces


def triangles_of(faces: Sequence[Face]) -> tuple[Triangle, ...]:
    """`faces` as the triangles that the records hold."""
    return tuple((_point(a), _point(b), _point(c)) for face in faces for a, b, c in triangles(face))


def _point(vector: Array) -> Point:
    return (float(vector[0]), float(vector[1]), float(vector[2]))
