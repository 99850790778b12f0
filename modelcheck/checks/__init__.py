"""The checks: each joins a rule with what was read; one file a check.

What other stages call::

    check_box(case: BoxCase, rulebook: RuleBook, settings: Settings) -> tuple[Finding, ...]
    RuledBox.of(case: BoxCase, rulebook: RuleBook, settings: Settings) -> RuledBox
    why_no_row(case: BoxCase, settings: Settings) -> str
    check_run(run: Run, pulls: tuple[RunPull, ...] | None, rulebook: RuleBook, settings: Settings)
        -> tuple[Finding, ...]
    check_loose_ends(loose_ends: Sequence[LooseEnd], rulebook: RuleBook, settings: Settings)
        -> tuple[Finding, ...]
    bend_limit_deg(run: Run, rulebook: RuleBook, settings: Settings) -> float
    check_names() -> tuple[str, ...]
    explain(check: str, settings: Settings | None = None) -> Explanation
    size_answer(case: BoxCase, rulebook: RuleBook, settings: Settings) -> SizeAnswer

The rule book of the settings is ``modelcheck.rules.catalogue.rulebook(settings)``; the total for
``runs.csv`` is ``modelcheck.rules.bends.bend_total_deg(run, allowance_deg=...)`` with the
allowance of ``settings.rules``. An assumption that begins with `UNCHECKED` of
``modelcheck.rules.tables`` names a figure that was not read in a source.
"""

from modelcheck.checks.bends_between_pull_points import bend_limit_deg
from modelcheck.checks.every_check import (
    CHECKS,
    check_box,
    check_run,
    why_no_row,
)
from modelcheck.checks.explain import check_names, explain
from modelcheck.checks.ruled_box import RuledBox
from modelcheck.checks.run_continuity import check_loose_ends
from modelcheck.checks.size_answer import SizeAnswer, size_answer

__all__ = [
    "CHECKS",
    "RuledBox",
    "SizeAnswer",
    "bend_limit_deg",
    "check_box",
    "check_loose_ends",
    "check_names",
    "check_run",
    "explain",
    "size_answer",
    "why_no_row",
]
