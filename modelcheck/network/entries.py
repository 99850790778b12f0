"""Entries: where conduits meet boxes, with the size that counts there."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from modelcheck.model.element import Conduit, Enclosure, Role
from modelcheck.model.run import Entry, Network
from modelcheck.network.chains import Link
from modelcheck.network.crossings import Crossing
from modelcheck.network.paths import bends_of


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
                entry_at(each, conduit, enclosures, run) for each in (stop, *piece.more[side])
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
        assumptions=conduit.assumptions,
    )


def _conduit(inward: Sequence[Link]) -> Conduit:
    """First segment or bend from the box; else the connector itself."""
    for link in inward:
        conduit = link.piece.conduit
        if conduit.role is Role.SEGMENT or bends_of(conduit):
            return conduit
    return inward[0].piece.conduit


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
