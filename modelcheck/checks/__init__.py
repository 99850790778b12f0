"""The checks: each joins a rule with what was read; one file a check.

What other stages call::

    check_box(case: BoxCase, rulebook: RuleBook, settings: Settings) -> tuple[Finding, ...]
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
