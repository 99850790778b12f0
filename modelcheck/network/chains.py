"""Pieces that are joined end to end, in order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import networkx as nx

from modelcheck.model.element import Bend, ElementRef, End
from modelcheck.model.run import RunEnd
from modelcheck.network.meetings import MouthId
from modelcheck.network.pieces import Piece

Side = tuple[int, int]  # number of the piece and its side


@dataclass(frozen=True, slots=True)
class Link:
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


@dataclass(frozen=True, slots=True, kw_only=True)
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

    @property
    def refs(self) -> tuple[ElementRef, ...]:
        """Elements in order."""
        return tuple(ref for link in self.links for ref in link.refs)

    @property
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
        for side in (0, 1)
        if (mouth := piece.mouth(side)) is not None
    }
    next_of = {
        side_of[one]: side_of[two]
        for one, two in partner.items()
        if one in side_of and two in side_of
    }
    graph: Any = nx.Graph()
    graph.add_nodes_from(range(len(pieces)))
    graph.add_edges_from((one[0], two[0]) for one, two in next_of.items())
    return tuple(
        _walked(sorted(component), pieces, next_of) for component in nx.connected_components(graph)
    )


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
    other = chain.turned
    ways = [
        ((way.guids[0], stop.ref.guid if stop.ref else "", way.guids), number)
        for number, (way, stop) in enumerate(((chain, stops[0]), (other, stops[1])))
    ]
    if ways[0][0] == ways[1][0]:  # the same both ways: as its first piece is drawn
        is_turned = chain.links[0].way_in > chain.links[-1].way_out
        return (other, stops[::-1]) if is_turned else (chain, stops)
    return (chain, stops) if min(ways)[1] == 0 else (other, stops[::-1])


def _ring_from_its_start(ring: Chain) -> Chain:
    ways = []
    for way in (ring, ring.turned):
        for number in range(len(way.links)):
            links = way.links[number:] + way.links[:number]
            ways.append(Chain(links=links, is_ring=True))
    return min(ways, key=lambda way: (way.guids, way.links[0].way_in))
