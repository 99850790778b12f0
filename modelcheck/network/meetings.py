"""Which ends could be joined: those that touch, and those of bodies that overlap end into end."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import dist
from typing import NamedTuple

from modelcheck.geometry.end_table import EndTable
from modelcheck.geometry.vectors import angle_deg, middle, off_line_m, reversed_of
from modelcheck.model.element import Conduit, End, Role
from modelcheck.model.settings import Tolerances
from modelcheck.network.paths import Path, is_branch, is_straight_fitting, lines_of

FACING_DEG = 5.0  # two ends in line of each other
_BACK_DEG = 150.0  # nothing turns as sharply at a joint: two ends that look the same way
_SLACK = 0.25  # of the smaller radius that a spigot may lie off the axis of its socket

MouthId = tuple[int, int]  # number of the conduit and of its end


class Meeting(NamedTuple):
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

    def __init__(
        self, conduits: Sequence[Conduit], paths: Sequence[Path | None], tolerances: Tolerances
    ) -> None:
        self.conduits = conduits
        self.tolerances = tolerances
        self._table = EndTable(
            [each.ends for each in conduits],
            [lines_of(conduit, path) for conduit, path in zip(conduits, paths, strict=True)],
            slack=_SLACK,
            join_m=tolerances.join_m,
        )
        self._in_line = self._table.hosts_in_line(FACING_DEG, [each.length_m for each in conduits])

    def __getitem__(self, mouth: MouthId) -> End:
        return self.conduits[mouth[0]].ends[mouth[1]]

    def touching(self, ids: Sequence[MouthId]) -> list[tuple[int, int]]:
        """Places in `ids` of each two ends of two pieces within the joining tolerance."""
        return self._table.touching(ids)

    def joinable(self) -> list[Meeting]:
        """Every meeting of two ends, by touch or by overlap; the nearest first.

        Ends that touch and look the same way don't meet.
        """
        touching = self._meetings(dict.fromkeys(self.touching(self._table.ids), 0.0))
        met = [each for each in touching if each.turn_deg < _BACK_DEG]
        known = {each.ends for each in met}
        return met + [each for each in self._overlaps() if each.ends not in known]

    def swallowed(self) -> set[int]:
        """Straight fittings that lie in the body of one longer piece altogether."""
        return {
            number
            for number, end in self._in_line
            if end == 0 and is_straight_fitting(self.conduits[number]) and self._lies_in_one(number)
        }

    def lies_within(self, number: int) -> bool:
        """Whether both ends of a straight fitting lie in some other bodies, in their line."""
        return is_straight_fitting(self.conduits[number]) and all(
            self._hosts_in_line(number, end) for end in (0, 1)
        )

    def hosts_of(self, number: int) -> list[int]:
        """Pieces that a straight fitting lies round."""
        return sorted(self._hosts_in_line(number, 0) | self._hosts_in_line(number, 1))

    def _meetings(self, overlaps_m: Mapping[tuple[int, int], float]) -> list[Meeting]:
        ids = self._table.ids
        between = self._table.between([*overlaps_m])
        return [
            Meeting(ids[one], ids[two], overlap_m, gap_m, turn_deg)
            for ((one, two), overlap_m), (gap_m, turn_deg) in zip(
                overlaps_m.items(), between, strict=True
            )
        ]

    def _overlaps(self) -> list[Meeting]:
        """Meetings of ends that go into each other.

        What lies in the other altogether is not its neighbour, if it is no cap.
        """
        conduits = [(self.conduits[number], end) for number, end in self._table.ids]
        depths_m = [_depth_m(conduit, end) for conduit, end in conduits]
        are_caps = [conduit.role is Role.CAP for conduit, _ in conduits]
        return self._meetings(self._table.overlaps_m(FACING_DEG, depths_m, are_caps))

    def _hosts_in_line(self, number: int, end: int) -> set[int]:
        """Pieces in whose body an end lies, along their axis, within the joining tolerance."""
        return self._in_line.get((number, end), set())

    def _lies_in_one(self, number: int) -> bool:
        own = self.conduits[number]
        both = self._hosts_in_line(number, 0) & self._hosts_in_line(number, 1)
        return any(
            self.conduits[host].length_m > own.length_m + self.tolerances.join_m / 10
            or self.conduits[host].role is Role.SEGMENT
            for host in both
            if self.conduits[host].role is not Role.CAP
        )


def _depth_m(conduit: Conduit, end: int) -> float:
    """How far something can go into an end."""
    if is_branch(conduit):
        return dist(conduit.ends[end].point, middle(tuple(each.point for each in conduit.ends)))
    return conduit.length_m
