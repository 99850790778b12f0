"""The bend sheet of a run: its pieces, and every bend as a bender sets it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import groupby, pairwise
from math import cos, dist, radians, sin

from modelcheck.geometry.vectors import (
    angle_deg,
    cross,
    dot,
    middle,
    minus,
    moved,
    turn_about_deg,
    turned,
    unit,
)
from modelcheck.layout.run_path import PlacedBend, RunPath, run_path
from modelcheck.model.bend_sheet import BendSheet, SheetBend, SheetPiece
from modelcheck.model.element import Point, Vector
from modelcheck.model.run import Run, RunPart

_SHORT_M = 0.01  # a shorter stretch doesn't tell a direction finely enough
_BY_LEGS_DEG = 170.0  # past it the directions before and after tell no plane
_UPRIGHT = 0.999
_CLOSES_M = 0.002


@dataclass(frozen=True, slots=True)
class _Turn:
    """One bend as it turns the run."""

    placed: PlacedBend
    angle_deg: float
    axis: Vector
    ahead: Vector  # direction of the run before it


def bend_sheet(run: Run) -> BendSheet | None:
    """Bend sheet of `run`; None if it has no parts to measure along.

    Angles are those between the straight stretches as drawn, lengths those along the run: the
    pieces add up to its length.

    Parameters
    ----------
    run : Run
    """
    path = run_path(run)
    if path is None:
        return None
    legs = _legs(path)
    turns = [
        _turn(placed, before, after)
        for placed, (before, after) in zip(path.bends, pairwise(legs), strict=True)
    ]
    sheet = BendSheet(
        run=run,
        start=run.parts[0].points[0],
        direction=legs[0],
        pieces=_pieces(path, turns, legs[0]),
        problem=_problem(path),
    )
    walked = walk(sheet)
    starts = iter(walked)
    sheet = replace(sheet, pieces=tuple(replace(each, start=next(starts)) for each in sheet.pieces))
    if sheet.problem:
        return sheet
    closes_m = dist(walked[-1], run.parts[-1].points[-1])
    problem = "" if closes_m <= _CLOSES_M else "its parts don't meet in line as they are drawn"
    return replace(sheet, closes_m=closes_m, problem=problem)


def walk(sheet: BendSheet) -> tuple[Point, ...]:
    """Where each piece of `sheet` begins if one builds the run by it, and where the last ends.

    Parameters
    ----------
    sheet : BendSheet
    """
    point, ahead = sheet.start, sheet.direction
    axis = first_axis(ahead)
    points = [point]
    for piece in sheet.pieces:
        at_m = 0.0
        for bend in piece.bends:
            point = moved(point, ahead, bend.mark_m - at_m)
            axis = turned(axis, ahead, bend.rotation_deg)
            radius_m = bend.radius_m or 0.0
            centre = moved(point, cross(axis, ahead), radius_m)
            arm = turned(minus(point, centre), axis, bend.angle_deg)
            point, ahead = moved(centre, arm, 1.0), turned(ahead, axis, bend.angle_deg)
            at_m = bend.mark_m + radius_m * radians(bend.angle_deg)
        point = moved(point, ahead, piece.length_m - at_m)
        points.append(point)
    return tuple(points)


def first_axis(ahead: Vector) -> Vector:
    """Axis of a bend straight up from `ahead`; toward +y where the run begins upright."""
    toward = (0.0, 1.0, 0.0) if abs(ahead[2]) > _UPRIGHT else (0.0, 0.0, 1.0)
    return unit(cross(ahead, toward))


def _problem(path: RunPath) -> str:
    if path.run.bend_conflict:
        return path.run.bend_conflict
    unknown = [each.bend.element for each in path.bends if not each.is_known]
    if unknown:
        return f"it isn't drawn how {unknown[0].name or unknown[0].guid} bends"
    return ""


def _legs(path: RunPath) -> list[Vector]:
    """Direction of each stretch; of a short one that of the arc beside it."""
    legs: list[Vector] = []
    for number, stretch in enumerate(path.stretches):
        before = path.bends[number - 1] if number else None
        after = path.bends[number] if number < len(path.bends) else None
        if dist(stretch.start, stretch.end) < _SHORT_M:
            if before and before.bend.radius_m:
                legs.append(_tangents(before)[1])
                continue
            if after and after.bend.radius_m:
                legs.append(_tangents(after)[0])
                continue
        legs.append(unit(minus(stretch.end, stretch.start)))
    return legs


def _outward(placed: PlacedBend) -> Vector:
    """Unit vector square to the chord of an arc, to its outer side."""
    chord = unit(minus(placed.end, placed.start))
    out = minus(placed.bend.at, middle((placed.start, placed.end)))
    return unit(moved(out, chord, -dot(out, chord)))


def _tangents(placed: PlacedBend) -> tuple[Vector, Vector]:
    """Directions of the run at the start and the end of an arc."""
    half = radians(placed.bend.angle_deg / 2.0)
    chord, out = unit(minus(placed.end, placed.start)), _outward(placed)
    along = moved((0.0, 0.0, 0.0), chord, cos(half))
    return moved(along, out, sin(half)), moved(along, out, -sin(half))


def _turn(placed: PlacedBend, before: Vector, after: Vector) -> _Turn:
    is_arc = placed.bend.radius_m is not None
    if is_arc and placed.bend.angle_deg > _BY_LEGS_DEG:
        axis = unit(cross(_outward(placed), minus(placed.end, placed.start)))
        return _Turn(placed, placed.bend.angle_deg, axis, before)
    return _Turn(placed, angle_deg(before, after), unit(cross(before, after)), before)


def _pieces(path: RunPath, turns: list[_Turn], start: Vector) -> tuple[SheetPiece, ...]:
    """Pieces between couplings, with the bends that lie in them."""
    groups = _groups(path.run.parts)
    edges = _edges(groups, path.stretches[-1].to_m)
    pieces: list[SheetPiece] = []
    axis, bends_done = first_axis(start), 0
    for number, (group, (from_m, to_m)) in enumerate(zip(groups, edges, strict=True), start=1):
        count = sum(len(part.bends) for part in group)
        bends: list[SheetBend] = []
        for each in turns[bends_done : bends_done + count]:
            last_m = bends[-1].mark_m if bends else 0.0
            mark_m = max(each.placed.from_m - from_m, last_m)
            bends.append(
                SheetBend(
                    number=bends_done + len(bends) + 1,
                    element=each.placed.bend.element,
                    angle_deg=each.angle_deg,
                    radius_m=each.placed.bend.radius_m,
                    mark_m=mark_m,
                    from_last_mark_m=mark_m - last_m,
                    rotation_deg=turn_about_deg(axis, each.axis, each.ahead),
                    at=each.placed.bend.at,
                )
            )
            axis = each.axis
        bends_done += count
        pieces.append(
            SheetPiece(
                number=number,
                is_coupling=group[0].is_coupling,
                elements=tuple(part.element for part in group),
                length_m=to_m - from_m,
                start=group[0].points[0],
                bends=tuple(bends),
            )
        )
    return tuple(pieces)


def _groups(parts: tuple[RunPart, ...]) -> list[list[RunPart]]:
    """Parts of each piece: raceway together up to the next coupling, each coupling alone."""
    groups: list[list[RunPart]] = []
    for is_coupling, alike in groupby(parts, key=lambda part: part.is_coupling):
        together = list(alike)
        groups += [[part] for part in together] if is_coupling else [together]
    return groups


def _edges(groups: list[list[RunPart]], length_m: float) -> list[tuple[float, float]]:
    """Where each piece begins and ends along the run; a coupling covers what raceway doesn't."""
    cuts_m = [0.0]
    for one, other in pairwise(groups):
        cut_m = one[-1].to_m if other[0].is_coupling else other[0].from_m
        cuts_m.append(min(max(cut_m, cuts_m[-1]), length_m))
    return list(pairwise([*cuts_m, length_m]))
