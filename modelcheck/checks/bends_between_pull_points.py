"""Total of the bends along a run between two neighbouring pull points.

Why: the pulling tension grows with every bend; past the limit the insulation is at risk.

Formula: the sum of all bends, of every raceway type in the run, each drawn angle that is near to a
standard elbow taken for it; the limit itself passes. Only a box is a pull point: a run that ends
open or at a branching fitting can't pass.

Disputed: D14 angles within half a degree of a standard elbow are taken for it, any other as
measured. D15 flexible lengths, offsets, saddles and kicks count by their drawn angles; what isn't
drawn by an allowance for each end (``bend_allowance_deg``).
"""

from __future__ import annotations

from modelcheck.checks.bend_radius import radius_notes
from modelcheck.checks.run_view import RunView, run_finding
from modelcheck.model.finding import Finding, Outcome
from modelcheck.model.run import Run
from modelcheck.model.settings import Settings
from modelcheck.rules.bends import BendLimit, sum_of_bends
from modelcheck.rules.catalogue import RuleBook
from modelcheck.rules.limits import Limit

CHECK = "bends-between-pull-points"


def findings(view: RunView) -> tuple[Finding, ...]:
    """One row a run."""
    allowance_deg = view.settings.rules.bend_allowance_deg
    total = sum_of_bends([bend.angle_deg for bend in view.run.bends], allowance_deg=allowance_deg)
    limit_deg = bend_limit_deg(view.run, view.book, view.settings)
    rule = _rule(view.run, view.book, view.settings)
    outcome, reason = _judged(view, total.total_deg, limit_deg)
    assumptions = [
        *view.run.assumptions,
        *total.taken,
        *_notes(view, total.total_deg, limit_deg),
        *radius_notes(view),
        *rule.caveats,
        *view.book.amendment_notes(CHECK),
    ]
    return (
        run_finding(
            view,
            check=CHECK,
            outcome=outcome,
            rule=rule,
            required=limit_deg,
            provided=total.total_deg,
            unit="deg",
            working=total.working,
            assumptions=tuple(assumptions),
            message=_message(view, outcome, total.total_deg, limit_deg, reason),
        ),
    )


def bend_limit_deg(run: Run, book: RuleBook, settings: Settings) -> float:
    """Most degrees of bend that `run` may have.

    Parameters
    ----------
    run : Run
    book : RuleBook
    settings : Settings
    """
    rule = _rule(run, book, settings)
    return rule.value if isinstance(rule, Limit) else rule.limit_deg


def _rule(run: Run, book: RuleBook, settings: Settings) -> BendLimit | Limit:
    by_code, telecom = book.bend_limit(run.raceway_types), book.limits["telecom-bends"]
    is_telecom = bool(run.system) and run.system in settings.limits.telecom_systems
    return telecom if is_telecom and telecom.value < by_code.limit_deg else by_code


def _judged(view: RunView, total_deg: float, limit_deg: float) -> tuple[Outcome, str]:
    if view.run.bend_conflict:
        return Outcome.NEEDS_INPUT, f"settle a bend: {view.run.bend_conflict}"
    if total_deg > limit_deg:
        return Outcome.FAIL, ""
    if view.unsound_end:
        return Outcome.NEEDS_INPUT, f"it {view.unsound_end}: connect it, or name the end as meant"
    return Outcome.PASS, ""


def _notes(view: RunView, total_deg: float, limit_deg: float) -> list[str]:
    notes = []
    near = view.book.limits["near-bend-limit"]
    if limit_deg - near.value <= total_deg <= limit_deg:
        notes.append(
            f"within {near.value:g} degrees of the limit: a bend that isn't drawn would exceed it"
        )
    if len(set(view.run.raceway_types)) > 1:
        notes.append("the bends of all raceway types of the run are added up")
    return notes


def _message(
    view: RunView, outcome: Outcome, total_deg: float, limit_deg: float, reason: str
) -> str:
    points = f"{view.book.words.pull_point}s"
    clause = view.book.named(_rule(view.run, view.book, view.settings).clause)
    bends = f"The run bends {total_deg:g} degrees between {points}"
    if outcome is Outcome.FAIL:
        over = round(total_deg - limit_deg, 1)
        return (
            f"{bends}, {over:g} over the {limit_deg:g} of {clause}: add a"
            f" {view.book.words.pull_point} or take bends out"
        )
    if outcome is Outcome.PASS:
        return f"{bends}, within the {limit_deg:g} of {clause}: nothing to do"
    return f"{bends} as far as it is known, against the {limit_deg:g} of {clause}: {reason}"
