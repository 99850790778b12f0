"""Where a body drawn as faces opens, and the centre line between its openings."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from modelcheck.geometry.chords import in_line_once
from modelcheck.geometry.mesh import Face, Mesh, Places, RayCaster, loop_centre, newell
from modelcheck.geometry.path import (
    Piece,
    across,
    angle_deg,
    cross,
    polyline,
    size_of,
    unit,
    without_points,
)
from modelcheck.geometry.vector_rows import angles_deg, lengths

Array = npt.NDArray[np.float64]

_ROUND = 0.04  # of the radius
_OBLONG = 1.02  # a rim longer than wide by more than this is cut at a slant
_FEWEST_SIDES = 6
_MANY_SIDES = 9  # with fewer, a rim must be a regular figure
_UNEVEN = 0.15
_PAIR = 2
_SQUARE = 0.12  # sides of a square mouth are alike within this share
_STRAIGHT_DEG = 0.2
_HAIR_M = 1e-5
_NO_FACES = np.zeros(0, np.intp)


@dataclass(frozen=True, slots=True)
class Mouth:
    """One opening of a body."""

    point: Array  # shape (3,) [m]
    direction: Array  # unit, out of the body
    radius_m: float
    is_round: bool = True


@dataclass(frozen=True, slots=True)
class Part:
    """One connected body: its openings and, with two of them, the way between."""

    mouths: tuple[Mouth, ...]
    path: tuple[Piece, ...] = ()  # from the first mouth to the second; empty: not known


def parts_of(faces: Sequence[Face]) -> list[Part]:
    """Every connected body of `faces` that opens somewhere."""
    parts = [_part(mesh) for mesh in Mesh.of(faces).pieces()]
    return [part for part in parts if part.mouths]


@dataclass(frozen=True, slots=True)
class _Rim:
    loop: tuple[int, ...]
    faces: Places  # of the cap; none for an open rim
    mouth: Mouth
    is_slanted: bool


def _part(mesh: Mesh) -> Part:
    rims = _round_rims(mesh)
    if not rims:
        return _square_part(mesh)
    if len(rims) != _PAIR:
        return Part(tuple(rim.mouth for rim in rims))
    path = _ring_path(mesh, rims[0], rims)
    if not path:
        return Part((rims[0].mouth, rims[1].mouth), path_between(rims[0].mouth, rims[1].mouth))
    first = _true_to(rims[0], -path[0].direction(0.0), path)
    second = _true_to(rims[1], path[-1].direction(1.0), path)
    return Part((first, second), _with_tangents(path, first, second))


def _with_tangents(path: tuple[Piece, ...], first: Mouth, second: Mouth) -> tuple[Piece, ...]:
    """`path` with a hair's breadth of tangent where an arc begins in the very mouth."""
    start, end = path[0].start, path[-1].end
    found = list(path)
    if angle_deg(path[0].direction(0.0), -first.direction) > _STRAIGHT_DEG:
        found.insert(0, Piece(start + _HAIR_M * first.direction, start))
    if angle_deg(path[-1].direction(1.0), second.direction) > _STRAIGHT_DEG:
        found.append(Piece(end, end + _HAIR_M * second.direction))
    return tuple(found)


def _true_to(rim: _Rim, along: Array, path: Sequence[Piece]) -> Mouth:
    """The mouth of a slanted cut, or of a straight body, looks along its centre line."""
    is_straight = len(path) == 1 and path[0].centre is None
    return replace(rim.mouth, direction=along) if rim.is_slanted or is_straight else rim.mouth


def _round_rims(mesh: Mesh) -> list[_Rim]:
    rims = []
    for region in mesh.regions(least_edges=_FEWEST_SIDES):
        if loops := region.loops():
            outer = max(loops, key=lambda loop: _reach(mesh.points[list(loop)]))
            rims.append(_rim(mesh, outer, region.faces))
    rims += [_rim(mesh, loop, _NO_FACES) for loop in mesh.open_rims()]
    found = [rim for rim in rims if rim is not None]
    apart = [rim for rim in found if not any(_touch(rim, other) for other in found)]
    if not apart:
        return []
    caster = RayCaster(mesh)
    return _outermost([rim for rim in apart if not _is_blocked(rim.mouth, caster)])


def _touch(first: _Rim, second: _Rim) -> bool:
    """True for two flat figures with an edge in common: facets of a body, no mouths of a pipe."""
    return first is not second and len(set(first.loop) & set(second.loop)) > 1


