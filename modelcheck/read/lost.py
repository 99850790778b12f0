"""Elements that could not be used, and the boxes that may lack them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

import numpy as np

from modelcheck.geometry.frames import Array
from modelcheck.geometry.vectors import in_frame
from modelcheck.model.element import ElementRef, Enclosure, Point
from modelcheck.read.curves import DAMAGED, UnreadableError
from modelcheck.read.placements import Placements
from modelcheck.read.ports import Ports
from modelcheck.read.property_values import Entity

_ABOUT_M = 0.5  # ports and placements lie off the ends that they tell of


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost:
    """An element that may be raceway but could not be used."""

    ref: ElementRef
    ported_to: tuple[tuple[str, int], ...] = ()
    ends: tuple[Point, ...] = ()  # where its ports lie
    at: tuple[Point, ...] = ()  # where its placement lies
    may_reach_any: bool = True  # nothing tells where it ends
    is_short: bool = False  # it ends where it is placed, if that is where raceway is


def lost_of(
    element: Entity,
    ref: ElementRef,
    *,
    ports: Ports,
    placements: Placements,
    is_in_parts: bool,
    is_short: bool,
) -> Lost:
    """What is known of an element that could not be used.

    Parameters
    ----------
    element : entity
    ref : ElementRef
        Its name.
    ports : Ports
    placements : Placements
    is_in_parts : bool
        Whether other elements that are its parts show where it goes.
    is_short : bool
        Whether it is called a piece of no length, such as a coupling.
    """
    place: tuple[Point, ...] = ()
    with suppress(UnreadableError, *DAMAGED):
        if element.ObjectPlacement is not None:
            place = (_point(placements.of(element.ObjectPlacement)[:3, 3]),)
    return Lost(
        ref=ref,
        ported_to=tuple((ref.model, each) for each in ports.beside(element)),
        ends=tuple(_point(port.point) for port in ports.of(element)),
        at=place,
        may_reach_any=not (is_in_parts or ports.tell_ends(element)),
        is_short=is_short,
    )


def without_lost(
    boxes: Sequence[Enclosure], lost: Sequence[Lost], unknown: int, ends: Sequence[Point]
) -> tuple[Enclosure, ...]:
    """`boxes`, each with what it may lack because it could not be read.

    Parameters
    ----------
    boxes : sequence of Enclosure
    lost : sequence of Lost
        Elements that may enter any of them.
    unknown : int
        Things that the files name but don't hold.
    ends : sequence of Point
        Of all raceway that could be read. [m]
    """
    if not lost and not unknown:
        return tuple(boxes)
    note = f"what can't be read, {len(lost) + unknown} in all, is taken not to enter it"
    joined: dict[tuple[str, int], list[str]] = defaultdict(list)
    for each in lost:
        for key in each.ported_to:
            joined[key].append(f"{_name(each)} is connected to it by a port and can't be read")
    read = np.array(ends, dtype=float).reshape(-1, 3)
    anywhere = _anywhere([each for each in lost if each.may_reach_any and not _stays(each, read)])
    return tuple(
        replace(
            box,
            assumptions=(*box.assumptions, note),
            missing_entry="; ".join(
                joined.get(box.ref.key, ())
                or [_placed(each) for each in lost if _is_at(box, each)]
                or anywhere
            ),
        )
        for box in boxes
    )


def _anywhere(lost: Sequence[Lost]) -> list[str]:
    """Say that some may enter any box, in few words however many they are."""
    if not lost:
        return []
    more = f" and {len(lost) - 1} more" if len(lost) > 1 else ""
    return [f"{_name(lost[0])}{more} can't be read, and no ports tell which boxes it may enter"]


def _stays(lost: Lost, ends: Array) -> bool:
    """Whether a short piece is placed where raceway ends: then not at some origin, far from it."""
    return lost.is_short and any(
        bool((np.linalg.norm(ends - at, axis=1) <= _ABOUT_M).any()) for at in lost.at
    )


def _is_at(box: Enclosure, lost: Lost) -> bool:
    """Whether an element is placed at a box, or may lie between its ports there."""
    return _is_among(box, lost.ends) or any(_is_among(box, [at]) for at in lost.at)


def _is_among(box: Enclosure, points: Sequence[Point]) -> bool:
    """Whether the block around `points`, along the axes of a box, comes near its outside."""
    if not points:
        return False
    local = [in_frame(point, box.origin, box.axes) for point in points]
    return all(
        min(values) <= high + _ABOUT_M and max(values) >= low - _ABOUT_M
        for values, low, high in zip(
            zip(*local, strict=True), box.outside_low_m, box.outside_high_m, strict=True
        )
    )


def _placed(lost: Lost) -> str:
    return f"{_name(lost)} is placed at it and can't be read"


def _name(lost: Lost) -> str:
    return lost.ref.name or lost.ref.guid


def _point(vector: Array) -> Point:
    x, y, z = vector.tolist()
    return x, y, z
