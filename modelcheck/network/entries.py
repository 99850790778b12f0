"""Entries: where conduits meet boxes, with the size that counts there."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from modelcheck.geometry.vectors import angle_deg
from modelcheck.model.element import Conduit, Enclosure, End, Role
from modelcheck.model.run import Entry, Network, Run
from modelcheck.network.chains import Chain, Link
from modelcheck.network.crossings import Crossing
from modelcheck.network.joining import Joined
from modelcheck.network.paths import bends_of, is_branch


def entered(enclosures: Iterable[Enclosure], network: Network) -> tuple[Enclosure, ...]:
    """Boxes, without those that would be one only if a conduit met them.

    Parameters
    ----------
    enclosures : iterable of Enclosure
    network : Network
    """
    met = {entry.box.key for entry in network.entries}
    return tuple(each for each in enclosures if not each.only_if_entered or each.ref.key in met)


def entries_of(links: Sequence[Link], run: str, enclosures: Sequence[Enclosure]) -> list[Entry]:
    """Entries at both ends of a run.

    Parameters
    ----------
    links : sequence of Link
        From its start to its end.
    run : str
        Its name.
    enclosures : sequence of Enclosure
        As the crossings number them.
    """
    found = []
    last = links[-1]
    sides = (
        (links[0].piece, links[0].way_in, links),
        (last.piece, last.way_out, links[::-1]),
    )
    for piece, side, inward in sides:
        stop = piece.stops[side]
        if stop is not None:
            conduit = _conduit(inward)
            found += [
                entry_at(each, conduit, enclosures, run) for each in (stop, *piece.part.more[side])
            ]
    return found


def entry_at(
    crossing: Crossing, conduit: Conduit, enclosures: Sequence[Enclosure], run: str = ""
) -> Entry:
    """Entry of a conduit at a crossing of its own or of its connector.

    Parameters
    ----------
    crossing : Crossing
    conduit : Conduit
    enclosures : sequence of Enclosure
    run : str
    """
    return Entry(
        box=enclosures[crossing.box].ref,
        conduit=conduit.ref,
        wall=crossing.wall,
        u_m=crossing.u_m,
        v_m=crossing.v_m,
        size=conduit.size,
        run=run,
        at=crossing.point,
        is_cable=conduit.is_cable,
        damage=conduit.damage,
        assumptions=conduit.assumptions,
    )


def _conduit(inward: Sequence[Link]) -> Conduit:
    """First segment or bend from the box; else the connector itself."""
    for link in inward:
        conduit = link.piece.conduit
        if conduit.role is Role.SEGMENT or bends_of(conduit):
            return conduit
    return inward[0].piece.conduit


def branch_entries(
    joined: Joined, named: Sequence[tuple[Run, Chain]]
) -> tuple[list[Entry], tuple[str, ...]]:
    """Entries of branches that meet a box themselves, and what is to note of them.

    Such an entry is told of the conduit that goes into the branch most nearly in line with it.

    Parameters
    ----------
    joined : Joined
    named : sequence of (Run, Chain)
    """
    found: list[Entry] = []
    notes: list[str] = []
    for crossing in joined.settled.crossings:
        branch = joined.conduits[crossing.conduit]
        if not is_branch(branch) or crossing.end is None:
            continue
        name = branch.ref.name or branch.ref.guid
        into = _most_in_line(branch, branch.ends[crossing.end], named)
        if into is None:
            box = joined.enclosures[crossing.box].ref
            notes.append(f"{name} meets {box.name or box.guid} without a conduit: not an entry")
            continue
        entry = entry_at(crossing, into[0], joined.enclosures, into[1])
        note = f"enters by the branching fitting {name}"
        found.append(replace(entry, assumptions=(*entry.assumptions, note)))
    return found, tuple(sorted(notes))


def _most_in_line(
    branch: Conduit, end: End, named: Sequence[tuple[Run, Chain]]
) -> tuple[Conduit, str] | None:
    """Conduit that runs into `branch` along the direction of `end`, with the name of its run."""
    found = []
    for run, chain in named:
        first, last = chain.links[0], chain.links[-1]
        sides = ((run.start, first.entry_end, chain), (run.end, last.exit_end, chain.turned))
        for stop, mouth, way in sides:
            if stop.ref is not None and stop.ref.key == branch.ref.key:
                angle = round(angle_deg(mouth.direction, end.direction), 3)
                conduit = _conduit(way.links)
                found.append((angle, conduit.ref.guid, conduit.ref.key, run.name, conduit))
    if not found:
        return None
    best = min(found, key=lambda each: each[:4])
    return best[4], best[3]


def in_order(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """Sort entries by box, conduit and wall."""
    return tuple(
        sorted(
            entries,
            key=lambda each: (
                each.box.model,
                each.box.guid,
                each.box.key,
                each.conduit.guid,
                each.conduit.key,
                each.wall,
                round(each.u_m or 0.0, 5),
                round(each.v_m or 0.0, 5),
            ),
        )
    )
