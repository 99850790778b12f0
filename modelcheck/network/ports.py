"""Port connections that the geometry contradicts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import dist

from modelcheck.model.element import Conduit, ElementRef, Enclosure
from modelcheck.network.box_blocks import outside_gap_m
from modelcheck.network.joining import Joined
from modelcheck.network.run_facts import millimetres

Key = tuple[str, int]


def contradicted_ports(joined: Joined, near_m: float) -> Mapping[Key, tuple[str, ...]]:
    """Tell of each piece which connections of its ports join ends that are far apart.

    Parameters
    ----------
    joined : Joined
    near_m : float
        Ends up to this far apart may be meant to meet. [m]
    """
    conduits, met = joined.conduits, joined.met
    numbers = {each.ref.key: number for number, each in enumerate(conduits)}
    told: dict[Key, list[str]] = {}
    for number, conduit in enumerate(conduits):
        for key in conduit.ported_to:
            other_number = numbers.get(key, number)
            other = conduits[other_number]
            if (number, other_number) in met or (other_number, number) in met:
                continue
            if other is conduit or not (conduit.ends and other.ends):
                continue
            apart_m = min(dist(a.point, b.point) for a in conduit.ends for b in other.ends)
            if apart_m > near_m:
                text = _told(conduit.ref, other.ref, apart_m)
                told.setdefault(conduit.ref.key, []).append(text)
                told.setdefault(key, []).append(text)
    for conduit, box, apart_m in _boxes_apart(joined):
        if apart_m > near_m:
            text = _told_of_box(conduit.ref, box.ref, apart_m)
            told.setdefault(conduit.ref.key, []).append(text)
    return {key: tuple(dict.fromkeys(sorted(texts))) for key, texts in told.items()}


def _boxes_apart(joined: Joined) -> Iterator[tuple[Conduit, Enclosure, float]]:
    """Each conduit and box that ports connect and no entry does, with the gap between them."""
    entered = {
        (joined.conduits[each.conduit].ref.key, joined.enclosures[each.box].ref.key)
        for each in joined.crossings.entered
    }
    boxes = {each.ref.key: each for each in joined.enclosures}
    pairs = {
        (each.ref.key, key) for each in joined.conduits for key in each.ported_to if key in boxes
    }
    pairs |= {(key, each.ref.key) for each in joined.enclosures for key in each.ported_to}
    apart = sorted(pairs - entered)
    by_key = {each.ref.key: each for each in joined.conduits} if apart else {}
    for conduit_key, box_key in apart:
        conduit, box = by_key.get(conduit_key), boxes.get(box_key)
        if conduit is not None and box is not None and conduit.ends:
            yield conduit, box, min(outside_gap_m(box, end.point) for end in conduit.ends)


def _told_of_box(conduit: ElementRef, box: ElementRef, apart_m: float) -> str:
    return (
        f"ports connect {conduit.name or conduit.guid} and {box.name or box.guid}, but its ends are"
        f" {millimetres(apart_m)} from it: no entry"
    )


def _told(one: ElementRef, two: ElementRef, apart_m: float) -> str:
    names = sorted(ref.name or ref.guid for ref in (one, two))
    return (
        f"ports connect {names[0]} and {names[1]}, but their ends are {millimetres(apart_m)} apart:"
        " not joined"
    )
