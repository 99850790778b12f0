"""Port connections that the geometry contradicts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import dist

from modelcheck.model.element import Conduit, ElementRef
from modelcheck.network.run_facts import millimetres

Key = tuple[str, int]


def contradicted_ports(conduits: Sequence[Conduit], near_m: float) -> Mapping[Key, tuple[str, ...]]:
    """Tell of each piece which connections of its ports join ends that are far apart.

    Parameters
    ----------
    conduits : sequence of Conduit
    near_m : float
        Ends up to this far apart may be meant to meet. [m]
    """
    by_key = {each.ref.key: each for each in conduits}
    told: dict[Key, list[str]] = {}
    for conduit in conduits:
        for key in conduit.ported_to:
            other = by_key.get(key)
            if other is None or key == conduit.ref.key or not (conduit.ends and other.ends):
                continue
            apart_m = min(dist(a.point, b.point) for a in conduit.ends for b in other.ends)
            if apart_m > near_m + _reach_m(conduit, other):
                text = _told(conduit.ref, other.ref, apart_m)
                told.setdefault(conduit.ref.key, []).append(text)
                told.setdefault(key, []).append(text)
    return {key: tuple(dict.fromkeys(sorted(texts))) for key, texts in told.items()}


def _reach_m(one: Conduit, two: Conduit) -> float:
    """How far apart the ends of two pieces may be that go into each other."""
    return min(one.length_m, two.length_m) if one.length_m and two.length_m else 0.0


def _told(one: ElementRef, two: ElementRef, apart_m: float) -> str:
    names = sorted(ref.name or ref.guid for ref in (one, two))
    return (
        f"ports connect {names[0]} and {names[1]}, but their ends are {millimetres(apart_m)} apart:"
        " not joined"
    )
