"""What touches what: entries, runs and loose ends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from modelcheck.model.element import Bend, ElementRef, Point, RacewaySize

EndKind = Literal["box", "branch", "equipment", "cap", "meant", "open"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One place where a conduit meets a box."""

    box: ElementRef
    conduit: ElementRef  # the segment or bend that enters, not its connector
    wall: str
    u_m: float | None  # centre on the wall from its middle; None: not placed yet
    v_m: float | None
    size: RacewaySize
    run: str = ""
    at: Point = (0.0, 0.0, 0.0)
    is_cable: bool = False
    damage: str = ""  # of the conduit
    assumptions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunEnd:
    """What a run ends at."""

    kind: EndKind
    point: Point
    ref: ElementRef | None = None  # what ends it; None for an open, capped or meant end


@dataclass(frozen=True, slots=True, kw_only=True)
class RunPart:
    """One element of a run, or what of it lies outside the boxes, as the run goes through it."""

    element: ElementRef
    is_coupling: bool  # a straight fitting: coupling, connector, sleeve
    from_m: float  # along the run; parts that overlap share a length, those with a gap leave one
    to_m: float
    points: tuple[Point, ...]  # centre line in the order of the run, arcs as chords
    bends: tuple[Bend, ...] = ()  # in the order of the run, with a mitre at its far end


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """The conduit between two neighbouring pull points or ends.

    Read from the end whose outermost element's GlobalId sorts first.
    """

    name: str
    elements: tuple[ElementRef, ...]
    start: RunEnd
    end: RunEnd
    size: RacewaySize  # of its segments; where they differ the smallest, and `assumptions` says so
    raceway_types: tuple[str, ...] = ()  # every type in it
    length_m: float = 0.0
    bends: tuple[Bend, ...] = ()
    centreline: tuple[Point, ...] = ()
    parts: tuple[RunPart, ...] = ()
    bend_conflict: str = ""  # a sentence, where two readings of a bend contradict each other
    system: str = ""
    damage: str = ""  # of its conduits
    assumptions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LooseEnd:
    """An open end, or one of two ends that nearly meet."""

    element: ElementRef
    point: Point
    other: ElementRef | None = None  # the conduit or box it nearly meets
    gap_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Network:
    """Everything that tracing found."""

    runs: tuple[Run, ...] = ()
    entries: tuple[Entry, ...] = ()
    loose_ends: tuple[LooseEnd, ...] = ()
    assumptions: tuple[str, ...] = ()