def _reach(points: Array) -> float:
    return float(lengths(points - points.mean(axis=0)).max())


def _rim(mesh: Mesh, loop: tuple[int, ...], faces: Places) -> _Rim | None:
    """A round rim beyond which the body doesn't go on, or None."""
    points = mesh.points[_corners_of(mesh, loop)]
    if len(points) < _FEWEST_SIDES:
        return None
    sides = lengths(points - np.roll(points, -1, axis=0))
    if len(points) < _MANY_SIDES and float(np.ptp(sides)) > _UNEVEN * float(sides.mean()):
        return None
    normal = unit(newell(points))
    centre = loop_centre(points)
    shape = _round_radius(points - centre, normal)
    if shape is None:
        return None
    radius, is_slanted = shape
    if float(np.abs((mesh.points[list(loop)] - centre) @ normal).max()) > 0.02 * radius + 1e-4:
        return None
    side = _side_of_rest(mesh, loop, faces, centre=centre, normal=normal, radius=radius)
    if side == 0:
        return None
    return _Rim(loop, faces, Mouth(centre, -side * normal, radius), is_slanted)


def _round_radius(local: Array, normal: Array) -> tuple[float, bool] | None:
    """Radius of a circle, or of the pipe whose slanted cut an ellipse is; None for other shapes."""
    reach = lengths(local)
    if reach.min() <= 0.0:
        return None
    if reach.max() - reach.min() <= _ROUND * reach.mean():
        return float(reach.mean()), bool(reach.max() > _OBLONG * reach.min())
    long = unit(local[int(np.argmax(reach))])
    short = cross(normal, long)
    a, b = float(np.abs(local @ long).max()), float(np.abs(local @ short).max())
    if b <= 0.0 or a > 6.0 * b:
        return None
    even = np.hypot((local @ long) / a, (local @ short) / b)
    return (b, True) if even.max() - even.min() <= 2.0 * _ROUND else None


def _side_of_rest(
    mesh: Mesh,
    loop: tuple[int, ...],
    faces: Places,
    *,
    centre: Array,
    normal: Array,
    radius: float,
) -> int:
    """Side of the plane (+1, -1) on which the faces beside a cap lie; 0 where they lie on both."""
    in_cap = mesh.sides_of(faces)
    capped = mesh.marked([*loop, *mesh.starts[in_cap]])
    low, high = mesh.edges.T
    at_rim = (capped[low] & capped[high])[mesh.edge_of_side]
    beyond = mesh.marked(mesh.starts[mesh.sides_of(mesh.face_of_side[at_rim & ~in_cap])])
    heights = (mesh.points[beyond & ~capped] - centre) @ normal
    slack = 1e-3 * radius + 1e-5
    above, below = bool((heights > slack).any()), bool((heights < -slack).any())
    if above == below:
        return 0
    return 1 if above else -1


def _is_blocked(mouth: Mouth, caster: RayCaster) -> bool:
    """True if the body goes on right behind a mouth: the bottom of a socket, a shoulder."""
    turns_rad = 0.4 + np.arange(4) * np.pi / 2
    first, second = across(mouth.direction)
    sides = np.outer(np.cos(turns_rad), first) + np.outer(np.sin(turns_rad), second)
    starts = mouth.point + 0.9 * mouth.radius_m * sides + 1e-4 * mouth.direction
    ahead_m = caster.nearest_m(starts, mouth.direction)
    return int((ahead_m < 3.0 * mouth.radius_m).sum()) > _PAIR


def _outermost(rims: Sequence[_Rim]) -> list[_Rim]:
    """Of rims on one axis that look the same way, the outermost; of two there, the wider."""
    kept: list[_Rim] = []
    for rim in sorted(rims, key=lambda each: -each.mouth.radius_m):
        for number, other in enumerate(kept):
            if _in_line(rim.mouth, other.mouth):
                ahead = (rim.mouth.point - other.mouth.point) @ other.mouth.direction
                if ahead > 1e-4:
                    kept[number] = rim
                break
        else:
            kept.append(rim)
    return kept


def _in_line(first: Mouth, second: Mouth) -> bool:
    if first.direction @ second.direction < 0.99:
        return False
    apart = first.point - second.point
    along = float(apart @ second.direction)
    lateral = size_of(apart - along * second.direction)
    wide = max(first.radius_m, second.radius_m)
    return lateral < 0.3 * wide and abs(along) < 8.0 * wide


