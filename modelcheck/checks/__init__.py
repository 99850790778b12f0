"""The checks: each joins a rule with what was read; one file a check.

What other stages call::

    check_box(case: BoxCase, rulebook: RuleBook, settings: Settings) -> tuple[Finding, ...]
    why_no_row(case: BoxCase, settings: Settings) -> str
    check_run(run: Run, pulls: tuple[RunPull, ...] | None, rulebook: RuleBook, settings: Settings)
        -> tuple[Finding, ...]
    check_loose_ends(loose_ends: Sequence[LooseEnd], rulebook: RuleBook, settings: Settings)
        -> tuple[Finding, ...]
    bend_limit_deg(run: Run, rulebook: RuleBook, settings: Settings) -> float
    explain(check: str, settings: Settings) -> Explanation
    size_answer(case: BoxCase, settings: Settings) -> SizeAnswer

The rule book of the settings is ``modelcheck.rules.catalogue.rulebook(settings)``; the total for
``runs.csv`` is ``modelcheck.rules.bends.bend_total_deg(run, allowance_deg=...)`` with the
allowance of ``settings.rules``.
"""

from modelcheck.checks.bends_between_pull_points import bend_limit_deg
from modelcheck.checks.every_check import CHECKS, check_box, check_run, why_no_row
from modelcheck.checks.run_continuity import check_loose_ends

__all__ = [
    "CHECKS",
    "bend_limit_deg",
    "check_box",
    "check_loose_ends",
    "check_run",
    "why_no_row",
]
