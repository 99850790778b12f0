"""Arcs that a centre line is drawn with as short chords, found and made arcs again."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from statistics import median

import numpy as np

from modelcheck.geometry.path import Array, Piece, angle_deg, cross, size_of, turned, unit

NOTHING_DEG = 0.01
STRAIGHT_DEG = 0.5  # a turn up to this is drawing noise, no bend
LONG_CHORD_M = 1.5
COARSE_CHORD_DEG = 12.0  # finer than this, two corners are enough to be those of an arc
CHORD_DEG = 50.0
_SHORT_CHORD_M = 0.5  # coarser, they are enough where the three chords are equal and not longer
_EQUAL = 0.05
_ALIKE = 0.3  # how far curvatures may differ
_SAME = 0.1  # and that at the first or last corner, for the chord beyond it to belong to the arc
_ONE_PLANE, _SAME_PLANE = 0.98, 0.999
_LEADS_IN = 1.3  # a tangent turns into the first chord by no more than this share of a chord's turn
_PAIR = 2
_STEPS = 6  # that the radius takes to be exact


@dataclass(frozen=True, slots=True)
class Drawn:
    """A piece of centre line, and how long it is as drawn: along the chords of an arc."""

    piece: Piece
    drawn_m: float


@dataclass(frozen=True, slots=True)
class _Corner:
    piece: int  # the straight one that ends in it
    angle_rad: float
    axis: Array
    curvature: float  # of the circle through it and the points beside it [1/m]


@dataclass(frozen=True, slots=True)
class _Chords:
    """Straight pieces from `start` to `stop` that are chords of one arc."""

    start: int
    stop: int
    lengths_m: tuple[float, ...]
    inner: tuple[_Corner, ...]  # from chord to chord

    @property
    def axis(self) -> Array:
        """About which it turns."""
        return unit(np.sum([corner.axis for corner in self.inner], axis=0))

    @property
    def radius_m(self) -> float:
        """Radius of the circle on which chords of these lengths turn as much as they do."""
        total = sum(corner.angle_rad for corner in self.inner)
        ends_m = (self.lengths_m[0] + self.lengths_m[-1]) / 2.0
        radius_m = (sum(self.lengths_m) - ends_m) / total
        for _ in range(_STEPS):
            turns = [_turn_of_chord(each, radius_m) for each in self.lengths_m]
            radius_m *= (sum(turns) - (turns[0] + turns[-1]) / 2.0) / total
        return radius_m

    def turn_rad(self, place: int) -> float:
        """How far the arc turns along one of them."""
        return _turn_of_chord(self.lengths_m[place], self.radius_m)


def _turn_of_chord(length_m: float, radius_m: float) -> float:
    return 2.0 * math.asin(min(1.0, length_m / 2.0 / radius_m))


def with_arcs(path: Sequence[Piece]) -> list[Drawn]:
    """`path` with an arc in the place of chords whose points lie on one circle.

    The chords may be equal or not. An arc begins at a tangent, in another arc, or at an end.

    Parameters
    ----------
    path : sequence of Piece
    """
    pieces = in_line_once(path)
    arcs: list[_Chords] = []
    for corners in _groups(pieces):
        chords = _chords_of(pieces, corners, free_from=arcs[-1].stop if arcs else 0)
        if chords is not None:
            arcs.append(chords)
    taken = {number for arc in arcs for number in range(arc.start, arc.stop)}
    found: list[Drawn] = []
    done, chord_m = 0, 0.0
    for arc in arcs:
        drawn = _arc(pieces, arc, taken)
        between = [Drawn(piece, piece.length_m) for piece in pieces[done : arc.start]]
        near_m = 2.0 * max(chord_m, *arc.lengths_m)
        follows = bool(done) and len(between) <= 1 and sum(b.drawn_m for b in between) <= near_m
        if follows and _is_one_bend(found[-1].piece, drawn.piece):
            found[-1] = _together(found[-1], *between, drawn)
        else:
            found += [*between, drawn]
        done, chord_m = arc.stop, max(arc.lengths_m)
    return [*found, *(Drawn(piece, piece.length_m) for piece in pieces[done:])]


def _is_one_bend(first: Piece, second: Piece) -> bool:
    """True for an arc that goes on in another when one is too slight to be told by itself."""
    assert first.axis is not None
    assert second.axis is not None
    is_slight = min(first.angle_rad, second.angle_rad) <= math.radians(STRAIGHT_DEG)
    goes_on = angle_deg(first.direction(1.0), second.direction(0.0)) <= STRAIGHT_DEG
    return is_slight and goes_on and float(first.axis @ second.axis) > _ONE_PLANE


def _together(*drawn: Drawn) -> Drawn:
    """Arcs that go on in one another, maybe by a chord, as one of the radius of the larger."""
    larger = max((each.piece for each in drawn), key=lambda piece: piece.angle_rad)
    first, last = drawn[0].piece, drawn[-1].piece
    assert larger.axis is not None
    centre = first.start + larger.radius_m * cross(larger.axis, first.direction(0.0))
    angle = sum(each.piece.angle_rad for each in drawn)
    arc = Piece(first.start, last.end, centre, larger.axis, angle)
    return Drawn(arc, sum(each.drawn_m for each in drawn))


def in_line_once(path: Sequence[Piece], *, noise_deg: float = NOTHING_DEG) -> list[Piece]:
    """`path` with straight pieces that go straight on in one another as one.

    Where a bend one way goes over into one the other way, chord into chord, both chords stay.

    Parameters
    ----------
    path : sequence of Piece
    noise_deg : float
        Most that two pieces may turn that go straight on. [deg]
    """
    found: list[Piece] = []
    for number, piece in enumerate(path):
        if found and _turn_deg(found[-1], piece) <= noise_deg:
            beyond = path[number + 1 : number + 2]
            if not _is_inflection(found[-2:], [piece, *beyond], noise_deg):
                found[-1] = Piece(found[-1].start, piece.end)
                continue
        found.append(piece)
    return found


def _turn_deg(before: Piece, after: Piece) -> float:
    """Turn between straight pieces; endless where one of them is none. [deg]"""
    if before.centre is not None or after.centre is not None:
        return math.inf
    return angle_deg(before.direction(1.0), after.direction(0.0))


def _is_inflection(until: Sequence[Piece], onwards: Sequence[Piece], noise_deg: float) -> bool:
    if len(until) < _PAIR or len(onwards) < _PAIR:
        return False
    (angle, axis), (next_angle, next_axis) = (
        _turn(pair[0].direction(1.0), pair[1].direction(0.0)) for pair in (until, onwards)
    )
    turns_twice = min(angle, next_angle) > math.radians(noise_deg)
    return turns_twice and float(axis @ next_axis) < 0.0


def _groups(pieces: Sequence[Piece]) -> Iterator[list[_Corner]]:
    """Corners that follow one another in one plane, curved alike."""
    group: list[_Corner] = []
    for number in range(len(pieces) - 1):
        corner = _corner(pieces, number)
        if group and (corner is None or not _goes_on(group, corner)):
            yield group
            group = []
        if corner is not None:
            group.append(corner)
    if group:
        yield group


def _corner(pieces: Sequence[Piece], number: int) -> _Corner | None:
    """The corner between two pieces if these may be chords of one arc."""
    before, after = pieces[number], pieces[number + 1]
    if before.centre is not None or after.centre is not None:
        return None
    if max(before.length_m, after.length_m) > LONG_CHORD_M:
        return None
    angle, axis = _turn(before.direction(1.0), after.direction(0.0))
    if angle > math.radians(CHORD_DEG):
        return None
    curvature = 2.0 * math.sin(angle) / size_of(after.end - before.start)
    return _Corner(number, angle, axis, curvature)


def _turn(into: Array, out: Array) -> tuple[float, Array]:
    """Angle from one unit direction to another, and the axis about which it is. [rad]"""
    normal = cross(into, out)
    return math.atan2(size_of(normal), float(into @ out)), unit(normal)


def _goes_on(group: Sequence[_Corner], corner: _Corner) -> bool:
    curvatures = [each.curvature for each in (*group, corner)]
    alike = max(curvatures) - min(curvatures) <= _ALIKE * max(curvatures)
    return alike and all(
        float(other.axis @ corner.axis) > _ONE_PLANE for other in (group[0], group[-1])
    )


def _chords_of(
    pieces: Sequence[Piece], group: Sequence[_Corner], *, free_from: int
) -> _Chords | None:
    """Chords of one arc with these corners between them, from `free_from` on; None for none."""
    between = group[1:-1]
    is_first = _is_same(group[0], between or group[1:])
    is_last = _is_same(group[-1], between or group[:-1])
    start = max(group[0].piece + (not is_first), free_from)
    stop = group[-1].piece + 1 + is_last
    inner = tuple(corner for corner in group if start <= corner.piece < stop - 1)
    if len(inner) < _PAIR:
        return None
    lengths_m = tuple(piece.length_m for piece in pieces[start:stop])
    found = _Chords(start, stop, lengths_m, inner)
    if len(inner) > _PAIR or inner[0].angle_rad <= math.radians(COARSE_CHORD_DEG):
        return found
    is_equal = max(lengths_m) - min(lengths_m) <= _EQUAL * max(lengths_m)
    return found if is_equal and max(lengths_m) <= _SHORT_CHORD_M else None


def _is_same(corner: _Corner, others: Sequence[_Corner]) -> bool:
    """True for a corner on the very circle of the others, so that chords lie on both its sides."""
    if not others:
        return False
    usual = median(each.curvature for each in others)
    axis = unit(np.sum([each.axis for each in others], axis=0))
    alike = abs(corner.curvature - usual) <= _SAME * usual
    return alike and float(corner.axis @ axis) > _SAME_PLANE


def _arc(pieces: Sequence[Piece], chords: _Chords, taken: Collection[int]) -> Drawn:
    """The arc that `chords` stand for, from the tangents beside it where there are some."""
    axis, radius_m = chords.axis, chords.radius_m
    first, last = pieces[chords.start].direction(0.0), pieces[chords.stop - 1].direction(1.0)
    leads_in = leads_out = None
    if chords.start > 0 and chords.start - 1 not in taken:
        leads_in = _leads(pieces[chords.start - 1].direction(1.0), first, chords.turn_rad(0), axis)
    if chords.stop < len(pieces) and chords.stop not in taken:
        leads_out = _leads(last, pieces[chords.stop].direction(0.0), chords.turn_rad(-1), axis)
    leads_in = chords.turn_rad(0) / 2.0 if leads_in is None else leads_in
    leads_out = chords.turn_rad(-1) / 2.0 if leads_out is None else leads_out
    tangent = turned(first, axis, -leads_in)
    start = pieces[chords.start].start
    arc = Piece(
        start,
        pieces[chords.stop - 1].end,
        start + radius_m * cross(axis, tangent),
        axis,
        leads_in + sum(corner.angle_rad for corner in chords.inner) + leads_out,
    )
    return Drawn(arc, sum(chords.lengths_m))


def _leads(into: Array, out: Array, chord_rad: float, axis: Array) -> float | None:
    """Angle at which a tangent goes into the outermost chord; None where it is no tangent. [rad]"""
    angle, about = _turn(into, out)
    is_tangent = angle <= _LEADS_IN * chord_rad and float(about @ axis) > _ONE_PLANE
    return angle if is_tangent else None
