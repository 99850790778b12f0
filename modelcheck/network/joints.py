"""Which ends are joined: each with one other, the best pairs first."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from modelcheck.geometry.neighbours import groups
from modelcheck.network.meetings import FACING_DEG, Ends, Meeting, MouthId
from modelcheck.network.paths import is_straight_fitting

_SAME_M = 5  # decimals to which two distances are told apart
_THREE = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Joints:
    """Ends that are joined two by two, and those of which three or more meet."""

    partner: Mapping[MouthId, Meeting] = field(default_factory=dict)
    branching: Mapping[MouthId, frozenset[MouthId]] = field(default_factory=dict)


def find_joints(
    ends: Ends, free: Iterable[MouthId], joinable: Sequence[Meeting], settled: Sequence[Meeting]
) -> Joints:
    """Join the ends that are free.

    Parameters
    ----------
    ends : Ends
    free : iterable of MouthId
        Ends that no box has taken.
    joinable : sequence of Meeting
    settled : sequence of Meeting
        Joined whatever else there is.
    """
    partner: dict[MouthId, Meeting] = {}
    left = set(free)
    _take(settled, left, partner)
    _take(_over_sleeves(ends, joinable), left, partner)
    branching = _branching(ends, sorted(left))
    left -= set(branching)
    _take(sorted(joinable, key=lambda each: _rank(each, ends)), left, partner)
    return Joints(partner=partner, branching=branching)


def _take(meetings: Iterable[Meeting], left: set[MouthId], partner: dict[MouthId, Meeting]) -> None:
    for meeting in meetings:
        if meeting.first in left and meeting.second in left:
            left -= {meeting.first, meeting.second}
            partner[meeting.first] = partner[meeting.second] = meeting


def _rank(meeting: Meeting, ends: Ends) -> tuple[object, ...]:
    touches = meeting.overlap_m == 0.0
    kind = 2 if not touches else int(meeting.turn_deg > FACING_DEG)
    pair = [ends.conduits[number] for number, _ in meeting.ends]
    ported = pair[1].ref.key in pair[0].ported_to or pair[0].ref.key in pair[1].ported_to
    distance = meeting.gap_m if touches else meeting.overlap_m
    return (kind, round(distance, _SAME_M), not ported, meeting.ends)


def _over_sleeves(ends: Ends, joinable: Sequence[Meeting]) -> list[Meeting]:
    """Meetings at both ends of each straight fitting that two pieces go into."""
    into: dict[MouthId, list[Meeting]] = defaultdict(list)
    for meeting in joinable:
        if meeting.overlap_m > ends.tolerances.join_m:
            for mouth in meeting.ends:
                into[mouth].append(meeting)
    found = []
    for number in sorted({number for number, _ in into}):
        sides = [into.get((number, end)) for end in (0, 1)]
        if not (all(sides) and is_straight_fitting(ends.conduits[number])):
            continue
        best = [min(side or [], key=lambda each: _rank(each, ends)) for side in sides]
        others = {meeting.other((number, end))[0] for end, meeting in enumerate(best)}
        if len(others) > 1:
            found += best
    return found


def _branching(ends: Ends, left: Sequence[MouthId]) -> dict[MouthId, frozenset[MouthId]]:
    """Ends of three or more pieces at one point; a piece that begins and stops there is passed."""
    found: dict[MouthId, frozenset[MouthId]] = {}
    for group in groups(len(left), ends.touching(left), at_least=_THREE):
        cluster = [left[place] for place in group]
        count = Counter(number for number, _ in cluster)
        if sum(times == 1 for times in count.values()) >= _THREE:
            found |= dict.fromkeys(cluster, frozenset(cluster))
    return found
