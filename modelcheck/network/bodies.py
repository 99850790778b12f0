"""Pieces that show no ends of their own: what touches them tells where their ends are."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import dist

from modelcheck.geometry.neighbours import body_gap_m, farthest_along_m, points_near_lines
from modelcheck.geometry.vectors import corner, moved, reversed_of
from modelcheck.model.element import Conduit, End, Role
from modelcheck.model.settings import Tolerances
from modelcheck.network.meetings import Ends, MouthId
from modelcheck.network.paths import bends_of

_TWO = 2


def with_ends(
    conduits: Sequence[Conduit], ends: Ends, free: Iterable[MouthId], tolerances: Tolerances
) -> tuple[Conduit, ...]:
    """Give each endless piece the ends that the free ends of its neighbours make of it.

    Parameters
    ----------
    conduits : sequence of Conduit
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
        out[number] = _completed(conduit, [ends[mouth] for mouth in touching])
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
    return [free[point] for point, _ in near]


def _completed(conduit: Conduit, touching: Sequence[End]) -> Conduit:
    own = [
        replace(end, direction=reversed_of(end.direction), evidence="neighbours")
        for end in touching
    ]
    if len(own) == 1 and conduit.role is not Role.CAP:
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
