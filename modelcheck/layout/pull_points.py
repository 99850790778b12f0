"""The fewest pull points that bring a run within its limits, and the box each needs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from math import inf

from modelcheck.layout.covering import Line, Place, Stuck, Window, even_places
from modelcheck.layout.run_path import RunPath, run_path
from modelcheck.model.pull_points import PullPoint, PullPointPlan, RunSection
from modelcheck.model.run import Run
from modelcheck.model.settings import Settings
from modelcheck.rules.bends import sum_of_bends
from modelcheck.rules.catalogue import RuleBook
from modelcheck.rules.pull_box import straight_pull_length
from modelcheck.rules.raceways import by_trade_size
from modelcheck.rules.requirement import Requirement, spell_length
from modelcheck.units import Unit, from_metres, to_metres

_BIG = "4 AWG or larger assumed: smaller conductors go by the volume of the box"
_MIDDLES = "lengths to the middles of the boxes"
_SLACK_M = 1e-6


def plan_pull_points(
    run: Run, code_limit_deg: float, book: RuleBook, settings: Settings
) -> PullPointPlan | None:
    """Plan the pull points of `run`; None if it is within its limits.

    The limits are that of the code and those of the settings, the lower of each.

    Parameters
    ----------
    run : Run
    code_limit_deg : float
        Most degrees of bend that the code lets it have. [deg]
    book : RuleBook
    settings : Settings
    """
    own_deg = settings.limits.pull_point_bends_deg
    limit_deg = code_limit_deg if own_deg is None else min(own_deg, code_limit_deg)
    limit_m = _limit_m(run, book, settings)
    bends_deg = _total_deg([bend.angle_deg for bend in run.bends], settings)
    if bends_deg <= limit_deg and run.length_m <= limit_m + _SLACK_M:
        return None
    plan = PullPointPlan(
        run=run,
        bends_deg=bends_deg,
        limit_deg=limit_deg,
        limit_m=None if limit_m == inf else limit_m,
    )
    path = run_path(run)
    if path is None or run.bend_conflict:
        problem = run.bend_conflict or "the run has no centre line to measure along"
        return replace(plan, problem=f"It can't be told where its bends lie: {problem}")
    return _planned(plan, path, _box(run, book, settings), book, settings)


def _planned(
    plan: PullPointPlan,
    path: RunPath,
    box: Requirement | None,
    book: RuleBook,
    settings: Settings,
) -> PullPointPlan:
    box_m = 0.0 if box is None else to_metres(box.value, box.unit)
    line = Line(
        length_m=path.stretches[-1].to_m,
        angles_deg=tuple(each.bend.angle_deg for each in path.bends),
        windows=tuple(_windows(path, box_m)),
        limit_deg=plan.limit_deg,
        limit_m=inf if plan.limit_m is None else plan.limit_m,
        total_deg=lambda angles: _total_deg(angles, settings),
    )
    assumptions = [_BIG, *([_MIDDLES] if plan.limit_m is not None else [])]
    if box is None:
        assumptions.append("trade size not known: room for the box isn't looked at")
    else:
        assumptions += box.rule.caveats
        assumptions += book.amendment_notes("straight-pull-length")
    plan = replace(
        plan,
        box_length_m=None if box is None else box_m,
        box_working="" if box is None else box.working_in(_unit(settings)),
        clause="" if box is None else box.rule.clause,
        assumptions=tuple(dict.fromkeys(assumptions)),
    )
    places = even_places(line)
    if isinstance(places, Stuck):
        return replace(plan, problem=_stuck(places, box_m, settings))
    return replace(
        plan,
        points=tuple(_point(path, place) for place in places),
        sections=_sections(line, places),
    )


def _total_deg(angles_deg: Sequence[float], settings: Settings) -> float:
    allowance_deg = settings.rules.bend_allowance_deg
    return sum_of_bends(angles_deg, allowance_deg=allowance_deg).total_deg


def _limit_m(run: Run, book: RuleBook, settings: Settings) -> float:
    """Lowest limit of length that holds for the run; infinite without one."""
    own_m = settings.limits.run_length_m
    is_telecom = bool(run.system) and run.system in settings.limits.telecom_systems
    telecom_m = book.limits["telecom-length"].value if is_telecom else inf
    return min(inf if own_m is None else own_m, telecom_m)


def _box(run: Run, book: RuleBook, settings: Settings) -> Requirement | None:
    """Length of the box for a straight pull through it; None without a trade size."""
    size = by_trade_size(run.size.trade_size_in)
    rule = book.factor("straight-pull-length")
    if size is None or run.size.conflict or rule is None:
        return None
    unit: Unit = "in" if settings.basis == "inch" else "mm"
    return straight_pull_length([size.nominal(unit)], unit=unit, rule=rule)


def _unit(settings: Settings) -> Unit:
    return "in" if settings.units == "in" else "mm"


def _windows(path: RunPath, box_m: float) -> list[Window]:
    """Where the middle of a box may lie: half its length clear of bends and ends."""
    return [
        Window(each.from_m + box_m / 2.0, each.to_m - box_m / 2.0, number)
        for number, each in enumerate(path.stretches)
        if each.length_m >= max(box_m, _SLACK_M)
    ]


def _point(path: RunPath, place: Place) -> PullPoint:
    stretch = path.stretches[place.window.bends_before]
    spot = path.spot(place.at_m, stretch)
    return PullPoint(
        element=spot.part.element,
        along_element_m=spot.along_element_m,
        along_run_m=place.at_m,
        at=spot.at,
        straight_m=(stretch.from_m, stretch.to_m),
    )


def _sections(line: Line, places: Sequence[Place]) -> tuple[RunSection, ...]:
    start, end = line.ends
    stops = [start, *places, end]
    return tuple(
        RunSection(
            bends_deg=line.total_deg(
                line.angles_deg[before.window.bends_before : after.window.bends_before]
            ),
            length_m=after.at_m - before.at_m,
        )
        for before, after in pairwise(stops)
    )


def _stuck(stuck: Stuck, box_m: float, settings: Settings) -> str:
    unit = _unit(settings)
    return (
        f"No straight stretch of {spell_length(from_metres(box_m, unit), unit)} lies within the"
        f" limits behind {spell_length(from_metres(stuck.from_m, unit), unit)} of the run:"
        " put a box in place of a bend, or take bends out"
    )
