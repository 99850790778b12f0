"""One line of the comparison of a schedule with the model."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from modelcheck.model.element import ElementRef, Point


class Told(StrEnum):
    """What a line tells, the gravest first."""

    SMALLER = "modelled-smaller"
    LARGER = "modelled-larger"
    UNKNOWN_SIZE = "size-unknown"
    GAP = "gap"
    OPEN = "open-end"
    UNUSED = "unused"
    TRACED = "traced"


@dataclass(frozen=True, slots=True, kw_only=True)
class ScheduleLine:
    """One thing told of a pull, a run, or both."""

    told: Told
    pull: str = ""
    run: str = ""  # name; of a traced pull all of them, ; between
    model: str = ""
    elements: tuple[ElementRef, ...] = ()
    scheduled_in: str = ""  # trade sizes
    modelled_in: str = ""
    start: ElementRef | None = None  # what a traced pull goes from and to
    end: ElementRef | None = None
    length_m: float | None = None  # of the raceway
    gap_m: float | None = None
    conductor_count: int | None = None
    wire_each_m: float | None = None
    wire_total_m: float | None = None
    at: Point
    message: str
    assumptions: tuple[str, ...] = ()
