"""Curves of a model as centre lines in metres."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import ifcopenshell
import ifcopenshell.util.unit
import numpy as np

from modelcheck.geometry.frames import Array, Numbers, frame, identity, moved
from modelcheck.geometry.path import (
    Piece,
    arc_about,
    arc_through,
    cross,
    reverse,
    size_of,
    turned,
    unit,
    without_points,
)
from modelcheck.read.attributes import attribute, of_each
from modelcheck.read.property_values import Entity

FARTHEST_M = 1e9  # of anything from the origin
LONGEST_M = 1e5  # of one piece
_FULL = 2.0 * math.pi
_JOIN_M = 1e-4


class UnreadableError(Exception):
    """Something drawn in a way that isn't worked from its parameters."""


class UnsoundError(UnreadableError):
    """A number or a list that no body can have: no other way of reading would help."""


# What reading an instance with missing, wrong or dangling attributes raises.
DAMAGED = (ValueError, IndexError, TypeError, AttributeError, ArithmeticError, RuntimeError)
UNSOUND_RAISES = np.errstate(over="raise", invalid="raise", divide="raise")  # a number was damaged


_SI_PER_UNIT = (1e-6, 1e4)  # of a length, least and most: a micrometre, ten kilometres
_ANGLES_RAD = (1.0, math.radians(1.0), math.pi / 200.0)  # radian, degree, gon


@dataclass(frozen=True, slots=True)
class Scales:
    """Units of one model; in `doubt` stands why they can't be relied on."""

    length_m: float
    angle_rad: float
    volume_m3: float = 1.0
    doubt: str = ""

    @classmethod
    def of(cls, file: ifcopenshell.file) -> Scales:
        """Units of `file`; metres and radians for what can't be read."""
        length_m = _scale(file, "LENGTHUNIT")
        volume_m3 = _scale(file, "VOLUMEUNIT")
        angle_rad = _angle(file)
        doubts = []
        lengths = [each for each in _units(file) if _unit_type(each) == "LENGTHUNIT"]
        if length_m is None or len(lengths) != 1:
            doubts.append("the model has no sound length unit")
        if angle_rad is None:
            doubts.append("the model has a plane angle unit that is neither radian nor degree")
        return cls(length_m or 1.0, angle_rad or 1.0, volume_m3 or 1.0, " and ".join(doubts))

    def angle(self, value: float) -> float:
        """An angle of the model in radians; what can't be radians is taken for degrees."""
        found = value * self.angle_rad
        return math.radians(value) if abs(found) > _FULL + 1e-6 else found


def _scale(file: ifcopenshell.file, unit: str) -> float | None:
    """Factor of a unit to SI; None where it is damaged."""
    try:
        scale = float(ifcopenshell.util.unit.calculate_unit_scale(file, unit))
    except DAMAGED:
        return None
    least, most = (each ** (3 if unit == "VOLUMEUNIT" else 1) for each in _SI_PER_UNIT)
    return scale if least <= scale <= most else None


def _units(file: ifcopenshell.file) -> list[Entity]:
    """Units of the project; none if it has none, or damaged ones."""
    try:
        return [
            each
            for project in file.by_type("IfcProject")[:1]
            for each in project.UnitsInContext.Units
        ]
    except DAMAGED:
        return []


def _unit_type(unit: Entity) -> str:
    return str(getattr(unit, "UnitType", ""))


def _angle(file: ifcopenshell.file) -> float | None:
    """Plane angle unit in radians, one if none is given; None where it is no known one.

    A degree is told by its name: its factor is written upside down by some exporters.
    """
    angle = 1.0
    try:
        for each in _units(file):
            if _unit_type(each) == "PLANEANGLEUNIT" and each.is_a("IfcConversionBasedUnit"):
                is_degree = "DEG" in (each.Name or "").upper()
                factor = 0.0 if is_degree else float(each.ConversionFactor.ValueComponent[0])
                angle = math.radians(1.0) if is_degree else factor
    except DAMAGED:
        return None
    return angle if any(math.isclose(angle, each, rel_tol=1e-3) for each in _ANGLES_RAD) else None


def point(entity: Entity, scale: float, *, least: int = 2) -> Array:
    """Cartesian point, shape (3,), in metres; of at least so many coordinates."""
    return np.array(_coordinates(entity, scale, least))


def points_in(rows: Sequence[Sequence[float]], scale: float) -> Array:
    """Coordinates of points, two or three of each, as an array of shape (n, 3) in metres."""
    if any(len(row) != 3 for row in rows):  # noqa: PLR2004 - in a plane, or damaged
        return np.array([_scaled(row, scale, 2) for row in rows])
    return np.array(rows, dtype=float).reshape(-1, 3) * scale


