"""Pieces that show no ends of their own: what touches them tells where their ends are."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import dist

from modelcheck.geometry.neighbours import (
    body_gap_m,
    farthest_along_m,
    groups,
    points_near_lines,
)
from modelcheck.geometry.vectors import (
    corner,
    cross,
    dot,
    length,
    middle,
    minus,
    moved,
    off_line_m,
    reversed_of,
)
from modelcheck.model.element import Conduit, Enclosure, End, Point, Role
from modelcheck.model.settings import Tolerances
from modelcheck.network.box_blocks import outside_gap_m
from modelcheck.network.meetings import Ends, MouthId
from modelcheck.network.paths import bends_of

_TWO = 2
_LEAST_M = 1e-6
_ROUND = 0.5  # least width of a ring of corners, of its greatest


def with_ends(
    conduits: Sequence[Conduit],
    enclosures: Sequence[Enclosure],
    ends: Ends,
    free: Iterable[MouthId],
    tolerances: Tolerances,
) -> tuple[Conduit, ...]:
    """Give each endless piece the ends that boxes and free ends of its neighbours make of it.

    Parameters
    ----------
    conduits : sequence of Conduit
    enclosures : sequence of Enclosure
    ends : Ends
    free : iterable of MouthId
    tolerances : Tolerances
    """
    left = sorted(free)
    out = list(conduits)
    for number, conduit in enumerate(conduits):
        if conduit.ends or not conduit.body:
            continue
        touching = [
            mouth
            for mouth in _in_reach(conduit, ends, left, tolerances.join_m)
            if body_gap_m(ends[mouth].point, conduit.body) <= tolerances.join_m
        ]
        left = [mouth for mouth in left if mouth not in touching]
        at_boxes = [e for box in enclosures for e in _at_box(conduit, box, tolerances.enter_m)]
        out[number] = _completed(conduit, [ends[mouth] for mouth in touching], at_boxes)
    return tuple(out)


def _in_reach(
    conduit: Conduit, ends: Ends, free: Sequence[MouthId], reach_m: float
) -> list[MouthId]:
    corners = [point for triangle in conduit.body for point in triangle]
    low = tuple(min(point[axis] for point in corners) for axis in range(3))
    high = tuple(max(point[axis] for point in corners) for axis in range(3))
    diagonal = ((low[0], low[1], low[2]), (high[0], high[1], high[2]))
    points = [ends[mouth].point for mouth in free]
    near = points_near_lines(points, [diagonal], dist(*diagonal) / _TWO + reach_m)
    return [free[point] for point in near[:, 0].tolist()]


def _at_box(conduit: Conduit, box: Enclosure, reach_m: float) -> list[End]:
    """Ends of a body that reaches a box: where some of its corners lie in it or at its walls."""
    corners = {point for triangle in conduit.body for point in triangle}
    inner = {point for point in corners if outside_gap_m(box, point) <= reach_m}
    astride = [each for each in conduit.body if 0 < sum(p in inner for p in each) < len(each)]
    ordered = sorted(inner)
    place_of = {point: place for place, point in enumerate(ordered)}
    own = [[place_of[point] for point in each if point in inner] for each in conduit.body]
    sides = [(each[0], place) for each in own for place in each]
    found = []
    for group in groups(len(ordered), sides):
        members = {ordered[place] for place in group}
        edge = [each for each in astride if not members.isdisjoint(each)]
        near = sorted({point for each in edge for point in each if point in members})
        far = sorted({point for each in edge for point in each if point not in inner})
        if far:
            found += _mouth(near, far)
    return found


def _mouth(near: Sequence[Point], far: Sequence[Point]) -> list[End]:
    """End at a ring of corners, away from others; none if they are no ring but a side."""
    centre = middle(tuple(near))
    along = minus(centre, middle(tuple(far)))
    along_m = length(along)
    if along_m < _LEAST_M:
        return []
    direction = moved((0.0, 0.0, 0.0), along, 1 / along_m)
    radius_m, farthest = max((off_line_m(point, centre, direction), point) for point in near)
    if radius_m < _LEAST_M:
        return []
    across = cross(direction, minus(farthest, centre))
    widths = [abs(dot(minus(point, centre), across)) / length(across) for point in near]
    if max(widths) < _ROUND * radius_m:
        return []
    return [End(point=centre, direction=direction, evidence="neighbours", radius_m=radius_m)]


def _completed(conduit: Conduit, touching: Sequence[End], at_boxes: Sequence[End]) -> Conduit:
    own = [
        replace(end, direction=reversed_of(end.direction), evidence="neighbours")
        for end in touching
    ] + list(at_boxes)
    if len(own) == len(touching) == 1 and conduit.role is Role.FITTING:
        inward = touching[0].direction
        reach_m = farthest_along_m(conduit.body, touching[0].point, inward)
        beyond = moved(touching[0].point, inward, max(reach_m, 0.0))
        own.append(End(point=beyond, direction=inward, evidence="neighbours"))
    made = replace(conduit, ends=tuple(own), length_m=_length_m(own))
    bends = tuple(replace(bend, evidence="neighbours") for bend in bends_of(made))
    note = "its ends are those of the pieces that touch it"
    return replace(made, bends=bends, assumptions=(*conduit.assumptions, note))


def _length_m(ends: Sequence[End]) -> float:
    if len(ends) != _TWO:
        return 0.0
    one, two = ends
    straight_m = dist(one.point, two.point)
    inward = (reversed_of(one.direction), reversed_of(two.direction))
    along = corner(one.point, inward[0], two.point, inward[1])
    if along is None or min(along) < 0.0 or sum(along) > 2 * straight_m:
        return straight_m
    return sum(along)
