"""The likeliest pairing of the entries of a box: a draft for a person, never a verdict.

Two entries are the likelier to share conductors the more of this holds, in this order: their
systems are the same; their sizes are the same; they stand opposite each other, or round a corner
rather than on one wall; they have the same place in the order of their walls, so that pulls lie
beside each other and don't cross. The pairing of the greatest sum is found exactly.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

from modelcheck.model.element import axis_of, opposite
from modelcheck.model.pull import BoxCase
from modelcheck.model.run import Entry

Pair = tuple[int, int]
_PAIRED = 100_000  # more than all else together: as many entries as possible have a partner
_SAME_SYSTEM = 10_000
_OTHER_SYSTEM = -50_000
_SAME_SIZE = 2_000
_STRAIGHT, _CORNER = 600, 400
_MOST_OUT_OF_ORDER = 300
_FEW = 7  # entries that have 232 matchings, which are tried sooner than the solver is loaded


@dataclass(frozen=True, slots=True, kw_only=True)
class LikelyPair:
    """Two entries that are likely to share conductors."""

    first: int  # places in `BoxCase.entries`
    second: int
    is_shared: bool = False  # `second` has a partner of its own: its raceway splits
    because: str = ""


def likeliest_pairs(case: BoxCase, systems: Sequence[str]) -> tuple[LikelyPair, ...]:
    """Pair the entries of a box; one that is left over shares with the likeliest that isn't.

    Parameters
    ----------
    case : BoxCase
    systems : sequence of str
        System of the run of each entry; empty where it has none.
    """
    scores = {pair: _score(case, systems, *pair) for pair in combinations(range(len(systems)), 2)}
    matched = _best_matching(len(systems), tuple(scores.items()))
    pairs = [
        LikelyPair(first=first, second=second, because=_because(case, systems, first, second))
        for first, second in matched
    ]
    paired = {place for pair in matched for place in pair}
    for left in (place for place in range(len(systems)) if place not in paired):
        others = [
            (scores[min(left, other), max(left, other)], -other)
            for other in paired
            if not _differ(systems[left], systems[other])
        ]
        if others:
            partner = -max(others)[1]
            why = f"left over; {_because(case, systems, left, partner)}"
            pairs.append(LikelyPair(first=left, second=partner, is_shared=True, because=why))
    return tuple(pairs)


@lru_cache(maxsize=1024)  # boxes that differ by less than a score does are common
def _best_matching(count: int, scored: tuple[tuple[Pair, int], ...]) -> tuple[Pair, ...]:
    """Return the pairs of greatest sum, each entry in one at most; ties by the order of entries."""
    best = _best_of_all(count, dict(scored)) if count <= _FEW else ()
    return best[0] if len(best) == 1 else _solved(count, scored)


def _best_of_all(count: int, scores: dict[Pair, int]) -> list[tuple[Pair, ...]]:
    """Try every matching: those of greatest sum that are earliest in the order of entries."""
    ranked: dict[tuple[int, int], list[tuple[Pair, ...]]] = defaultdict(list)
    for pairs in _matchings(range(count)):
        early = sum(first * count + second for first, second in pairs)
        ranked[sum(_PAIRED + scores[pair] for pair in pairs), -early].append(pairs)
    return ranked[max(ranked)]


def _matchings(places: Sequence[int]) -> Iterator[tuple[Pair, ...]]:
    """Every way to pair some of `places`, in any number of pairs."""
    if not places:
        yield ()
        return
    first, *others = places
    yield from _matchings(others)
    for other in others:
        for pairs in _matchings([each for each in others if each != other]):
            yield ((first, other), *pairs)


def _solved(count: int, scored: Sequence[tuple[Pair, int]]) -> tuple[Pair, ...]:
    """Pairs of greatest sum by the solver, which also chooses between those that are equal."""
    from ortools.sat.python import cp_model  # noqa: PLC0415 - loads slowly, with pandas

    model = cp_model.CpModel()
    chosen = {pair: model.new_bool_var(f"{pair}") for pair, _ in scored}
    for place in range(count):
        model.add_at_most_one(var for pair, var in chosen.items() if place in pair)
    total = sum((_PAIRED + score) * chosen[pair] for pair, score in scored)
    tie = sum(pair[0] * count + pair[1] for pair in chosen) * count + 1
    early = sum(var * (pair[0] * count + pair[1]) for pair, var in chosen.items())
    model.maximize(total * tie - early)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.solve(model)
    return tuple(pair for pair, var in chosen.items() if solver.boolean_value(var))


def _score(case: BoxCase, systems: Sequence[str], first: int, second: int) -> int:
    one, other = case.entries[first], case.entries[second]
    score = _SAME_SIZE if _same_size(one, other) else 0
    if _differ(systems[first], systems[second]):
        score += _OTHER_SYSTEM
    elif systems[first] and systems[second]:
        score += _SAME_SYSTEM
    if other.wall == opposite(one.wall):
        score += _STRAIGHT
    elif other.wall != one.wall:
        score += _CORNER
    return score - _out_of_order(case, one, other)


def _out_of_order(case: BoxCase, one: Entry, other: Entry) -> int:
    """Square of how far two entries differ in their place in the order of their walls."""
    if one.wall == other.wall:
        return 0
    places = [_along(each, _away_from(each, than)) for each, than in ((one, other), (other, one))]
    reach = max((length for length in case.enclosure.inside_m if length), default=1.0)
    return round(_MOST_OUT_OF_ORDER * min(1.0, (places[0] - places[1]) / reach) ** 2)


def _away_from(entry: Entry, other: Entry) -> tuple[int, float]:
    """Direction in which the order of a wall is told: from the corner, or along its longer side."""
    if axis_of(entry.wall) == axis_of(other.wall):
        return (next(axis for axis in range(3) if axis != axis_of(entry.wall)), 1.0)
    return (axis_of(other.wall), -1.0 if other.wall[0] == "+" else 1.0)


def _along(entry: Entry, direction: tuple[int, float]) -> float:
    axis, sign = direction
    across = [each for each in range(3) if each != axis_of(entry.wall)]
    offset_m = (entry.u_m, entry.v_m)[across.index(axis)]
    return sign * (offset_m or 0.0)


def _because(case: BoxCase, systems: Sequence[str], first: int, second: int) -> str:
    one, other = case.entries[first], case.entries[second]
    told = []
    if systems[first] and systems[first] == systems[second]:
        told.append(f"both of system {systems[first]}")
    if _same_size(one, other):
        told.append(f"both {one.size.trade_size_in} in")
    if other.wall == opposite(one.wall):
        told.append("opposite walls")
    elif other.wall != one.wall:
        told.append("in order from the corner")
    else:
        told.append("one wall")
    return ", ".join(told)


def _same_size(one: Entry, other: Entry) -> bool:
    return one.size.known and one.size.trade_size_in == other.size.trade_size_in


def _differ(one: str, other: str) -> bool:
    return bool(one) and bool(other) and one != other
