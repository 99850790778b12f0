"""A change that would make a box pass."""

from __future__ import annotations

from dataclasses import dataclass

from modelcheck.model.element import ElementRef

MOVED = "least by moving"
SIZE_CHANGES = ("enlarged", "least in place", "least square", "next standard", MOVED)
ENTRY_CHANGE = "entry centre"
LIKELIEST = "likeliest pairing"  # a guess


@dataclass(frozen=True, slots=True, kw_only=True)
class Fix:
    """One row of ``fixes.csv``.

    `before_m` and `after_m` are the inside along the axes of the box, or the centre of an entry on
    its wall from the middle; None where they aren't known or there is none.
    """

    box: ElementRef
    change: str
    pairing: str  # under which pairing of the entries it passes
    before_m: tuple[float | None, ...] | None = None
    after_m: tuple[float, ...] | None = None
    governing: tuple[str, ...] = ()  # rows that one step less would fail
    working: tuple[str, ...] = ()
    assumptions: tuple[str, ...] = ()
    message: str
    conduit: ElementRef | None = None  # of an entry
    wall: str = ""
