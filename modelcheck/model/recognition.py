"""What each element of the models was taken for, and what that rests on."""

from __future__ import annotations

from dataclasses import dataclass, field

from modelcheck.model.element import ElementRef, RacewaySize


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortfall:
    """What could not be told of an element, and what would tell it."""

    reason: str
    remedy: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadElement:
    """One row of ``elements.csv``."""

    ref: ElementRef
    kind: str  # segment, fitting, cap, box, conduit-body, equipment, not-conduit …
    kind_from: str  # select, part, class, predefined type, type, name, set or none
    is_understood: bool = True  # False: it looked like raceway or box but is not used
    ends: int | None = None  # of raceway only
    ends_from: str = ""  # body, axis or port; several joined by ;
    size: RacewaySize = field(default_factory=RacewaySize)
    size_from: str = ""  # of the raceway's size, or of the inside size of a box
    cover: tuple[str, ...] = ()
    cover_from: str = ""
    shortfalls: tuple[Shortfall, ...] = ()
