"""Elements that could not be used, and the boxes that may lack them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

from modelcheck.geometry.vectors import in_frame
from modelcheck.model.element import ElementRef, Enclosure, Point


@dataclass(frozen=True, slots=True)
class Lost:
    """An element that may be raceway but could not be used."""

    ref: ElementRef
    ported_to: tuple[tuple[str, int], ...]
    at: tuple[Point, ...] = ()  # where its placement and its ports lie


def without_lost(
    boxes: Sequence[Enclosure], lost: Sequence[Lost], unknown: int, *, near_m: float
) -> tuple[Enclosure, ...]:
    """`boxes`, each with what it may lack because it could not be read.

    Parameters
    ----------
    boxes : sequence of Enclosure
    lost : sequence of Lost
        Elements that may enter any of them.
    unknown : int
        Things that the files name but don't hold.
    near_m : float
        What lies this near to a box may enter it. [m]
    """
    if not lost and not unknown:
        return tuple(boxes)
    note = f"what can't be read, {len(lost) + unknown} in all, is taken not to enter it"
    joined: dict[tuple[str, int], list[str]] = defaultdict(list)
    for each in lost:
        for key in each.ported_to:
            name = each.ref.name or each.ref.guid
            joined[key].append(f"{name} is connected to it by a port and can't be read")
    return tuple(
        replace(
            box,
            assumptions=(*box.assumptions, note),
            missing_entry="; ".join(
                joined.get(box.ref.key, ())
                or [_placed(each) for each in lost if _is_at(box, each, near_m)]
            ),
        )
        for box in boxes
    )


def _is_at(box: Enclosure, lost: Lost, near_m: float) -> bool:
    """Whether the place of an element is in a box or at its walls."""
    spans = tuple(zip(box.outside_low_m, box.outside_high_m, strict=True))
    return any(
        all(
            low - near_m <= value <= high + near_m
            for value, (low, high) in zip(in_frame(at, box.origin, box.axes), spans, strict=True)
        )
        for at in lost.at
    )


def _placed(lost: Lost) -> str:
    return f"{lost.ref.name or lost.ref.guid} is placed at it and can't be read"
