"""Elements that could not be used, and the boxes that may lack them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

from modelcheck.model.element import ElementRef, Enclosure


@dataclass(frozen=True, slots=True)
class Lost:
    """An element that may be raceway but could not be used."""

    ref: ElementRef
    ported_to: tuple[tuple[str, int], ...]


def without_lost(
    boxes: Sequence[Enclosure], lost: Sequence[Lost], unknown: int
) -> tuple[Enclosure, ...]:
    """`boxes`, each with what it may lack because it could not be read.

    Parameters
    ----------
    boxes : sequence of Enclosure
    lost : sequence of Lost
        Elements that may enter any of them.
    unknown : int
        Things that the files name but don't hold.
    """
    if not lost and not unknown:
        return tuple(boxes)
    count = len(lost) + unknown
    note = f"{count} element{'s' * (count > 1)} that can't be read taken not to enter it"
    joined: dict[tuple[str, int], list[str]] = defaultdict(list)
    for each in lost:
        for key in each.ported_to:
            name = each.ref.name or each.ref.guid
            joined[key].append(f"{name} is connected to it by a port and can't be read")
    return tuple(
        replace(
            box,
            assumptions=(*box.assumptions, note),
            missing_entry="; ".join(joined.get(box.ref.key, ())),
        )
        for box in boxes
    )
