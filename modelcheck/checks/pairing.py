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
from dataclasses import dataclass
from itertools import combinations

from modelcheck.model.finding import Outcome

Edge = tuple[int, int]  # places of two entries, the lower first; twice the same: spliced there


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Edges that are told or possible together: one pull, or all that isn't known."""

    name: str = ""  # of the pull
    certain: frozenset[Edge] = frozenset()
    possible: frozenset[Edge] = frozenset()
    must: frozenset[int] = frozenset()  # entries that have at least one of these edges
    doubt: str = ""  # why no row of this pull can be decided
    note: str = ""  # what is assumed of it

    @property
    def edges(self) -> frozenset[Edge]:
        """Every edge that it may have."""
        return self.certain | self.possible

    def has_one_of(self, edges: Collection[Edge]) -> bool:
        """Whether every pairing of this group has one of `edges`."""
        if not self.certain.isdisjoint(edges):
            return True
        covered = {entry for edge in self.edges if edge not in edges for entry in edge}
        return not self.must <= covered


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What one edge asks of a row, in metres: at least and at most where that isn't sure."""

    least_m: float
    most_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """What all pairings together say of a row."""

    outcome: Outcome | None  # None: only some pairings make the row, and they pass
    made_by: frozenset[Edge]
    failing: frozenset[Edge]  # those of `made_by` that fail it or may
    always: bool  # every pairing makes it


def all_pairs(entries: Iterable[int]) -> frozenset[Edge]:
    """Every edge between two different entries."""
    return frozenset(combinations(sorted(entries), 2))


def edge(first: int, second: int) -> Edge:
    """Edge between two entries, in either order."""
    return (first, second) if first <= second else (second, first)


def every_pairing(entries: Sequence[int]) -> Group:
    """All that is possible where each entry shares conductors with at least one other."""
    pairs = all_pairs(entries)
    if len(pairs) == 1:
        return Group(certain=pairs)
    return Group(possible=pairs, must=frozenset(entries))


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


def weigh(
    groups: Sequence[Group],
    asked: Mapping[Edge, Asked],
    *,
    provided_m: tuple[float, float] | None,
    tolerance_m: float,
) -> Weighed | None:
    """Judge a row under every pairing, or None if no pairing makes it.

    Parameters
    ----------
    groups : sequence of Group
        All of them hold at once.
    asked : mapping of Edge to Asked
        The edges that make the row.
    provided_m : tuple of float, shape (2,), or None
        What there is, at least and at most; None if that isn't known. [m]
    tolerance_m : float
        How far short still passes. [m]
    """
    made_by = frozenset(pair for group in groups for pair in group.edges if pair in asked)
    if not made_by:
        return None
    always = any(group.has_one_of(asked) for group in groups)
    if provided_m is None:
        return Weighed(
            outcome=Outcome.NEEDS_INPUT, made_by=made_by, failing=frozenset(), always=always
        )
    least_m, most_m = (length + tolerance_m for length in provided_m)
    failing = frozenset(pair for pair in made_by if asked[pair].most_m > least_m)
    surely_failing = {pair for pair in made_by if asked[pair].least_m > most_m}
    outcome: Outcome | None = Outcome.PASS if always else None
    if failing:
        outcome = Outcome.NEEDS_INPUT
    if any(group.has_one_of(surely_failing) for group in groups):
        outcome = Outcome.FAIL
    return Weighed(outcome=outcome, made_by=made_by, failing=failing, always=always)
