"""Every check in the order of the contract, run on one box or one run."""

from __future__ import annotations

from collections.abc import Callable
from types import ModuleType

from modelcheck.checks import (
    angle_pull_distance,
    bend_radius,
    bends_between_pull_points,
    box_volume,
    conduit_body,
    conduit_fill,
    cover_depth,
    entry_spacing,
    run_continuity,
    run_length,
    straight_pull_length,
)
from modelcheck.checks.box_view import BoxView, see_box
from modelcheck.checks.damage import damages_of, doubted, held_back
from modelcheck.checks.run_view import RunView
from modelcheck.model.finding import Finding
from modelcheck.model.pull import BoxCase, RunPull
from modelcheck.model.run import Run
from modelcheck.model.settings import Settings
from modelcheck.rules.catalogue import RuleBook

CHECKS: tuple[ModuleType, ...] = (
    straight_pull_length,
    angle_pull_distance,
    entry_spacing,
    cover_depth,
    box_volume,
    bends_between_pull_points,
    run_continuity,
    bend_radius,
    run_length,
    conduit_fill,
)
FindingsOf = Callable[[BoxView], tuple[Finding, ...]]
_OF_A_BOX: tuple[FindingsOf, ...] = (
    straight_pull_length.findings,
    angle_pull_distance.findings,
    entry_spacing.findings,
    cover_depth.findings,
    box_volume.findings,
)
_OF_A_RUN: tuple[Callable[[RunView], tuple[Finding, ...]], ...] = (
    bends_between_pull_points.findings,
    bend_radius.findings,
    run_length.findings,
    conduit_fill.findings,
)


def check_box(case: BoxCase, rulebook: RuleBook, settings: Settings) -> tuple[Finding, ...]:
    """Check one box.

    Parameters
    ----------
    case : BoxCase
        The box, its entries and its pulls, or None for pulls that aren't known.
    rulebook : RuleBook
        Of the same settings.
    settings : Settings
    """
    box = see_box(case, rulebook, settings)
    if not case.entries or box.leaves_out(box.box.system):
        return ()
    if conduit_body.is_unmeasured(box):
        rows = [conduit_body.finding(box)]
    else:
        rows = [finding for findings in _OF_A_BOX for finding in findings(box)]
    return doubted(held_back(rows, damages_of(case)), case.doubt)


def why_no_row(case: BoxCase, settings: Settings) -> str:
    """Say why `check_box` gave no row for a box."""
    if not case.entries:
        return "no entry: no conduit meets this box"
    if case.enclosure.system and case.enclosure.system in settings.exclude_systems:
        return f"left out: its system is {case.enclosure.system}"
    if len(case.entries) == 1:
        return "one entry: no pull goes through this box"
    if case.pulls is not None:
        return "no pull in it makes a row: none is of 4 AWG or larger, and no volume is asked"
    return "every pairing of its entries passes, and none makes a row in all of them"


def check_run(
    run: Run, pulls: tuple[RunPull, ...] | None, rulebook: RuleBook, settings: Settings
) -> tuple[Finding, ...]:
    """Check one run.

    Parameters
    ----------
    run : Run
    pulls : tuple of RunPull or None
        Pulls that go through it; None without a schedule.
    rulebook : RuleBook
        Of the same settings.
    settings : Settings
    """
    view = RunView(run=run, pulls=pulls, book=rulebook, settings=settings)
    rows = (finding for findings in _OF_A_RUN for finding in findings(view))
    return held_back(rows, [run.damage])