def direction(entity: Entity | None, *, least: int = 2) -> Array | None:
    """Direction ratios, shape (3,), at least so many, or None."""
    ratios = _ratios(entity, least)
    return None if ratios is None else np.array(ratios)


def axis_placement(entity: Entity | None, scale: float) -> Array:
    """Matrix of an IfcAxis2Placement2D or 3D; identity for none."""
    if entity is None:
        return identity()
    x, origin = attribute(entity, "RefDirection"), attribute(entity, "Location")
    if entity.is_a() == "IfcAxis2Placement2D":
        return frame(_coordinates(origin, scale, 2), None, _ratios(x, 2))
    axis = _ratios(attribute(entity, "Axis"), 3)
    return frame(_coordinates(origin, scale, 3), axis, _ratios(x, 3))


def _coordinates(entity: Entity, scale: float, least: int) -> Numbers:
    return _scaled(attribute(entity, "Coordinates"), scale, least)


def _scaled(row: Sequence[float], scale: float, least: int) -> Numbers:
    values = tuple([float(each) * scale for each in row])
    if len(values) < least:
        raise UnsoundError("a point that lacks coordinates")
    return values if len(values) == 3 else (*values, 0.0, 0.0)[:3]  # noqa: PLR2004


def _ratios(entity: Entity | None, least: int) -> Numbers | None:
    if entity is None:
        return None
    values = tuple([float(each) for each in attribute(entity, "DirectionRatios")])
    if len(values) < least or not any(values):
        raise UnsoundError("a direction that leads nowhere")
    return values if len(values) == 3 else (*values, 0.0, 0.0)[:3]  # noqa: PLR2004


def path_of(curve: Entity, scales: Scales) -> tuple[Piece, ...]:
    """Pieces of an open or closed curve.

    Raises
    ------
    UnreadableError
        If the curve is of a kind that isn't worked here.
    """
    reader = _READERS.get(curve.is_a())
    if reader is None:
        raise UnreadableError(curve.is_a())
    return without_points(reader(curve, scales))


def _polyline(curve: Entity, scales: Scales) -> list[Piece]:
    rows = of_each(curve, "Points", "Coordinates")
    if len({len(row) for row in rows}) > 1:
        raise UnsoundError("a path with a point that lacks coordinates")
    return _straight(points_in(rows, scales.length_m))


def _straight(points: Iterable[Array]) -> list[Piece]:
    return [Piece(a, b) for a, b in itertools.pairwise(points)]


def _indexed(curve: Entity, scales: Scales) -> list[Piece]:
    grid = np.array(curve.Points.CoordList, dtype=float) * scales.length_m
    if grid.shape[1] == 2:  # noqa: PLR2004 - a plane curve
        grid = np.column_stack([grid, np.zeros(len(grid))])
    if not curve.Segments:
        return _straight(grid)
    found: list[Piece] = []
    for segment in curve.Segments:
        places = [int(each) - 1 for each in segment.wrappedValue]
        if segment.is_a("IfcArcIndex"):
            found.append(arc_through(*(grid[place] for place in places)))
        else:
            found += _straight([grid[place] for place in places])
    return found


def _composite(curve: Entity, scales: Scales) -> list[Piece]:
    found: list[Piece] = []
    for segment in curve.Segments:
        if not segment.is_a("IfcCompositeCurveSegment"):
            raise UnreadableError(segment.is_a())
        path = path_of(segment.ParentCurve, scales)
        if not path:
            continue
        found += path if segment.SameSense else reverse(path)
    return _joined(found)


def _joined(pieces: list[Piece]) -> list[Piece]:
    """Pieces in the order of a way, also where a segment's sense is told wrong."""
    if len(pieces) > 1:
        ahead = size_of(pieces[0].end - pieces[1].start)
        behind = size_of(pieces[0].start - pieces[1].start)
        back = size_of(pieces[0].start - pieces[1].end)
        if min(behind, back) < _JOIN_M < ahead and not _meets(pieces[0].end, pieces[1]):
            pieces[0] = pieces[0].reversed()
    for number in range(1, len(pieces)):
        here, piece = pieces[number - 1].end, pieces[number]
        if not _meets(here, piece):
            raise UnreadableError("a curve with a gap")
        if size_of(here - piece.start) > size_of(here - piece.end):
            pieces[number] = piece.reversed()
    return pieces


def _meets(here: Array, piece: Piece) -> bool:
    apart = min(size_of(here - piece.start), size_of(here - piece.end))
    return apart < max(_JOIN_M, 1e-3 * piece.length_m)


