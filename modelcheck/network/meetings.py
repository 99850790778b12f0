"""Which ends could be joined: those that touch, and those of bodies that overlap end into end."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from math import dist

from modelcheck.geometry.neighbours import Line, close_pairs, points_near_lines
from modelcheck.geometry.vectors import (
    angle_deg,
    dot,
    middle,
    minus,
    off_line_m,
    reversed_of,
)
from modelcheck.model.element import Conduit, End, Point, Role, Vector
from modelcheck.model.settings import Tolerances
from modelcheck.network.paths import is_branch, is_straight_fitting, lines_of

FACING_DEG = 5.0  # two ends in line of each other
_BACK_DEG = 150.0  # nothing turns as sharply at a joint: two ends that look the same way
_SLACK = 0.25  # of the smaller radius that a spigot may lie off the axis of its socket

MouthId = tuple[int, int]  # number of the conduit and of its end


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two ends that could be joined."""

    first: MouthId
    second: MouthId
    overlap_m: float  # how far one goes into the other; 0 where they only touch
    gap_m: float  # between the two points
    turn_deg: float  # 0: straight on

    @property
    def ends(self) -> tuple[MouthId, MouthId]:
        """Both ends."""
        return (self.first, self.second)

    def other(self, mouth: MouthId) -> MouthId:
        """End that `mouth` meets."""
        return self.second if mouth == self.first else self.first


def turn_between_deg(first: End, second: End) -> float:
    """Angle by which one turns in going from one piece to the next.

    Parameters
    ----------
    first, second : End
    """
    return angle_deg(first.direction, reversed_of(second.direction))


def off_axis_m(first: End, second: End) -> float:
    """How far two ends lie out of line of each other.

    Parameters
    ----------
    first, second : End
    """
    return max(
        off_line_m(second.point, first.point, first.direction),
        off_line_m(first.point, second.point, second.direction),
    )


