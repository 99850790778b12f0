"""What is at each end that joins nothing: a cap, equipment, an end that is meant, or a gap."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import dist

from modelcheck.geometry.neighbours import close_pairs
from modelcheck.geometry.vectors import dot, minus
from modelcheck.model.element import ElementRef, Enclosure
from modelcheck.model.run import LooseEnd, RunEnd
from modelcheck.model.settings import Settings
from modelcheck.network.crossings import Crossing
from modelcheck.network.equipment import EquipmentAt, equipment_met
from modelcheck.network.meetings import Ends, MouthId, off_axis_m, turn_between_deg

_FACING_DEG = 15.0  # two ends that nearly meet
_OFF_AXIS = 0.5  # of the smaller radius


@dataclass(frozen=True, slots=True, kw_only=True)
class Stops:
    """What each unjoined end is, and the rows that some of them make."""

    kinds: dict[MouthId, RunEnd]
    loose: tuple[LooseEnd, ...]


def find_stops(
    ends: Ends,
    unjoined: Iterable[MouthId],
    *,
    near_boxes: Sequence[Crossing],
    enclosures: Sequence[Enclosure],
    equipment_at: EquipmentAt,
    settings: Settings,
) -> Stops:
    """Tell what is at each end that joins neither conduit nor box.

    Parameters
    ----------
    ends : Ends
    unjoined : iterable of MouthId
    near_boxes : sequence of Crossing
        Of ends that stop short of a box.
    enclosures : sequence of Enclosure
    equipment_at : callable
        Gives the equipment near some points; called once.
    settings : Settings
    """
    left = sorted(unjoined)
    kinds = {
        mouth: RunEnd(kind="meant", point=ends[mouth].point)
        for mouth in left
        if _is_meant(ends.conduits[mouth[0]].ref, settings)
    }
    loose = _near(ends, [each for each in left if each not in kinds], near_boxes, enclosures)
    asked = [each for each in left if each not in kinds and each not in loose]
    met = equipment_met(ends, asked, equipment_at)
    for mouth in asked:
        ref = met.get(mouth)
        point = ends[mouth].point
        kinds[mouth] = RunEnd(kind="equipment" if ref else "open", point=point, ref=ref)
        if ref is None:
            loose[mouth] = LooseEnd(element=ends.conduits[mouth[0]].ref, point=point)
    for mouth in loose:
        kinds[mouth] = RunEnd(kind="open", point=ends[mouth].point)
    return Stops(kinds=kinds, loose=tuple(row for row in loose.values() if row is not None))


def _is_meant(ref: ElementRef, settings: Settings) -> bool:
    named = {ref.guid, ref.tag.strip(), ref.name.strip()} - {""}
    return not named.isdisjoint(settings.meant_ends)


def _near(
    ends: Ends,
    left: Sequence[MouthId],
    near_boxes: Sequence[Crossing],
    enclosures: Sequence[Enclosure],
) -> dict[MouthId, LooseEnd | None]:
    """Row of each end that nearly meets something; None for the second end of a pair."""
    found: list[tuple[float, MouthId, MouthId | None, ElementRef]] = []
    pairs = close_pairs([ends[each].point for each in left], ends.tolerances.near_m)
    for one, two in pairs.tolist():
        first, second = left[one], left[two]
        if _nearly_meets(ends, first, second):
            gap_m = dist(ends[first].point, ends[second].point)
            found.append((gap_m, first, second, ends.conduits[second[0]].ref))
    free = set(left)
    for crossing in near_boxes:
        if crossing.end is not None and (crossing.conduit, crossing.end) in free:
            mouth = (crossing.conduit, crossing.end)
            found.append((crossing.gap_m, mouth, None, enclosures[crossing.box].ref))
    rows: dict[MouthId, LooseEnd | None] = {}
    for gap_m, mouth, other, ref in sorted(
        found, key=lambda each: (round(each[0], 5), each[1], each[2] or (-1, -1), each[3].key)
    ):
        if mouth in rows or other in rows:
            continue
        rows[mouth] = LooseEnd(
            element=ends.conduits[mouth[0]].ref, point=ends[mouth].point, other=ref, gap_m=gap_m
        )
        if other is not None:
            rows[other] = None
    return rows


def _nearly_meets(ends: Ends, first: MouthId, second: MouthId) -> bool:
    one, two = ends[first], ends[second]
    if first[0] == second[0] or turn_between_deg(one, two) > _FACING_DEG:
        return False
    radii = [end.radius_m for end in (one, two) if end.radius_m]
    slack_m = max(ends.tolerances.join_m, _OFF_AXIS * min(radii, default=0.0))
    apart_m = dot(minus(two.point, one.point), one.direction)
    return off_axis_m(one, two) <= slack_m and apart_m > -ends.tolerances.join_m