def _circle(curve: Entity, scales: Scales) -> list[Piece]:
    matrix, radius = axis_placement(curve.Position, scales.length_m), _radius(curve, scales)
    start = moved(matrix, np.array([radius, 0.0, 0.0]))
    return [Piece(start, start, matrix[:3, 3].copy(), matrix[:3, 2].copy(), _FULL)]


def _radius(curve: Entity, scales: Scales) -> float:
    return float(curve.Radius) * scales.length_m


def _trimmed(curve: Entity, scales: Scales) -> list[Piece]:
    basis = curve.BasisCurve
    forward = bool(curve.SenseAgreement)
    if basis.is_a("IfcLine"):
        return [Piece(_on_line(basis, curve.Trim1, scales), _on_line(basis, curve.Trim2, scales))]
    if basis.is_a("IfcCircle"):
        matrix = axis_placement(basis.Position, scales.length_m)
        radius = _radius(basis, scales)
        master = curve.MasterRepresentation
        first = _on_circle(matrix, radius, curve.Trim1, master, scales)
        second = _on_circle(matrix, radius, curve.Trim2, master, scales)
        axis = matrix[:3, 2] if forward else -matrix[:3, 2]
        return [arc_about(first, second, matrix[:3, 3].copy(), axis)]
    if basis.is_a() in _READERS and basis.is_a("IfcBoundedCurve"):
        path = path_of(basis, scales)
        return list(path if forward else reverse(path))
    raise UnreadableError(f"a trimmed {basis.is_a()}")


def _trim(trim: Sequence[Entity], kind: str) -> Entity | None:
    return next((each for each in trim if each.is_a(kind)), None)


def _on_line(line: Entity, trim: Sequence[Entity], scales: Scales) -> Array:
    given = _trim(trim, "IfcCartesianPoint")
    if given is not None:
        return point(given, scales.length_m)
    vector = direction(line.Dir.Orientation)
    value = _trim(trim, "IfcParameterValue")
    if value is None or vector is None:
        raise UnreadableError("a line trimmed by nothing")
    reach = float(value.wrappedValue) * float(line.Dir.Magnitude) * scales.length_m
    return np.asarray(point(line.Pnt, scales.length_m) + unit(vector) * reach)


def _on_circle(
    matrix: Array, radius: float, trim: Sequence[Entity], master: str, scales: Scales
) -> Array:
    given, value = _trim(trim, "IfcCartesianPoint"), _trim(trim, "IfcParameterValue")
    if given is not None and (value is None or master == "CARTESIAN"):
        return point(given, scales.length_m)
    if value is None:
        raise UnreadableError("a circle trimmed by nothing")
    angle = scales.angle(float(value.wrappedValue))
    flat = np.array([radius * math.cos(angle), radius * math.sin(angle), 0.0])
    return moved(matrix, flat)


def filleted(path: Sequence[Piece], radius_m: float) -> tuple[Piece, ...]:
    """Straight pieces with each corner rounded by an arc of `radius_m`."""
    found: list[Piece] = []
    rest = path[0]
    for after in path[1:]:
        into, out = rest.direction(1.0), after.direction(0.0)
        normal = cross(into, out)
        sine = size_of(normal)
        turn = math.atan2(sine, float(into @ out))
        leg = radius_m * math.tan(turn / 2.0)
        if sine < 1e-9 or leg > min(rest.length_m, after.length_m):  # noqa: PLR2004 - no corner
            found.append(rest)
            rest = after
            continue
        start, end = rest.end - leg * into, after.start + leg * out
        axis = unit(normal)
        found += [
            Piece(rest.start, start),
            Piece(start, end, start + radius_m * cross(axis, into), axis, turn),
        ]
        rest = Piece(end, after.end)
    return without_points([*found, rest])


def revolved(centre: Array, origin: Array, axis: Array, angle_rad: float) -> Piece:
    """Arc that `centre` makes when it is turned about an axis through `origin`."""
    axis = unit(axis)
    if angle_rad < 0.0:
        axis, angle_rad = -axis, -angle_rad
    foot = origin + axis * float((centre - origin) @ axis)
    end = foot + turned(centre - foot, axis, angle_rad)
    return Piece(centre, end, foot, axis, angle_rad)


_READERS = {
    "IfcPolyline": _polyline,
    "IfcIndexedPolyCurve": _indexed,
    "IfcCompositeCurve": _composite,
    "Ifc2DCompositeCurve": _composite,
    "IfcTrimmedCurve": _trimmed,
    "IfcCircle": _circle,
}
