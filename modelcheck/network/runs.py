"""The traced network: runs, entries and loose ends."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from hashlib import sha256
from typing import NamedTuple

from modelcheck.model.element import Conduit, ElementRef, Enclosure, Role
from modelcheck.model.run import LooseEnd, Network, Run, RunEnd
from modelcheck.model.settings import Settings, Tolerances
from modelcheck.network.bends import bend_conflicts
from modelcheck.network.chains import Chain, find_chains, read_from_its_start
from modelcheck.network.entries import branch_entries, entries_of, in_order
from modelcheck.network.equipment import EquipmentAt
from modelcheck.network.joining import Joined, join
from modelcheck.network.meetings import MouthId
from modelcheck.network.parts import parts_along
from modelcheck.network.paths import is_branch
from modelcheck.network.pieces import Piece
from modelcheck.network.ports import contradicted_ports
from modelcheck.network.run_facts import (
    assumptions_along,
    centreline_along,
    length_along_m,
    named_together,
    size_along,
    systems_along,
)
from modelcheck.network.stops import Stops, find_stops

_DIGITS = 8
_EVEN_M = 1e-6  # a gap of just the tolerance is within it, however it was rounded
_Told = Mapping[tuple[str, int], tuple[str, ...]]


def trace(
    conduits: Sequence[Conduit],
    enclosures: Sequence[Enclosure],
    equipment_at: EquipmentAt,
    settings: Settings,
) -> Network:
    """Find what touches what: the runs between boxes, their entries, and the loose ends.

    Parameters
    ----------
    conduits : sequence of Conduit
        Of all files, any order.
    enclosures : sequence of Enclosure
        Of all files, any order.
    equipment_at : callable
        Gives the equipment near a sequence of points; called at most once.
    settings : Settings
    """
    tolerances = Tolerances(
        join_m=settings.tolerances.join_m + _EVEN_M,
        enter_m=settings.tolerances.enter_m + _EVEN_M,
        near_m=settings.tolerances.near_m + _EVEN_M,
    )
    joined = join(conduits, enclosures, tolerances)
    chains = find_chains(joined.pieces, joined.partners())
    kept = [chain for chain in chains if not _is_idle(chain, joined)]
    stops = find_stops(
        joined.ends,
        _asked(joined, kept),
        near_boxes=joined.crossings.near,
        enclosures=joined.enclosures,
        equipment_at=equipment_at,
        settings=settings,
    )
    told = contradicted_ports(joined, tolerances.near_m)
    ways = [_read(chain, joined, stops) for chain in kept]
    named = [(_run(name, way, joined, told), way.chain) for name, way in _named(ways)]
    entries = [
        e for run, chain in named for e in entries_of(chain.links, run.name, joined.enclosures)
    ]
    by_branches, notes = branch_entries(joined, named)
    return Network(
        runs=tuple(run for run, _ in named),
        entries=in_order([*entries, *by_branches]),
        loose_ends=_loose_ends(stops, joined),
        assumptions=(
            *_left_out(joined, [run for run, _ in named]),
            *notes,
        ),
    )


def _is_idle(chain: Chain, joined: Joined) -> bool:
    """Whether a chain is no run: caps alone, or pieces that lie in one box and meet nothing."""
    pieces = [link.piece for link in chain.links]
    if all(piece.conduit.role is Role.CAP for piece in pieces):
        return True
    if any(stop is not None for piece in pieces for stop in piece.stops):
        return False
    inner = [mouth for piece in pieces for mouth in piece.mouths if mouth is not None]
    if any(m not in joined.unjoined and not _partner_in(m, inner, joined) for m in inner):
        return False
    return bool(set.intersection(*(joined.boxes_around(piece.number) for piece in pieces)))


def _partner_in(mouth: MouthId, mouths: Sequence[MouthId], joined: Joined) -> bool:
    meeting = joined.joints.partner.get(mouth)
    return meeting is not None and meeting.other(mouth) in mouths


def _asked(joined: Joined, chains: Sequence[Chain]) -> set[MouthId]:
    """Unjoined ends of runs and branches; not the far end of a cap."""
    of_runs = joined.unjoined.intersection(
        mouth for chain in chains for link in chain.links for mouth in link.piece.mouths
    )
    of_branches = {each for each in joined.unjoined if is_branch(joined.conduits[each[0]])}
    of_caps = {
        each
        for each in joined.unjoined
        if joined.conduits[each[0]].role is Role.CAP
        and not any((each[0], end) in joined.joints.partner for end in (0, 1))
    }
    return {each for each in of_runs if not _is_closed(each, joined)} | of_branches | of_caps


def _is_closed(mouth: MouthId, joined: Joined) -> bool:
    """Whether an end is the far end of a cap."""
    number, end = mouth
    return joined.conduits[number].role is Role.CAP and (number, 1 - end) in joined.joints.partner


class _Way(NamedTuple):
    """A chain read from its start, and what it begins and stops at."""

    chain: Chain
    start: RunEnd
    end: RunEnd


def _read(chain: Chain, joined: Joined, stops: Stops) -> _Way:
    first, last = chain.links[0], chain.links[-1]
    ends = (
        _run_end(first.piece, first.way_in, joined, stops),
        _run_end(last.piece, last.way_out, joined, stops),
    )
    if chain.is_ring:
        ends = (replace(ends[0], kind="open", ref=None), replace(ends[1], kind="open", ref=None))
    chain, (start, end) = read_from_its_start(chain, ends)
    return _Way(chain, start, end)


def _run(name: str, way: _Way, joined: Joined, told: _Told) -> Run:
    chain = way.chain
    first, last = chain.links[0], chain.links[-1]
    stopped = (first.piece.stops[first.way_in], last.piece.stops[last.way_out])
    boxes = [joined.enclosures[each.box] for each in stopped if each is not None]
    conduits = [link.piece.conduit for link in chain.links]
    damages = [*(each.damage for each in conduits), *(each.damage for each in boxes)]
    size, notes = size_along(conduits)
    parts = parts_along(chain)
    assumptions = [
        *notes,
        *("the run is a ring without an end" for _ in range(chain.is_ring)),
        *assumptions_along(conduits),
        *(text for each in conduits for text in told.get(each.ref.key, ())),
    ]
    return Run(
        name=name,
        elements=chain.refs,
        start=way.start,
        end=way.end,
        size=size,
        raceway_types=tuple(
            sorted({each.size.raceway_type for each in conduits if each.size.raceway_type})
        ),
        length_m=length_along_m(chain),
        bends=tuple(bend for part in parts for bend in part.bends),
        centreline=centreline_along(chain),
        parts=parts,
        bend_conflict="; ".join(bend_conflicts(chain)),
        system=systems_along(conduits),
        damage="; ".join(dict.fromkeys(each for each in damages if each)),
        assumptions=tuple(dict.fromkeys(assumptions)),
    )


def _run_end(piece: Piece, side: int, joined: Joined, stops: Stops) -> RunEnd:
    stop, point = piece.stops[side], piece.point(side)
    if stop is not None:
        return RunEnd(kind="box", point=point, ref=joined.enclosures[stop.box].ref)
    mouth = piece.mouths[side]
    if mouth in joined.joints.branching:
        return RunEnd(kind="branch", point=point, ref=_branch_at(mouth, joined))
    meeting = joined.joints.partner.get(mouth) if mouth else None
    if mouth and meeting:
        return RunEnd(kind="branch", point=point, ref=joined.conduits[meeting.other(mouth)[0]].ref)
    if piece.conduit.role is Role.CAP:
        return RunEnd(kind="cap", point=point)
    return (
        stops.kinds.get(mouth, RunEnd(kind="open", point=point))
        if mouth
        else RunEnd(kind="open", point=point)
    )


def _branch_at(mouth: MouthId | None, joined: Joined) -> ElementRef | None:
    """Return the branch of which an end is among those that meet at `mouth`."""
    others = joined.joints.branching.get(mouth, ()) if mouth else ()
    refs = [joined.conduits[each].ref for each, _ in others if is_branch(joined.conduits[each])]
    return min(refs, key=lambda ref: (ref.guid, ref.key), default=None)


def _named(ways: Sequence[_Way]) -> Iterator[tuple[str, _Way]]:
    """Sort runs and name each by its elements; those of the same elements are numbered."""
    ordered = sorted(
        ways,
        key=lambda way: (
            way.chain.refs[0].model,
            way.chain.guids,
            [ref.key for ref in way.chain.refs],
            [end.ref.guid if end.ref else "" for end in (way.start, way.end)],
            way.chain.links[0].piece.part.low_m,
        ),
    )
    seen: Counter[str] = Counter()
    for way in ordered:
        guids = "\n".join(sorted(way.chain.guids))
        name = f"R-{sha256(guids.encode()).hexdigest()[:_DIGITS]}"
        seen[name] += 1
        yield name if seen[name] == 1 else f"{name}-{seen[name]}", way


def _loose_ends(stops: Stops, joined: Joined) -> tuple[LooseEnd, ...]:
    caps = {each.ref.key for each in joined.conduits if each.role is Role.CAP}
    rows = [row for row in stops.loose if row.other is not None or row.element.key not in caps]
    return tuple(
        sorted(
            rows,
            key=lambda row: (
                row.element.model,
                row.element.guid,
                row.element.key,
                row.other.guid if row.other else "",
                row.gap_m or 0.0,
            ),
        )
    )


def _left_out(joined: Joined, runs: Iterable[Run]) -> tuple[str, ...]:
    """Tell which pieces are in no run, and why."""
    told = {ref.key for run in runs for ref in run.elements}
    alone = [
        each.ref
        for each in joined.conduits
        if each.ref.key not in told and each.role is not Role.CAP and each.ends
        if not is_branch(each)
    ]
    shapeless = [each.ref for each in joined.conduits if not each.ends]
    notes = [(alone, "in or at a box, joining nothing"), (shapeless, "without ends")]
    return tuple(f"{named_together(refs)}: in no run ({why})" for refs, why in notes if refs)
