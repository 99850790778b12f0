"""From pieces of raceway and boxes to what is joined with what."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from modelcheck.model.element import Conduit, Enclosure
from modelcheck.model.settings import Tolerances
from modelcheck.network.bodies import with_ends
from modelcheck.network.crossings import Crossing, Crossings, find_crossings
from modelcheck.network.joints import Joints, find_joints
from modelcheck.network.meetings import Ends, MouthId
from modelcheck.network.paths import is_branch, path_of
from modelcheck.network.pieces import Piece, Settled, cut, settle, with_fittings


@dataclass(frozen=True, kw_only=True)
class Joined:
    """Pieces and what their ends are joined to."""

    ends: Ends
    enclosures: Sequence[Enclosure]
    crossings: Crossings
    settled: Settled
    pieces: tuple[Piece, ...]
    joints: Joints

    @property
    def conduits(self) -> Sequence[Conduit]:
        """Every piece of raceway, as it was joined."""
        return self.ends.conduits

    @cached_property
    def unjoined(self) -> set[MouthId]:
        """Ends that meet neither a box nor another end."""
        free = _free(self.conduits, self.pieces, self.settled.crossings)
        return free - set(self.joints.partner) - set(self.joints.branching)

    def boxes_around(self, number: int) -> set[int]:
        """Numbers of the boxes that a conduit lies in altogether."""
        return self._boxes_around.get(number, set())

    @cached_property
    def _boxes_around(self) -> Mapping[int, set[int]]:
        found: dict[int, set[int]] = {}
        for number, box in self.crossings.inside:
            found.setdefault(number, set()).add(box)
        return found

    @cached_property
    def met(self) -> set[tuple[int, int]]:
        """Numbers of each two conduits that are joined, or of which one lies round the other."""
        return {
            (meeting.first[0], meeting.second[0]) for meeting in self.joints.partner.values()
        } | {
            (min(fitting, host), max(fitting, host))
            for fitting in self.settled.swallowed
            for host in self.ends.hosts_of(fitting)
        }

    def partners(self) -> dict[MouthId, MouthId]:
        """End that each joined end is joined to."""
        return {mouth: meeting.other(mouth) for mouth, meeting in self.joints.partner.items()}


def join(
    conduits: Sequence[Conduit], enclosures: Sequence[Enclosure], tolerances: Tolerances
) -> Joined:
    """Find what meets what.

    Parameters
    ----------
    conduits : sequence of Conduit
        Any order.
    enclosures : sequence of Enclosure
        Any order.
    tolerances : Tolerances
    """
    ordered = sorted(conduits, key=lambda each: (each.ref.guid, each.ref.key))
    boxes = sorted(enclosures, key=lambda each: (each.ref.guid, each.ref.key))
    joined = _joined(ordered, boxes, tolerances)
    if any(each.body and not each.ends for each in ordered):
        completed = with_ends(ordered, boxes, joined.ends, joined.unjoined, tolerances)
        joined = _joined(completed, boxes, tolerances)
    return joined


def _joined(
    conduits: Sequence[Conduit], enclosures: Sequence[Enclosure], tolerances: Tolerances
) -> Joined:
    paths = [path_of(each) for each in conduits]
    crossings = find_crossings(conduits, paths, enclosures, tolerances)
    ends = Ends(conduits, paths, tolerances)
    joinable = ends.joinable()
    settled = settle(ends, crossings.entered, joinable)
    pieces = cut(conduits, paths, settled.crossings, settled.left_out)
    free = _free(conduits, pieces, settled.crossings)
    joints = find_joints(ends, free, joinable, settled.joined)
    sleeves = _sleeves(ends, free, joints)
    pieces = with_fittings(
        [piece for piece in pieces if piece.number not in sleeves],
        ends,
        sorted(settled.swallowed | sleeves),
    )
    return Joined(
        ends=ends,
        enclosures=enclosures,
        crossings=crossings,
        settled=settled,
        pieces=pieces,
        joints=joints,
    )


def _free(
    conduits: Sequence[Conduit], pieces: Iterable[Piece], crossings: Iterable[Crossing]
) -> set[MouthId]:
    """Ends that no box has taken."""
    taken = {(each.conduit, each.end) for each in crossings if each.end is not None}
    of_pieces = {mouth for piece in pieces for mouth in piece.mouths if mouth is not None}
    of_branches = {
        (number, end)
        for number, conduit in enumerate(conduits)
        if is_branch(conduit)
        for end in range(len(conduit.ends))
    }
    return of_pieces | (of_branches - taken)


def _sleeves(ends: Ends, free: set[MouthId], joints: Joints) -> set[int]:
    """Straight fittings round a joint or a body that join nothing themselves."""
    idle = free - set(joints.partner) - set(joints.branching)
    return {
        number
        for number, end in idle
        if end == 0 and (number, 1) in idle
        if ends.lies_within(number)
    }
