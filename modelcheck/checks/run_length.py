"""Length of a run against a limit that the settings give.

Why: no code limits the length between pull points, but long runs are hard to pull; 30 m (100 ft)
is a common company standard and the guideline for telecommunications pathways.

Formula: length along the centre line, bends included; the limit itself passes.

Disputed: none.
"""

from __future__ import annotations

from modelcheck.checks.run_view import RunView, run_finding
from modelcheck.model.finding import Finding, Outcome
from modelcheck.rules.requirement import MEASURING_TOLERANCE_MM, meets, spell_length
from modelcheck.rules.tables import TableRow
from modelcheck.units import from_metres, to_metres

CHECK = "run-length"


def findings(view: RunView) -> tuple[Finding, ...]:
    """One row a run that a limit holds for."""
    held = _limit(view)
    if held is None:
        return ()
    limit_m, rule = held
    is_within = meets(limit_m, view.run.length_m, tolerance=to_metres(MEASURING_TOLERANCE_MM, "mm"))
    outcome = Outcome.PASS if is_within else Outcome.FAIL
    if is_within and view.unsound_end:
        outcome = Outcome.NEEDS_INPUT
    limit, length = (from_metres(each, view.units) for each in (limit_m, view.run.length_m))
    return (
        run_finding(
            view,
            check=CHECK,
            outcome=outcome,
            rule=rule,
            required=limit,
            provided=length,
            unit=view.units,
            working=f"{spell_length(length, view.units)} <= {spell_length(limit, view.units)}"
            if is_within
            else f"{spell_length(length, view.units)} > {spell_length(limit, view.units)}",
            assumptions=(*view.run.assumptions, *rule.caveats),
            message=_message(view, outcome, length, limit),
        ),
    )


def _limit(view: RunView) -> tuple[float, TableRow] | None:
    """Lower of the limits that hold for the run, and where it comes from."""
    limits: list[tuple[float, TableRow]] = []
    if view.settings.limits.run_length_m is not None:
        limits.append((view.settings.limits.run_length_m, view.book.clauses[CHECK]))
    if view.is_telecom:
        telecom = view.book.limits["telecom-length"]
        limits.append((telecom.value, telecom))
    return min(limits, key=lambda limit: limit[0], default=None)


def _message(view: RunView, outcome: Outcome, length: float, limit: float) -> str:
    is_long = f"The run is {spell_length(length, view.units)} long"
    most = spell_length(limit, view.units)
    if outcome is Outcome.FAIL:
        return f"{is_long}, over the limit of {most}: add a {view.book.words.pull_point}"
    if outcome is Outcome.PASS:
        return f"{is_long}, within the limit of {most}: nothing to do"
    return f"{is_long} as far as it is drawn, but it {view.unsound_end}: connect it to know"