class Ends:
    """Every end of every piece, and what they lie at."""

    def __init__(self, conduits: Sequence[Conduit], tolerances: Tolerances) -> None:
        self.conduits = conduits
        self.tolerances = tolerances
        self.ids: tuple[MouthId, ...] = tuple(
            (number, end)
            for number, conduit in enumerate(conduits)
            for end in range(len(conduit.ends))
        )
        self._hosts = self._found_hosts()

    def __getitem__(self, mouth: MouthId) -> End:
        return self.conduits[mouth[0]].ends[mouth[1]]

    def hosts(self, mouth: MouthId) -> tuple[tuple[int, Vector], ...]:
        """Other pieces whose body an end lies in, with the direction of their axis there."""
        return self._hosts.get(mouth, ())

    def slack_m(self, first: End, second: End) -> float:
        """How far off the axis two bodies that go into each other may be."""
        radii = [end.radius_m for end in (first, second) if end.radius_m]
        return max(self.tolerances.join_m, _SLACK * min(radii, default=0.0))

    def touching(self, ids: Sequence[MouthId]) -> list[Meeting]:
        """Ends of two pieces within the joining tolerance that don't look the same way."""
        points = [self[each].point for each in ids]
        pairs = close_pairs(points, self.tolerances.join_m)
        made = [self._meeting(ids[one], ids[two], 0.0) for one, two in pairs]
        return [each for each in made if each.first[0] != each.second[0]]

    def joinable(self) -> list[Meeting]:
        """Every meeting of two ends, by touch or by overlap; the nearest first."""
        touching = [each for each in self.touching(self.ids) if each.turn_deg < _BACK_DEG]
        known = {frozenset(each.ends) for each in touching}
        return touching + [each for each in self._overlaps() if frozenset(each.ends) not in known]

    def _meeting(self, first: MouthId, second: MouthId, overlap_m: float) -> Meeting:
        one, two = self[first], self[second]
        gap_m = dist(one.point, two.point)
        return Meeting(first, second, overlap_m, gap_m, turn_between_deg(one, two))

    def _overlaps(self) -> list[Meeting]:
        found: dict[frozenset[MouthId], Meeting] = {}
        for mouth in self.ids:
            for number, _ in self.hosts(mouth):
                for end in range(len(self.conduits[number].ends)):
                    other = (number, end)
                    overlap_m = self._overlap_m(mouth, other)
                    if overlap_m > 0.0:
                        pair = sorted((mouth, other))
                        found[frozenset(pair)] = self._meeting(pair[0], pair[1], overlap_m)
        return list(found.values())

    def _overlap_m(self, mouth: MouthId, other: MouthId) -> float:
        """How far two ends that face each other go into each other; 0 if they don't."""
        one, two = self[mouth], self[other]
        if turn_between_deg(one, two) > FACING_DEG or off_axis_m(one, two) > self.slack_m(one, two):
            return 0.0
        overlap_m = -dot(minus(two.point, one.point), one.direction)
        pair = (self.conduits[mouth[0]], self.conduits[other[0]])
        shorter_m = min(_depth_m(pair[0], mouth[1]), _depth_m(pair[1], other[1]))
        spare_m = self.tolerances.join_m
        if all(each.role is not Role.CAP for each in pair):
            spare_m = -spare_m  # one that lies in the other altogether is not its neighbour
        return overlap_m if 0.0 < overlap_m <= shorter_m + spare_m else 0.0

    def _found_hosts(self) -> dict[MouthId, tuple[tuple[int, Vector], ...]]:
        lines: list[Line] = []
        owners: list[int] = []
        for number, conduit in enumerate(self.conduits):
            own = lines_of(conduit)
            lines += own
            owners += [number] * len(own)
        radii = [self[each].radius_m or 0.0 for each in self.ids]
        reach_m = max(self.tolerances.join_m, _SLACK * max(radii, default=0.0))
        points: list[Point] = [self[each].point for each in self.ids]
        hosts: dict[MouthId, list[tuple[int, Vector]]] = defaultdict(list)
        for point, line in points_near_lines(points, lines, reach_m):
            if owners[line] != self.ids[point][0]:
                start, end = lines[line]
                hosts[self.ids[point]].append((owners[line], minus(end, start)))
        return {mouth: tuple(found) for mouth, found in hosts.items()}

    def swallowed(self) -> set[int]:
        """Straight fittings that lie in the body of one longer piece altogether."""
        return {
            number
            for number, conduit in enumerate(self.conduits)
            if is_straight_fitting(conduit) and self._lies_in_one(number)
        }

    def lies_within(self, number: int) -> bool:
        """Whether both ends of a straight fitting lie in some other bodies, in their line."""
        return is_straight_fitting(self.conduits[number]) and all(
            self._hosts_in_line((number, end)) for end in (0, 1)
        )

    def hosts_of(self, number: int) -> list[int]:
        """Pieces that a straight fitting lies round."""
        found = self._hosts_in_line((number, 0)) | self._hosts_in_line((number, 1))
        return sorted(found - {number})

    def _lies_in_one(self, number: int) -> bool:
        own = self.conduits[number]
        both = self._hosts_in_line((number, 0)) & self._hosts_in_line((number, 1))
        return any(
            self.conduits[host].length_m > own.length_m + self.tolerances.join_m / 10
            or self.conduits[host].role is Role.SEGMENT
            for host in both
            if self.conduits[host].role is not Role.CAP
        )

    def _hosts_in_line(self, mouth: MouthId) -> set[int]:
        """Pieces in whose body an end lies, along their axis, within the joining tolerance."""
        end = self[mouth]
        found = set()
        for number, axis in self.hosts(mouth):
            turn = angle_deg(end.direction, axis)
            host = self.conduits[number]
            past_m = max(
                (
                    dot(minus(end.point, each.point), each.direction)
                    for each in host.ends
                    if dist(end.point, each.point) < host.length_m / 2
                ),
                default=0.0,
            )
            if min(turn, 180.0 - turn) < FACING_DEG and past_m <= self.tolerances.join_m:
                found.add(number)
        return found


def _depth_m(conduit: Conduit, end: int) -> float:
    """How far something can go into an end."""
    if is_branch(conduit):
        return dist(conduit.ends[end].point, middle(tuple(each.point for each in conduit.ends)))
    return conduit.length_m
