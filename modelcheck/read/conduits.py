"""Pieces of raceway: their ends, centre line and bends, by the evidence that there is."""

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
    drawn_points,
    end_directions,
    length_m,
    turns,
    unit,
)
from modelcheck.geometry.tube import Shape, composed, swept
from modelcheck.model.element import (
    Bend,
    Conduit,
    ElementRef,
    End,
    Point,
    RacewaySize,
    Role,
    Triangle,
)
from modelcheck.read.ports import Port
from modelcheck.read.shapes import Drawn
from modelcheck.read.solids import Faced, Swept, faces_of

_PAIR = 2
_ON_FACE_M = 0.001
_AXIS_M = 0.005
_STRAIGHT_DEG = 0.5
_ONE_WAY = 0.999
_SAID = {"axis": "drawn axis", "port": "ports"}


@dataclass(frozen=True, slots=True)
class Outline:
    """Ends and way of one piece of raceway, with the evidence they rest on."""

    shape: Shape
    evidence: str = "body"  # body, axis or port
    is_round: bool = False
    diameter_m: float | None = None
    profile: str = ""
    bend_conflict: str = ""
    troubles: tuple[str, ...] = ()


def outline_of(drawn: Drawn, ports: Sequence[Port], role: Role) -> Outline:
    """Work out where a piece of raceway begins and ends.

    The body decides; where it can't tell, the drawn axis, then ports that lie on the body, then
    the bounding box.
    """
    parts, is_round = _body_parts(drawn)
    shape, axis = composed(parts), _axis_shape(drawn.axis)
    is_told = _is_told(shape, role)
    body = Outline(
        shape=shape,
        is_round=is_round,
        diameter_m=_diameter_m(parts),
        profile=next((each.profile for each in drawn.solids if each.profile), ""),
        troubles=drawn.troubles,
    )
    if axis is not None and (not is_told or _refines(axis, shape, drawn)):
        return replace(body, shape=axis, evidence="axis")
    on_body = Shape(()) if is_round and is_told else _port_shape(drawn, ports)
    told_twice = is_told and _looks_alike(shape, on_body)
    if not told_twice and (len(on_body.mouths) > _PAIR or on_body.path):
        return replace(body, shape=on_body, evidence="port")
    return body if is_told else _without_way(body, drawn, on_body, role)


def _without_way(body: Outline, drawn: Drawn, on_body: Shape, role: Role) -> Outline:
    """What is left where neither body, axis nor ports tell it all: bounds, two ends, or nothing."""
    if not drawn.solids:
        bounds = composed([part for each in drawn.bounds for part in parts_of(each.faces)])
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


def _body_parts(drawn: Drawn) -> tuple[list[Part], bool]:
    rods = [each for each in drawn.solids if isinstance(each, Swept)]
    faces = [face for each in drawn.solids if isinstance(each, Faced) for face in each.faces]
    parts = [swept(each.path, each.radius_m) for each in rods]
    meshed = parts_of(faces) if faces else []
    is_round = bool(rods) or any(_is_round(part) for part in meshed)
    return [*parts, *meshed], is_round


def _diameter_m(parts: Sequence[Part]) -> float | None:
    """Diameter of the longest body: a socket or a collar is wider than the raceway itself."""
    known = [part for part in parts if part.mouths]
    if not known:
        return None
    longest = max(known, key=lambda part: length_m(part.path))
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
    if not axis or any(
        float(np.linalg.norm(a.end - b.start)) > _ON_FACE_M for a, b in pairwise(axis)
    ):
        return None
    start, end = end_directions(axis)
    return Shape((Mouth(axis[0].start, start, 0.0), Mouth(axis[-1].end, end, 0.0)), axis)


def _refines(axis: Shape, shape: Shape, drawn: Drawn) -> bool:
    """True if the drawn axis is the exact form of a faceted body that ends where it does."""
    if len(shape.mouths) != _PAIR or any(isinstance(each, Swept) for each in drawn.solids):
        return False
    gaps = [
        min(float(np.linalg.norm(mouth.point - other.point)) for other in shape.mouths)
        for mouth in axis.mouths
    ]
    return max(gaps) < _AXIS_M and bool(turns(axis.path)) == bool(turns(shape.path))


def _port_shape(drawn: Drawn, ports: Sequence[Port]) -> Shape:
    """Ends at the ports that lie on a face of the body, looking out of it."""
    faces = [face for each in drawn.solids if isinstance(each, Faced) for face in each.faces]
    if not faces:
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
    lateral = float(np.linalg.norm(apart - along * second.direction))
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
    sides = [float(np.cross(q - p, point - p) @ normal) for p, q in ((a, b), (b, c), (c, a))]
    slack = 1e-9
    return all(side >= -slack for side in sides) or all(side <= slack for side in sides)


def _unknown_way(shape: Shape) -> str:
    turn = angle_deg(-shape.mouths[0].direction, shape.mouths[1].direction)
    return (
        f"its two ends are {turn:.1f} degrees out of line, but how it bends between them "
        "can't be told from its body"
    )


def conduit_of(
    outline: Outline,
    drawn: Drawn,
    *,
    ref: ElementRef,
    role: Role,
    size: RacewaySize,
    system: str,
    is_cable: bool,
    ported_to: tuple[tuple[str, int], ...],
    damage: str = "",
) -> Conduit:
    """The record of one piece of raceway."""
    shape = outline.shape
    bends = tuple(
        Bend(
            angle_deg=turn.angle_deg,
            radius_m=turn.radius_m,
            at=_point(turn.at),
            element=ref,
            evidence=outline.evidence,
            trade_size_in=size.trade_size_in,
            arc=None if turn.arc is None else (_point(turn.arc[0]), _point(turn.arc[1])),
        )
        for turn in turns(shape.path)
    )
    said = _SAID.get(outline.evidence)
    return Conduit(
        ref=ref,
        role=role,
        size=size,
        ends=tuple(
            End(
                point=_point(mouth.point),
                direction=_point(mouth.direction),
                evidence=outline.evidence,
                radius_m=mouth.radius_m or (outline.diameter_m or 0.0) / 2.0 or None,
            )
            for mouth in shape.mouths
        ),
        centreline=tuple(_point(each) for each in drawn_points(shape.path)),
        bends=bends,
        length_m=length_m(shape.path),
        system=system,
        is_cable=is_cable,
        ported_to=ported_to,
        body=() if shape.mouths else triangles_of(body_faces(drawn)),
        bend_conflict=outline.bend_conflict,
        damage=damage,
        assumptions=(
            *([f"its ends are read from its {said}"] if said else []),
            *(outline.troubles if drawn.solids else ()),
        ),
    )


def body_faces(drawn: Drawn) -> list[Face]:
    """Faces of everything `drawn`, the bounding box if there is nothing else."""
    faces: list[Face] = []
    for solid in drawn.solids or drawn.bounds:
        faces += faces_of(solid)
    return faces


def triangles_of(faces: Sequence[Face]) -> tuple[Triangle, ...]:
    """`faces` as the triangles that the records hold."""
    return tuple((_point(a), _point(b), _point(c)) for face in faces for a, b, c in triangles(face))


def _point(vector: Array) -> Point:
    return (float(vector[0]), float(vector[1]), float(vector[2]))