def _ring_path(mesh: Mesh, start: _Rim, rims: Sequence[_Rim]) -> tuple[Piece, ...]:
    """Centre line through the rings of points that a swept body is drawn with; else empty."""
    in_cap = mesh.sides_of(np.concatenate([rim.faces for rim in rims]))
    beside: dict[int, set[int]] = defaultdict(set)
    for a, b in mesh.edges[np.unique(mesh.edge_of_side[~in_cap])].tolist():
        beside[a].add(b)
        beside[b].add(a)
    goal = set(rims[1].loop)
    level, seen = set(start.loop), set(start.loop)
    centres = [start.mouth.point]
    while level != goal:
        level = {point for each in level for point in beside[each]} - seen
        seen |= level
        if len(level) != len(start.loop):
            return ()
        if level == goal:
            centres.append(rims[1].mouth.point)
            break
        centre = _ring_centre(mesh.points[sorted(level)])
        if centre is None:
            return ()
        centres.append(centre)
    return tuple(in_line_once(polyline(centres), noise_deg=_STRAIGHT_DEG))


def _ring_centre(points: Array) -> Array | None:
    """Centre of the circle (or slanted cut) through `points`; None where they are none."""
    middle = points.mean(axis=0)
    _, _, rows = np.linalg.svd(points - middle)
    flat = (points - middle) @ rows[:2].T
    columns = np.column_stack([flat, np.ones(len(flat))])
    solution, *_ = np.linalg.lstsq(columns, (flat**2).sum(axis=1), rcond=None)
    centre = solution[:2] / 2.0
    reach = np.linalg.norm(flat - centre, axis=1)
    if reach.max() - reach.min() <= _ROUND * reach.mean():
        return np.asarray(middle + centre @ rows[:2])
    return middle if _round_radius(points - middle, rows[2]) else None


def path_between(first: Mouth, second: Mouth) -> tuple[Piece, ...]:
    """Way between two mouths when nothing else is known: straight, or one arc with straight legs.

    Empty where the axes of the mouths don't meet in front of neither.
    """
    a, b = first.point, second.point
    into, out = -first.direction, second.direction
    turn = angle_deg(into, out)
    apart = b - a
    if turn < _STRAIGHT_DEG or size_of(apart) == 0.0:
        off = size_of(cross(apart, into))
        return without_points([Piece(a, b)]) if off < 0.1 * first.radius_m + 1e-3 else ()
    normal = unit(cross(into, out))
    if abs(float(apart @ normal)) > 0.1 * first.radius_m + 1e-3 or turn > 179.0:
        return ()
    sine = cross(into, out) @ normal
    legs = (cross(apart, out) @ normal) / sine, (cross(into, apart) @ normal) / sine
    if min(legs) <= 0.0:
        return ()
    leg = min(legs)
    radius = leg / float(np.tan(np.radians(turn) / 2.0))
    corner = a + legs[0] * into
    start, end = corner - leg * into, corner + leg * out
    centre = start + radius * cross(normal, into)
    arc = Piece(start, end, centre, normal, float(np.radians(turn)))
    return without_points([Piece(a, start), arc, Piece(end, b)])


def _square_part(mesh: Mesh) -> Part:
    """Ends of a bar: the two square faces of a body that has only two of them."""
    squares = []
    for region in mesh.regions():
        for loop in region.loops()[:1]:
            points = mesh.points[_corners_of(mesh, loop)]
            if len(points) != 4:
                continue
            sides = np.linalg.norm(points - np.roll(points, -1, axis=0), axis=1)
            diagonals = np.linalg.norm(points[:2] - points[2:], axis=1)
            if np.ptp(sides) > _SQUARE * sides.max() or np.ptp(diagonals) > 0.02 * diagonals.max():
                continue
            normal, centre = unit(newell(points)), points.mean(axis=0)
            side = _side_of_rest(
                mesh,
                loop,
                region.faces,
                centre=centre,
                normal=normal,
                radius=float(sides.mean()),
            )
            if side:
                squares.append(
                    Mouth(centre, -side * normal, float(sides.mean()) / 2.0, is_round=False)
                )
    if len(squares) != _PAIR:
        return Part(())
    return Part((squares[0], squares[1]), path_between(squares[0], squares[1]))


def _corners_of(mesh: Mesh, loop: Sequence[int]) -> list[int]:
    """Points of `loop` at which it turns."""
    points = mesh.points[list(loop)]
    onward = np.roll(points, -1, axis=0) - points
    turns_deg = angles_deg(np.roll(onward, 1, axis=0), onward)
    return [here for here, turn in zip(loop, turns_deg.tolist(), strict=True) if turn > 1.0]
