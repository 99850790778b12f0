"""The body of one piece of raceway in one habit."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from tests.builders import shapes
from tests.builders.advanced import advanced_items
from tests.builders.meshes import FACETED, tube_mesh
from tests.builders.pen import Entity, Pen
from tests.builders.pieces import SPIGOT_M, Piece
from tests.builders.space import IDENTITY, Arc, Frame, Leg, Line, moved, tup, unit

BORE_OF_RADIUS = 0.92
BELL_M = 0.006  # how much wider a socket is


def stand(piece: Piece) -> Frame:
    """Frame that a piece stands in by itself: z along it, x away from the middle of its arc."""
    leg = piece.legs[0]
    x = tup(unit(np.subtract(leg.start, leg.centre))) if isinstance(leg, Arc) else None
    return Frame.at(piece.start, piece.directions[0], x)


def tube(pen: Pen, piece: Piece, body: str, label: str) -> tuple[list[Entity], str]:
    """Items of a piece, and the type of representation they make.

    `label` names the profiles.
    """
    items, kind = _body(pen, piece, body, label)
    if piece.bell:
        line = piece.legs[0]
        mouth = Line(line.start, line.point_at(1.2 * SPIGOT_M / line.length_m))
        profile = pen.circle(piece.outside_m / 2 + BELL_M, name=label)
        more = shapes.straight(pen, mouth, profile)
        if kind == "SweptSolid":
            items = [*items, more]
    return items, kind


def _body(pen: Pen, piece: Piece, body: str, label: str) -> tuple[list[Entity], str]:
    radius = piece.outside_m / 2
    if body in _WHOLE:
        draw_whole, kind = _WHOLE[body]
        return draw_whole(pen, piece.legs, radius), kind
    if body in FACETED:
        draw, kind = FACETED[body]
        return [draw(pen, tube_mesh(piece.legs, radius, piece.normals))], kind
    if body in ("mapped", "scaled", "mirrored", "stretched"):
        return [_mapped(pen, piece, body, label)], "MappedRepresentation"
    if body in _CURVES:
        return _along(pen, piece, body)
    if not piece.is_straight:
        return _swept(pen, piece.legs, _profile(pen, radius, body, label)), "SweptSolid"
    return _straight(pen, piece, body, label)


def _along(pen: Pen, piece: Piece, body: str) -> tuple[list[Entity], str]:
    """Disk swept along the centre line, or the centre line alone."""
    curve = _CURVES[body](pen, piece.legs)
    if body == "axis":
        return [curve], "Curve3D"
    radius = piece.outside_m / 2
    bore = radius * BORE_OF_RADIUS if body == "disk-hollow" else None
    end = shapes.parameter_length(pen, curve)
    return [shapes.disk(pen, curve, radius, bore_m=bore, end=end)], "AdvancedSweptSolid"


def _straight(pen: Pen, piece: Piece, body: str, label: str) -> tuple[list[Entity], str]:
    line, radius = piece.legs[0], piece.outside_m / 2
    assert isinstance(line, Line)
    profile = _profile(pen, radius, body, label)
    if body == "across":
        return [shapes.across(pen, line, radius)], "SweptSolid"
    if body == "cylinder":
        return [shapes.cylinder(pen, line, radius)], "CSG"
    if body == "clipped":
        normals = piece.normals or piece.directions
        return [shapes.clipped(pen, line, normals, profile)], "Clipping"
    if body == "extrusion-back":
        return [shapes.backward(pen, line, profile)], "SweptSolid"
    legs: Sequence[Leg] = shapes.halves(line) if body == "halves" else [line]
    return _swept(pen, legs, profile), "SweptSolid"


def _swept(pen: Pen, legs: Sequence[Leg], profile: Entity) -> list[Entity]:
    """One swept solid a leg."""
    return [
        shapes.revolved(pen, leg, profile)
        if isinstance(leg, Arc)
        else shapes.straight(pen, leg, profile)
        for leg in legs
    ]


def _profile(pen: Pen, radius_m: float, body: str, label: str) -> Entity:
    bore = radius_m * BORE_OF_RADIUS
    if body in ("hollow", "revolve-hollow"):
        return pen.circle(radius_m, bore, name=label)
    if body == "arbitrary":
        return pen.make("IfcArbitraryClosedProfileDef", "AREA", label, pen.ring(radius_m))
    if body == "arbitrary-hollow":
        inner = [pen.ring(bore)]
        return pen.make("IfcArbitraryProfileDefWithVoids", "AREA", label, pen.ring(radius_m), inner)
    return pen.circle(radius_m, name=label)


def _mapped(pen: Pen, piece: Piece, how: str, label: str) -> Entity:
    """Body drawn once in its own frame, for all that are alike, and put in place by an operator."""
    at = stand(piece)
    if how == "stretched" and not piece.is_straight:
        how = "scaled"
    change = {
        "mapped": np.eye(4),
        "scaled": np.diag([0.25, 0.25, 0.25, 1.0]),
        "mirrored": np.diag([-1.0, 1.0, 1.0, 1.0]),
        "stretched": np.diag([1.0, 1.0, 1.0 / piece.length_m, 1.0]),
    }[how]
    legs = [moved(leg, change @ at.inverse.matrix) for leg in piece.legs]
    radius = piece.outside_m / 2 * (0.25 if how == "scaled" else 1.0)
    key = (label, round(radius, 6), *(round(value, 6) for leg in legs for value in leg.end))
    if key not in pen.maps:
        own = replace(pen, base=IDENTITY)
        items = _swept(own, legs, own.circle(radius, name=label))
        shape = own.make(
            "IfcShapeRepresentation", pen.contexts["Body"], "Body", "SweptSolid", items
        )
        pen.maps[key] = own.make("IfcRepresentationMap", own.frame(IDENTITY), shape)
    operator = _operator(pen, at, how, piece.length_m)
    return pen.make("IfcMappedItem", pen.maps[key], operator)


def _operator(pen: Pen, at: Frame, how: str, length_m: float) -> Entity:
    frame = pen.base @ at
    x, y, z = (tup(frame.matrix[:3, column]) for column in range(3))
    if how == "mirrored":
        x = tup(-np.array(x))
    axes = {
        "Axis1": pen.direction(x),
        "Axis2": pen.direction(y),
        "LocalOrigin": pen.point(tup(frame.matrix[:3, 3])),
        "Scale": 4.0 if how == "scaled" else 1.0,
        "Axis3": pen.direction(z),
    }
    if how == "stretched":
        name = "IfcCartesianTransformationOperator3DnonUniform"
        return pen.make(name, **axes, Scale2=1.0, Scale3=round(length_m, 9))
    return pen.make("IfcCartesianTransformationOperator3D", **axes)


_WHOLE: dict[str, tuple[Callable[[Pen, Sequence[Leg], float], list[Entity]], str]] = {
    "bounds": (shapes.bounds, "BoundingBox"),
    "advanced": (advanced_items, "AdvancedBrep"),
}
_CURVES: dict[str, Callable[[Pen, Sequence[Leg]], Entity]] = {
    "disk": shapes.centre_curve,
    "disk-hollow": shapes.centre_curve,
    "disk-composite": shapes.composite_curve,
    "chords": shapes.polyline,
    "axis": shapes.centre_curve,
}
