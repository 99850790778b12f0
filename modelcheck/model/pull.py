"""Conductors and where they go."""

from __future__ import annotations

from dataclasses import dataclass

from modelcheck.model.element import Enclosure
from modelcheck.model.run import Entry, Run


@dataclass(frozen=True, slots=True, kw_only=True)
class Conductors:
    """Conductors of one kind in a pull."""

    size: str = ""  # as in conductors.csv: 250 kcmil, 4 AWG, 1/0 AWG; empty: not given
    insulation: str = ""
    count: int | None = None
    material: str = ""
    role: str = ""  # phase, neutral, bonding or empty


@dataclass(frozen=True, slots=True, kw_only=True)
class ScheduleRow:
    """One line of PULLS.csv."""

    line: int  # line of the file, the header is 1
    pull: str
    conductors: Conductors
    route: tuple[str, ...]  # references as written
    spliced_at: tuple[str, ...] = ()
    system: str = ""
    voltage_v: float | None = None
    trade_size_in: str = ""  # the scheduled raceway, from either column
    metric_designator: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxPull:
    """What one pull does in one box."""

    name: str
    entries: tuple[int, ...]  # places in `BoxCase.entries`; one: it begins or ends here
    conductors: tuple[Conductors, ...] = ()
    spliced: bool = False  # spliced in this box although it goes on
    is_spare: bool = False  # count 0: shares conductors with nothing
    system: str = ""
    voltage_v: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxCase:
    """One box with its entries and pulls: all that the checks of a box need."""

    enclosure: Enclosure
    entries: tuple[Entry, ...] = ()
    pulls: tuple[BoxPull, ...] | None = None  # None: which entries share conductors isn't known
    doubt: str = ""  # which entries may be missing: then nothing of the box passes


@dataclass(frozen=True, slots=True, kw_only=True)
class RunPull:
    """One pull that goes through a run."""

    name: str
    conductors: tuple[Conductors, ...] = ()
    trade_size_in: str = ""  # scheduled raceway
    system: str = ""
    voltage_v: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PullLegs:
    """One pull with the runs that it goes through, in order."""

    pull: RunPull
    legs: tuple[tuple[Run, int], ...]  # each run and the end it is come into by, 0 the start
