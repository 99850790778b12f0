"""Pieces that are joined end to end, in order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise, zip_longest
from typing import NamedTuple

from modelcheck.geometry.neighbours import groups
from modelcheck.geometry.vectors import (
    angle_deg,
    corner,
    dot,
    middle,
    minus,
    moved,
    reversed_of,
)
from modelcheck.model.element import Bend, ElementRef, End, Point, Role
from modelcheck.model.run import RunEnd
from modelcheck.network.meetings import MouthId
from modelcheck.network.paths import NO_BEND_DEG
from modelcheck.network.pieces import Piece

AGREE_DEG = 1.0  # two readings of one angle

Side = tuple[int, int]  # number of the piece and its side


class Link(NamedTuple):
    """One piece as a chain goes through it."""

    piece: Piece
    way_in: int  # side by which one comes in

    @property
    def way_out(self) -> int:
        """Side by which one leaves."""
        return 1 - self.way_in

    @property
    def entry_end(self) -> End:
        """End by which one comes in."""
        return self.piece.end(self.way_in)

    @property
    def exit_end(self) -> End:
        """End by which one leaves."""
        return self.piece.end(self.way_out)

    @property
    def bends(self) -> tuple[Bend, ...]:
        """Its bends in the order of the walk."""
        return self.piece.bends[::-1] if self.way_in else self.piece.bends

    @property
    def refs(self) -> tuple[ElementRef, ...]:
        """Its element and the fittings round it, in the order of the walk."""
        return self.piece.refs[::-1] if self.way_in else self.piece.refs

    @property
    def turned(self) -> Link:
        """The same, gone through the other way."""
        return Link(self.piece, self.way_out)


class Joint(NamedTuple):
    """Place where a chain goes from one piece to the next."""

    before: Link
    after: Link
    turn_deg: float  # between the directions before and after
    step_m: float  # what it adds to the length: a gap, less than nothing where they overlap
    is_elbows: bool  # a bent fitting is at it, whose angle is told by its neighbours
    is_mitre: bool  # the two meet at an angle without an elbow

    @classmethod
    def between(cls, before: Link, after: Link) -> Joint:
        """Joint of two pieces that follow each other."""
        one, two = before.exit_end, after.entry_end
        turn_deg = angle_deg(one.direction, reversed_of(two.direction))
        is_elbows = before.piece.is_elbow or after.piece.is_elbow
        is_mitre = False
        if not is_elbows and turn_deg > NO_BEND_DEG:
            roles = (before.piece.conduit.role, after.piece.conduit.role)
            least_deg = NO_BEND_DEG if roles == (Role.SEGMENT, Role.SEGMENT) else AGREE_DEG
            is_mitre = Role.CAP not in roles and turn_deg > least_deg
        along = _to_corner(one, two) if is_mitre else None
        step_m = along[0] - along[1] if along else dot(minus(two.point, one.point), one.direction)
        return cls(before, after, turn_deg, step_m, is_elbows, is_mitre)

    @property
    def corner(self) -> Point:
        """Where the two centre lines meet."""
        one, two = self.before.exit_end, self.after.entry_end
        along = _to_corner(one, two)
        if along is None:
            return middle((one.point, two.point))
        return middle(
            (
                moved(one.point, one.direction, along[0]),
                moved(two.point, reversed_of(two.direction), along[1]),
            )
        )

    @property
    def bend(self) -> Bend:
        """The mitre as a bend; its element is the same whichever way one goes."""
        refs = [link.piece.conduit.ref for link in (self.before, self.after)]
        element = min(refs, key=lambda ref: (ref.guid, ref.key))
        return Bend(
            angle_deg=self.turn_deg,
            radius_m=None,
            at=self.corner,
            element=element,
            evidence="neighbours",
        )


def _to_corner(one: End, two: End) -> tuple[float, float] | None:
    """How far along each of two centre lines the place is where they meet."""
    return corner(one.point, one.direction, two.point, reversed_of(two.direction))


@dataclass(frozen=True, kw_only=True)
class Chain:
    """Everything between two ends, in order."""

    links: tuple[Link, ...]
    is_ring: bool = False

    @property
    def turned(self) -> Chain:
        """The same from its other end."""
        return Chain(
            links=tuple(each.turned for each in reversed(self.links)), is_ring=self.is_ring
        )

    @cached_property
    def joints(self) -> tuple[Joint, ...]:
        """Every joint in order; of a ring the closing one too."""
        links = (*self.links, self.links[0]) if self.is_ring else self.links
        return tuple(Joint.between(before, after) for before, after in pairwise(links))

    @property
    def steps(self) -> Iterator[tuple[Link, Joint | None]]:
        """Every link with the joint behind it, if there is one."""
        return zip_longest(self.links, self.joints)

    @cached_property
    def refs(self) -> tuple[ElementRef, ...]:
        """Elements in order."""
        return tuple(ref for link in self.links for ref in link.refs)

    @cached_property
    def guids(self) -> tuple[str, ...]:
        """GlobalIds in order."""
        return tuple(ref.guid for ref in self.refs)


def find_chains(pieces: Sequence[Piece], partner: Mapping[MouthId, MouthId]) -> tuple[Chain, ...]:
    """Put pieces that are joined into chains.

    Parameters
    ----------
    pieces : sequence of Piece
    partner : mapping of MouthId to MouthId
        Ends that are joined, each way; ends of branches have no piece and stop a chain.
    """
    side_of: dict[MouthId, Side] = {
        mouth: (number, side)
        for number, piece in enumerate(pieces)
        for side, mouth in enumerate(piece.mouths)
        if mouth is not None
    }
    next_of = {
        side_of[one]: side_of[two]
        for one, two in partner.items()
        if one in side_of and two in side_of
    }
    joined = [(one[0], two[0]) for one, two in next_of.items()]
    return tuple(_walked(each, pieces, next_of) for each in groups(len(pieces), joined))


def _walked(
    component: Sequence[int], pieces: Sequence[Piece], next_of: Mapping[Side, Side]
) -> Chain:
    stops = [(n, side) for n in component for side in (0, 1) if (n, side) not in next_of]
    side = stops[0] if stops else (component[0], 0)
    links: list[Link] = []
    while True:
        links.append(Link(pieces[side[0]], side[1]))
        leaving = (side[0], 1 - side[1])
        if leaving not in next_of or len(links) == len(component):
            return Chain(links=tuple(links), is_ring=not stops)
        side = next_of[leaving]


def read_from_its_start(
    chain: Chain, stops: tuple[RunEnd, RunEnd]
) -> tuple[Chain, tuple[RunEnd, RunEnd]]:
    """Turn a chain so that it begins where the outermost element's GlobalId sorts first.

    Parameters
    ----------
    chain : Chain
    stops : tuple of RunEnd, shape (2,)
        What its two ends are, as it stands.
    """
    if chain.is_ring:
        return _ring_from_its_start(chain), stops
    outermost = (chain.links[0].refs[0], chain.links[-1].refs[-1])
    told = [
        (ref.guid, stop.ref.guid if stop.ref else "")
        for ref, stop in zip(outermost, stops, strict=True)
    ]
    guids = [chain.guids, chain.guids[::-1]] if told[0] == told[1] else told
    is_turned = guids[1] < guids[0]
    if guids[0] == guids[1]:  # the same both ways: as its first piece is drawn
        is_turned = chain.links[0].way_in > chain.links[-1].way_out
    return (chain.turned, stops[::-1]) if is_turned else (chain, stops)


def _ring_from_its_start(ring: Chain) -> Chain:
    ways = []
    for way in (ring, ring.turned):
        for number in range(len(way.links)):
            links = way.links[number:] + way.links[:number]
            ways.append(Chain(links=links, is_ring=True))
    return min(ways, key=lambda way: (way.guids, way.links[0].way_in))
