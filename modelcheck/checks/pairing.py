"""Which entries of a box share conductors, and what every possible pairing says of a row.

A pairing is a set of edges between entries. A loop, an edge from an entry to itself, is a pull that
is spliced there. Without a schedule every set is possible in which each entry has an edge: one
raceway may split into several. A row of the answer exists if the pairing has one of the row's
edges, and asks the most that any of these asks, so a single edge fails it. Hence no pairing needs
to be listed: a row fails under all pairings if, without its failing edges, some entry is left
without an edge.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from typing import Protocol

from modelcheck.model.finding import Outcome

Edge = tuple[int, int]  # places of two entries, the lower first; twice the same: spliced there
Bounds = tuple[float, float]  # at least and at most


class Asked(Protocol):
    """What one edge asks of a row, at least and at most where that isn't sure."""

    @property
    def least_m(self) -> float: ...  # noqa: D102

    @property
    def most_m(self) -> float: ...  # noqa: D102


@dataclass(slots=True, kw_only=True)
class Group:
    """Edges that are told or possible together: one pull, or all that isn't known."""

    name: str = ""  # of the pull
    certain: frozenset[Edge] = frozenset()
    possible: frozenset[Edge] = frozenset()
    must: frozenset[int] = frozenset()  # entries that have at least one of these edges
    doubt: str = ""  # why no row of this pull can be decided
    note: str = ""  # what is assumed of it

    edges: frozenset[Edge] = field(init=False)  # every edge that it may have
    one_of: tuple[frozenset[Edge], ...] = field(init=False)  # the edges of each of `must`

    def __post_init__(self) -> None:
        self.edges = self.certain | self.possible
        self.one_of = tuple(
            frozenset(pair for pair in self.edges if place in pair) for place in self.must
        )

    def least_m(self, asked: Mapping[Edge, Asked]) -> float | None:
        """What every pairing of this group asks at least; None if one asks nothing. [m]"""
        made_by = self.edges.intersection(asked)
        sure = [asked[pair].least_m for pair in self.certain & made_by]
        sure += [
            min(asked[pair].least_m for pair in edges) for edges in self.one_of if edges <= made_by
        ]
        return max(sure, default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """What all pairings together ask of a row."""

    made_by: frozenset[Edge]
    least_m: float | None  # that every pairing asks at least; None if one doesn't make the row
    most_m: float  # that a pairing asks at most

    def outcome(self, provided_m: Bounds | None, *, tolerance_m: float) -> Outcome | None:
        """Judge what there is; None if only some pairings make the row, and they pass.

        Parameters
        ----------
        provided_m : tuple of float, shape (2,), or None
            What there is, at least and at most; None if that isn't known. [m]
        tolerance_m : float
            How far short still passes. [m]
        """
        if provided_m is None:
            return Outcome.NEEDS_INPUT
        if self.least_m is not None and self.least_m > provided_m[1] + tolerance_m:
            return Outcome.FAIL
        if self.most_m > provided_m[0] + tolerance_m:
            return Outcome.NEEDS_INPUT
        return None if self.least_m is None else Outcome.PASS


def all_pairs(entries: Iterable[int]) -> frozenset[Edge]:
    """Every edge between two different entries."""
    return frozenset(combinations(sorted(entries), 2))


def edge(first: int, second: int) -> Edge:
    """Edge between two entries, in either order."""
    return (first, second) if first <= second else (second, first)


def every_pairing(entries: Sequence[int], *, note: str = "") -> Group:
    """All that is possible where each entry shares conductors with at least one other."""
    pairs = all_pairs(entries)
    if len(pairs) == 1:
        return Group(certain=pairs, note=note)
    return Group(possible=pairs, must=frozenset(entries), note=note)


def split_pull(entries: Sequence[int], hubs: Collection[int], *, name: str = "") -> Group:
    """One raceway's conductors split among the others; `hubs` are those it may be."""
    others = set(entries)
    if len(hubs) == 1:
        (hub,) = hubs
        star = frozenset(edge(hub, other) for other in others - {hub})
        return Group(name=name, certain=star)
    stars = [frozenset(edge(hub, other) for other in others - {hub}) for hub in hubs]
    certain = frozenset.intersection(*stars)
    possible = frozenset.union(*stars) - certain
    return Group(name=name, certain=certain, possible=possible, must=frozenset(entries))


def unknown_entries(unknown: Collection[int], entries: Collection[int]) -> Group:
    """All that is possible of entries that no pull names: with any other, spliced, or nothing."""
    pairs = {pair for pair in all_pairs(entries) if not set(pair).isdisjoint(unknown)}
    return Group(possible=frozenset(pairs | {(entry, entry) for entry in unknown}))


def weigh(groups: Sequence[Group], asked: Mapping[Edge, Asked]) -> Weighed | None:
    """Gather what every pairing asks of a row, or None if no pairing makes it.

    Parameters
    ----------
    groups : sequence of Group
        All of them hold at once.
    asked : mapping of Edge to Asked
        The edges that make the row.
    """
    none: frozenset[Edge] = frozenset()
    made_by = none.union(*[group.edges.intersection(asked) for group in groups])
    if not made_by:
        return None
    least = [least_m for group in groups if (least_m := group.least_m(asked)) is not None]
    return Weighed(
        made_by=made_by,
        least_m=max(least, default=None),
        most_m=max(asked[pair].most_m for pair in made_by),
    )
