"""Rows about distances as the tables take them, with what they would be under other readings."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from modelcheck.checks.box_view import BoxView
from modelcheck.checks.distance_row import (
    Decision,
    DistanceRow,
    RowsOf,
    Words,
    decisions,
    worst_outcomes,
)
from modelcheck.checks.marking import as_marked
from modelcheck.checks.wording import distinct, message_of
from modelcheck.model.finding import Finding, Outcome
from modelcheck.model.settings import RuleSwitches
from modelcheck.rules.requirement import MEASURING_TOLERANCE_MM
from modelcheck.units import Unit, from_metres

_VERBS = {
    Outcome.PASS: "passes",
    Outcome.FAIL: "fails",
    Outcome.NEEDS_INPUT: "could not be decided",
}
_FLOAT_NOISE_M = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One reading of a disputed point."""

    point: str  # D1 …
    phrase: str  # what it takes for granted
    chosen: Callable[[RuleSwitches], RuleSwitches]  # the switches with this reading chosen
    matters: Callable[[BoxView], bool] = lambda _: True  # whether it can change a row of a box
    regroups: bool = False  # whether it changes which edges a pull has


def judge(box: BoxView, rows_of: RowsOf, readings: Sequence[Reading] = ()) -> tuple[Finding, ...]:
    """Findings of one check, with what each would be under the readings not chosen."""
    every = tuple(rows_of(box))
    decided = decisions(every)
    if not decided:
        return ()
    keys = {each.row.key for each in decided}
    rows = [row for row in every if row.key in keys]
    others = [
        (reading, _outcomes_under(reading, rules, rows, rows_of, box))
        for reading in readings
        if (rules := reading.chosen(box.switches)) != box.switches and reading.matters(box)
    ]
    other_unit: Unit = "mm" if box.unit == "in" else "in"
    sure = {each.row.key for each in decided if each.outcome is not Outcome.NEEDS_INPUT}
    in_other_unit = worst_outcomes(
        (row.key, row.outcome_under(other_unit, box.switches)) for row in rows if row.key in sure
    )
    findings = []
    for decision in decided:
        key = decision.row.key
        notes = [
            f"{verb} if {reading.phrase} ({reading.point})"
            for reading, outcomes in others
            if (verb := _changed_verb(decision.outcome, outcomes.get(key)))
        ]
        basis = _basis_note(decision.outcome, in_other_unit.get(key), box.unit)
        findings.append(finding_of(decision, box, notes=(*basis, *notes)))
    return tuple(findings)


def _outcomes_under(
    reading: Reading,
    rules: RuleSwitches,
    rows: Iterable[DistanceRow],
    rows_of: RowsOf,
    box: BoxView,
) -> dict[str, Outcome]:
    """Outcomes by key under another reading."""
    if reading.regroups:
        rows = rows_of(box.under(rules))
    return worst_outcomes((row.key, row.outcome_under(box.unit, rules)) for row in rows)


def _changed_verb(chosen: Outcome, other: Outcome | None) -> str:
    """What becomes of a row under another reading; empty if nothing changes."""
    if other is None:
        return "is not asked" if chosen is Outcome.FAIL else ""
    return "" if other is chosen else _VERBS[other]


def _basis_note(chosen: Outcome, other: Outcome | None, unit: Unit) -> tuple[str, ...]:
    metric, inch = (chosen, other) if unit == "mm" else (other, chosen)
    if inch is Outcome.PASS and metric is Outcome.FAIL:
        return ("passes by trade size in inches only",)
    if metric is Outcome.PASS and inch is Outcome.FAIL:
        return ("passes by metric designator only",)
    return ()


def finding_of(decision: Decision, box: BoxView, *, notes: Sequence[str]) -> Finding:
    """Write a decision as the tables take it."""
    row, requirement, units = decision.row, decision.requirement, box.units
    words = row.words()
    provided_m = None if decision.provided_m is None else decision.provided_m[0]
    clause = row.rule.clause if requirement is None else requirement.rule.clause
    required = None if requirement is None else requirement.value_in(units)
    provided = None if provided_m is None else from_metres(provided_m, units)
    finding = Finding(
        check=row.check,
        outcome=decision.outcome,
        subject=box.box.ref,
        elements=box.conduits(row.entries),
        required=required,
        provided=provided,
        unit=units if requirement is not None or provided_m is not None else "",
        code=box.book.code,
        edition=box.book.edition,
        clause=clause,
        working="" if requirement is None else requirement.working_in(units),
        assumptions=distinct([*_assumptions(decision, words, box), *notes]),
        message=message_of(
            decision.outcome,
            measure=words.measure,
            provided=provided,
            required=required,
            unit=units,
            clause=box.book.named(clause),
            reasons=decision.reasons(words),
            remedy=words.remedy,
        ),
        at=box.box.origin,
    )
    marked = box.marked
    if marked is None or decision.outcome is Outcome.PASS:
        return finding
    if marked.covers:
        return as_marked(finding, marked, box.book)
    return replace(finding, assumptions=distinct([*finding.assumptions, marked.note]))


def _assumptions(decision: Decision, words: Words, box: BoxView) -> list[str]:
    row, requirement = decision.row, decision.requirement
    seen = [box.entries[place] for place in row.entries]
    made_by = () if row.weighed is None else row.weighed.made_by
    made = [g.note for g in row.groups if g.note and not g.edges.isdisjoint(made_by)]
    return [
        *box.box.assumptions,
        *(note for entry in seen for note in entry.assumptions),
        *made,
        *words.notes,
        *_tolerance_note(decision),
        *(() if requirement is None else requirement.rule.caveats),
        *box.book.amendment_notes(row.check),
    ]


def _tolerance_note(decision: Decision) -> tuple[str, ...]:
    requirement, provided_m = decision.requirement, decision.provided_m
    if decision.outcome is not Outcome.PASS or requirement is None or provided_m is None:
        return ()
    if requirement.value_m <= provided_m[0] + _FLOAT_NOISE_M:
        return ()
    return (f"short by no more than the tolerance of {MEASURING_TOLERANCE_MM:g} mm",)
