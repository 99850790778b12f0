"""What would make the boxes pass, each proposal put back through the check."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from modelcheck.checks import check_box
from modelcheck.checks.demands import demands_of
from modelcheck.layout.smallest_box import MARKET, Means, size_fixes
from modelcheck.model.finding import BOX_CHECKS, Finding, Outcome
from modelcheck.model.fix import Fix
from modelcheck.model.pull import BoxCase
from modelcheck.model.report import Report
from modelcheck.model.settings import Settings
from modelcheck.pipeline.project import Progress, Project
from modelcheck.rules.catalogue import RuleBook
from modelcheck.rules.standard_boxes import standard_sizes_m

_TWO = 2


def fixes_of(
    project: Project, report: Report, rulebook: RuleBook, *, of_all: bool, progress: Progress
) -> tuple[Fix, ...]:
    """Propose what would make boxes pass, in the order of the boxes of `report`.

    Parameters
    ----------
    project : Project
    report : Report
        Of the same project.
    rulebook : RuleBook
    of_all : bool
        For the boxes that pass too, not only for those with a row that doesn't.
    progress : callable
        Told what is being done.
    """
    cases = {case.enclosure.ref.key: case for case in project.cases()}
    short = {each.subject.key for each in report.findings if _is_short(each)}
    wanted = [
        row.enclosure.ref.key
        for row in report.boxes
        if row.enclosure.ref.key in short or (of_all and row.outcome != "none")
    ]
    means = means_of(rulebook, project.settings)
    fixes: list[Fix] = []
    for number, key in enumerate(wanted, start=1):
        progress(f"sizing box {number} of {len(wanted)}")
        fixes.extend(box_fixes(cases[key], means))
    return tuple(fixes)


def box_fixes(case: BoxCase, means: Means) -> Sequence[Fix]:
    """Propose what would make one box pass."""
    return size_fixes(case, means, pairing=pairing_of(case))


def means_of(rulebook: RuleBook, settings: Settings) -> Means:
    """What proposals are made with and judged by, under `settings`."""
    own = settings.boxes_at_hand_m
    return Means(
        asks=partial(demands_of, rulebook=rulebook, settings=settings),
        verdict=partial(check_box, rulebook=rulebook, settings=settings),
        unit="in" if settings.units == "in" else "mm",
        sizes_m=own or standard_sizes_m(),
        sizes_note="sizes of the settings" if own else MARKET,
    )


def pairing_of(case: BoxCase) -> str:
    """Say under which pairing of its entries a box is asked."""
    if any(pull.entries for pull in case.pulls or ()):
        return "as scheduled"
    return "the only one" if len(case.entries) == _TWO else "every pairing"


def _is_short(finding: Finding) -> bool:
    return finding.check in BOX_CHECKS and finding.outcome is not Outcome.PASS
