"""What would make the boxes pass, each proposal put back through the check."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from itertools import chain

from modelcheck.checks import RuledBox
from modelcheck.layout.likeliest import likeliest_pairs
from modelcheck.layout.means import MARKET, Means
from modelcheck.layout.moved_entries import moving_fixes
from modelcheck.layout.smallest_box import size_fixes
from modelcheck.model.finding import BOX_CHECKS, Finding, Outcome
from modelcheck.model.fix import LIKELIEST, Fix
from modelcheck.model.pull import BoxCase, BoxPull
from modelcheck.model.report import Report
from modelcheck.model.settings import Settings
from modelcheck.pipeline.alike import Alike
from modelcheck.pipeline.project import Project
from modelcheck.pipeline.request import Progress
from modelcheck.rules.catalogue import RuleBook
from modelcheck.rules.standard_boxes import standard_sizes_m

EVERY = "every pairing"
_TWO = 2


def fixes_of(
    project: Project,
    report: Report,
    rulebook: RuleBook,
    *,
    of_all: bool,
    workers: int = 1,
    progress: Progress,
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
    workers : int
        Processes that share the boxes.
    progress : callable
        Told what is being done.
    """
    cases = {case.enclosure.ref.key: case for case in project.cases()}
    short = {each.subject.key for each in report.findings if is_short(each)}
    wanted = [
        row.enclosure.ref.key
        for row in report.boxes
        if row.enclosure.ref.key in short or (of_all and row.outcome != "none")
    ]
    system_of = {run.name: run.system for run in project.network.runs}
    means = means_of(rulebook, project.settings)
    progress(f"sizing {len(wanted)} boxes")
    asked = [
        (case, tuple(system_of.get(entry.run, "") for entry in case.entries))
        for case in (cases[key] for key in wanted)
    ]
    boxes = Alike(lambda case, systems: box_fixes(case, systems, means))
    return tuple(chain.from_iterable(boxes.rows(asked, workers=workers)))


def box_fixes(case: BoxCase, systems: Sequence[str], means: Means) -> tuple[Fix, ...]:
    """Propose what would make one box pass; where pairs aren't known, by the likeliest too.

    Parameters
    ----------
    case : BoxCase
    systems : sequence of str
        System of the run of each entry; empty where it has none.
    means : Means
    """
    pairing = pairing_of(case)
    stand = means.stand(case)
    fixes = size_fixes(stand, means, pairing=pairing)
    if pairing == EVERY:
        stand, pairing = means.stand(as_likely(case, systems)), LIKELIEST
        fixes += size_fixes(stand, means, pairing=pairing)
    return fixes + moving_fixes(stand, means, pairing=pairing)


def as_likely(case: BoxCase, systems: Sequence[str]) -> BoxCase:
    """Give a box the pulls of the likeliest pairing of its entries."""
    pulls = tuple(
        BoxPull(name=f"likely pull {number}", entries=(pair.first, pair.second))
        for number, pair in enumerate(likeliest_pairs(case, systems), start=1)
    )
    return replace(case, pulls=pulls)


def means_of(rulebook: RuleBook, settings: Settings) -> Means:
    """What proposals are made with and judged by, under `settings`."""
    own = settings.boxes_at_hand_m
    return Means(
        ruled=partial(RuledBox.of, rulebook=rulebook, settings=settings),
        unit="in" if settings.units == "in" else "mm",
        sizes_m=own or standard_sizes_m(),
        sizes_note="sizes of the settings" if own else MARKET,
    )


def pairing_of(case: BoxCase) -> str:
    """Say under which pairing of its entries a box is asked."""
    if any(pull.entries for pull in case.pulls or ()):
        return "as scheduled"
    return "the only one" if len(case.entries) == _TWO else EVERY


def is_short(finding: Finding) -> bool:
    """Whether a row asks for a change of its box."""
    return finding.check in BOX_CHECKS and finding.outcome is not Outcome.PASS
