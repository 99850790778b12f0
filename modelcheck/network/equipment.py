"""Which ends meet equipment."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from itertools import combinations

from modelcheck.geometry.neighbours import bodies_at
from modelcheck.geometry.vectors import off_line_m
from modelcheck.model.element import ElementRef, End, Equipment, Point
from modelcheck.network.meetings import FACING_DEG, Ends, MouthId, off_axis_m, turn_between_deg

EquipmentAt = Callable[[Sequence[Point]], Sequence[Equipment]]

_FITTING_RADII = 2.0  # of the raceway: a body round its axis that is no wider is a fitting


def equipment_met(
    ends: Ends, asked: Sequence[MouthId], equipment_at: EquipmentAt
) -> dict[MouthId, ElementRef]:
    """Nearest equipment of each end that meets any.

    A body between two ends in line of each other, hardly wider than they are, is a coupling that
    was not recognised: they end open, as what lies beyond belongs to the same run.

    Parameters
    ----------
    ends : Ends
    asked : sequence of MouthId
    equipment_at : callable
        Called once, and not without an end.
    """
    if not asked:
        return {}
    points = [ends[mouth].point for mouth in asked]
    near = equipment_at(points)
    best: dict[MouthId, tuple[float, str, tuple[str, int], int]] = {}
    bodies = [each.triangles for each in near]
    for point, body, gap_m in bodies_at(points, bodies, ends.tolerances.enter_m):
        rank = (round(gap_m, 5), near[body].ref.guid, near[body].ref.key, body)
        best[asked[point]] = min(best.get(asked[point], rank), rank)
    at_body: dict[int, list[MouthId]] = defaultdict(list)
    for mouth, (*_, body) in best.items():
        at_body[body].append(mouth)
    joined = {
        mouth
        for body, mouths in at_body.items()
        for pair in combinations(mouths, 2)
        if _is_coupling(near[body], ends[pair[0]], ends[pair[1]])
        for mouth in pair
    }
    return {mouth: near[rank[3]].ref for mouth, rank in best.items() if mouth not in joined}


def _is_coupling(equipment: Equipment, one: End, two: End) -> bool:
    """Whether a body is a sleeve between two ends that face each other."""
    radius_m = min(one.radius_m or 0.0, two.radius_m or 0.0)
    if turn_between_deg(one, two) > FACING_DEG or off_axis_m(one, two) > radius_m:
        return False
    corners = {point for triangle in equipment.triangles for point in triangle}
    widest_m = max(off_line_m(point, one.point, one.direction) for point in corners)
    return widest_m <= _FITTING_RADII * radius_m
