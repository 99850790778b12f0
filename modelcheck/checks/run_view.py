"""One run as its checks see it."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import dist

from modelcheck.model.element import Point
from modelcheck.model.finding import Finding, Outcome
from modelcheck.model.pull import RunPull
from modelcheck.model.run import Run
from modelcheck.model.settings import Settings
from modelcheck.rules.catalogue import RuleBook
from modelcheck.rules.tables import TableRow
from modelcheck.units import Unit

_UNSOUND = {"open": "ends open", "branch": "ends at a fitting with three or more ends"}


@dataclass(frozen=True, slots=True, kw_only=True)
class RunView:
    """One run with its pulls and the rules it is under."""

    run: Run
    pulls: tuple[RunPull, ...] | None  # None: no schedule
    book: RuleBook
    settings: Settings

    @property
    def units(self) -> Unit:
        """Unit of the results."""
        return "in" if self.settings.units == "in" else "mm"

    @property
    def is_telecom(self) -> bool:
        """Whether the settings hold its system to the limits of telecommunications pathways."""
        return bool(self.run.system) and self.run.system in self.settings.limits.telecom_systems

    @property
    def unsound_end(self) -> str:
        """Say how an end keeps the run from passing; empty if both ends are sound."""
        kinds = [end.kind for end in (self.run.start, self.run.end) if end.kind in _UNSOUND]
        return _UNSOUND[kinds[0]] if kinds else ""


def run_finding(
    view: RunView,
    *,
    check: str,
    outcome: Outcome,
    rule: TableRow,
    required: float | None,
    provided: float | None,
    unit: str,
    working: str,
    assumptions: tuple[str, ...],
    message: str,
    at: Point | None = None,
) -> Finding:
    """Write what a check found on a run as the tables take it."""
    return Finding(
        check=check,
        outcome=outcome,
        subject=view.run.elements[0],
        elements=view.run.elements,
        required=required,
        provided=provided,
        unit=unit,
        code=view.book.code,
        edition=view.book.edition,
        clause=rule.clause,
        working=working,
        assumptions=tuple(dict.fromkeys(assumptions)),
        message=message,
        at=middle_of(view.run) if at is None else at,
    )


def middle_of(run: Run) -> Point:
    """Point half way along the run."""
    points = run.centreline if len(run.centreline) > 1 else (run.start.point, run.end.point)
    steps_m = [dist(start, end) for start, end in pairwise(points)]
    left_m = sum(steps_m) / 2
    for start, end, length_m in zip(points[:-1], points[1:], steps_m, strict=True):
        if left_m <= length_m:
            share = left_m / length_m if length_m else 0.0
            x, y, z = (a + share * (b - a) for a, b in zip(start, end, strict=True))
            return (x, y, z)
        left_m -= length_m
    return points[-1]
