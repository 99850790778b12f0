"""Port connections that the geometry contradicts."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from math import dist

from modelcheck.model.element import Conduit, ElementRef
from modelcheck.network.run_facts import millimetres

Key = tuple[str, int]


def contradicted_ports(
    conduits: Sequence[Conduit], met: Collection[frozenset[int]], near_m: float
) -> Mapping[Key, tuple[str, ...]]:
    """Tell of each piece which connections of its ports join ends that are far apart.

    Parameters
    ----------
    conduits : sequence of Conduit
    met : collection of frozenset of int
        Numbers of each two that are joined.
    near_m : float
        Ends up to this far apart may be meant to meet. [m]
    """
    numbers = {each.ref.key: number for number, each in enumerate(conduits)}
    told: dict[Key, list[str]] = {}
    for number, conduit in enumerate(conduits):
        for key in conduit.ported_to:
            other = conduits[numbers.get(key, number)]
            pair = frozenset((number, numbers.get(key, number)))
            if other is conduit or pair in met or not (conduit.ends and other.ends):
                continue
            apart_m = min(dist(a.point, b.point) for a in conduit.ends for b in other.ends)
            if apart_m > near_m:
                text = _told(conduit.ref, other.ref, apart_m)
                told.setdefault(conduit.ref.key, []).append(text)
                told.setdefault(key, []).append(text)
    return {key: tuple(dict.fromkeys(sorted(texts))) for key, texts in told.items()}


def _told(one: ElementRef, two: ElementRef, apart_m: float) -> str:
    names = sorted(ref.name or ref.guid for ref in (one, two))
    return (
        f"ports connect {names[0]} and {names[1]}, but their ends are {millimetres(apart_m)} apart:"
        " not joined"
    )
