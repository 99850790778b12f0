"""Sizes that only a drawn diameter tells, by how the same file draws its other raceway."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from modelcheck.model.element import Conduit, Role


def as_others_are_drawn(conduits: Sequence[Conduit]) -> list[Conduit]:
    """Settle the diameters that are the outside of one size and the nominal value of another.

    A file draws raceway one way: where all its straight pieces whose size is sure are drawn with
    their outside diameter, or all with their nominal one, so are the others. Where there are none,
    or some of both, a size stays as it is, with the assumption that says so.
    """
    ways: dict[str, set[str]] = defaultdict(set)
    for each in conduits:
        if each.size.drawn and each.role is Role.SEGMENT:
            ways[each.ref.model].add(each.size.drawn)
    return [
        _settled(each, ways[each.ref.model]) if each.size.if_drawn else each for each in conduits
    ]


def _settled(conduit: Conduit, ways: set[str]) -> Conduit:
    known = dict(conduit.size.if_drawn)
    if len(ways) != 1 or not ways <= known.keys():
        return conduit
    (drawn,) = ways
    size = known[drawn]
    bends = tuple(replace(bend, trade_size_in=size.trade_size_in) for bend in conduit.bends)
    return replace(conduit, size=size, bends=bends)
