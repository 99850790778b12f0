"""One row about a distance in a box: what it asks, what there is, and the finding it comes to."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from modelcheck.checks.box_view import TOLERANCE_M, BoxView
from modelcheck.checks.marking import as_marked, marking_of
from modelcheck.checks.pairing import Asked, Edge, Group, Weighed, weigh
from modelcheck.checks.wording import distinct, message_of, pairing_reason
from modelcheck.model.finding import Finding, Outcome
from modelcheck.model.settings import RuleSwitches
from modelcheck.rules.requirement import MEASURING_TOLERANCE_MM, Requirement
from modelcheck.rules.tables import TableRow
from modelcheck.units import Unit, from_metres, to_metres

_VERBS = {
    Outcome.PASS: "passes",
    Outcome.FAIL: "fails",
    Outcome.NEEDS_INPUT: "could not be decided",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """What one edge asks, at least and at most; None where a size is missing."""

    least: Requirement | None
    most: Requirement | None

    @classmethod
    def sure(cls, requirement: Requirement | None) -> Demand:
        """What is asked without doubt."""
        return cls(least=requirement, most=requirement)

    @property
    def asked(self) -> Asked:
        """The same in metres; anything from nothing to no limit where it isn't known."""
        return Asked(
            least_m=0.0 if self.least is None else to_metres(self.least.value, self.least.unit),
            most_m=float("inf")
            if self.most is None
            else to_metres(self.most.value, self.most.unit),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class DistanceRow:
    """A row that some pairing may make."""

    key: str  # tells it from the other rows of its check in this box
    check: str
    rule: TableRow
    entries: tuple[int, ...]  # that the finding is about
    demands: Mapping[Edge, Demand]  # of the edges that make the row
    provided_m: tuple[float, float] | None  # at least and at most
    measure: str  # what is measured, as the message begins
    remedy: str  # what helps if it is too short
    axis: int | None = None  # that the distance is inside along
    missing: tuple[str, ...] = ()  # what must be told before it can be decided
    unsure: str = ""  # what would settle a demand or a distance that is known in bounds only
    lifted_by: str = ""  # why a failure isn't certain
    notes: tuple[str, ...] = ()
    groups: tuple[Group, ...] | None = None  # in place of those of the box


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """A row with its outcome."""

    row: DistanceRow
    outcome: Outcome
    requirement: Requirement | None  # the largest that a possible pairing asks
    weighed: Weighed
    reasons: tuple[str, ...]  # why it needs input


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One reading of a disputed point."""

    point: str  # D1 …
    phrase: str  # what it takes for granted
    chosen: Callable[[RuleSwitches], RuleSwitches]  # the switches with this reading chosen
    matters: Callable[[BoxView], bool] = lambda _: True  # whether it can change a row of a box


RowsOf = Callable[[BoxView, Unit], Iterable[DistanceRow]]


def decide(row: DistanceRow, box: BoxView) -> Decision | None:
    """Judge `row` under every pairing; None if it doesn't exist, or exists and passes in some."""
    groups = box.groups if row.groups is None else row.groups
    asked = {pair: demand.asked for pair, demand in row.demands.items()}
    weighed = weigh(groups, asked, provided_m=row.provided_m, tolerance_m=TOLERANCE_M)
    if weighed is None:
        return None
    doubts = [g.doubt for g in groups if g.doubt and not g.edges.isdisjoint(row.demands)]
    missing = distinct([*row.missing, *doubts])
    if weighed.outcome is None and not missing:
        return None
    outcome, reasons = weighed.outcome or Outcome.NEEDS_INPUT, missing
    if missing:
        outcome = Outcome.NEEDS_INPUT
    elif outcome is Outcome.FAIL and row.lifted_by:
        outcome, reasons = Outcome.NEEDS_INPUT, (row.lifted_by,)
    elif outcome is Outcome.NEEDS_INPUT:
        reasons = _reasons(row, box, weighed)
    marked = marking_of(box.case)
    if marked is not None and marked.missing and outcome is not Outcome.PASS:
        outcome, reasons = Outcome.NEEDS_INPUT, (*reasons, marked.missing)
    return Decision(
        row=row,
        outcome=outcome,
        requirement=_governing(row, weighed),
        weighed=weighed,
        reasons=reasons,
    )


def judge(box: BoxView, rows_of: RowsOf, readings: Sequence[Reading] = ()) -> tuple[Finding, ...]:
    """Findings of one check, with what each would be under the readings not chosen."""
    decided = decisions(box, rows_of)
    if not decided:
        return ()
    others = [
        (reading, _outcomes(reread, rows_of))
        for reading in readings
        if (reread := _reread(box, reading)) is not None
    ]
    other_unit: Unit = "mm" if box.unit == "in" else "in"
    in_other_unit = _outcomes(box, rows_of, unit=other_unit)
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


def without_readings(box: BoxView, rows_of: RowsOf) -> tuple[Finding, ...]:
    """Findings of one check under the chosen readings: their outcomes are those of `judge`."""
    return tuple(finding_of(decision, box) for decision in decisions(box, rows_of))


def _changed_verb(chosen: Outcome, other: Outcome | None) -> str:
    """What becomes of a row under another reading; empty if nothing changes."""
    if other is None:
        return "is not asked" if chosen is Outcome.FAIL else ""
    return "" if other is chosen else _VERBS[other]


def decisions(box: BoxView, rows_of: RowsOf) -> tuple[Decision, ...]:
    """Rows of one check that exist, with their outcomes."""
    decided = (decide(row, box) for row in rows_of(box, box.unit))
    return tuple(each for each in decided if each is not None)


def finding_of(decision: Decision, box: BoxView, *, notes: Sequence[str] = ()) -> Finding:
    """Write a decision as the tables take it."""
    row, requirement, units = decision.row, decision.requirement, box.units
    provided_m = None if row.provided_m is None else row.provided_m[0]
    finding = Finding(
        check=row.check,
        outcome=decision.outcome,
        subject=box.box.ref,
        elements=box.conduits(row.entries),
        required=None if requirement is None else requirement.value_in(units),
        provided=None if provided_m is None else from_metres(provided_m, units),
        unit=units if requirement is not None or provided_m is not None else "",
        code=box.book.code,
        edition=box.book.edition,
        clause=row.rule.clause if requirement is None else requirement.rule.clause,
        working="" if requirement is None else requirement.working_in(units),
        assumptions=distinct([*_assumptions(decision, box), *notes]),
        message=_message(decision, box),
        at=box.box.origin,
    )
    marked = marking_of(box.case)
    if marked is None or decision.outcome is Outcome.PASS:
        return finding
    if marked.covers:
        return as_marked(finding, marked, box.book)
    return replace(finding, assumptions=distinct([*finding.assumptions, marked.note]))


def _message(decision: Decision, box: BoxView) -> str:
    row, requirement, units = decision.row, decision.requirement, box.units
    return message_of(
        decision.outcome,
        measure=row.measure,
        provided=None if row.provided_m is None else from_metres(row.provided_m[0], units),
        required=None if requirement is None else requirement.value_in(units),
        unit=units,
        clause=box.book.named(row.rule.clause if requirement is None else requirement.rule.clause),
        reasons=decision.reasons,
        remedy=row.remedy,
    )


def _assumptions(decision: Decision, box: BoxView) -> list[str]:
    row, requirement = decision.row, decision.requirement
    groups = box.groups if row.groups is None else row.groups
    seen = [box.entries[place] for place in row.entries]
    made = [g.note for g in groups if g.note and not g.edges.isdisjoint(decision.weighed.made_by)]
    return [
        *box.box.assumptions,
        *(note for entry in seen for note in entry.assumptions),
        *made,
        *row.notes,
        *_tolerance_note(decision),
        *(() if requirement is None else requirement.rule.caveats),
        *box.book.amendment_notes(row.check),
    ]


def _tolerance_note(decision: Decision) -> tuple[str, ...]:
    row, requirement = decision.row, decision.requirement
    if decision.outcome is not Outcome.PASS or requirement is None or row.provided_m is None:
        return ()
    if to_metres(requirement.value, requirement.unit) <= row.provided_m[0] + _FLOAT_NOISE_M:
        return ()
    return (f"short by no more than the tolerance of {MEASURING_TOLERANCE_MM:g} mm",)


def _governing(row: DistanceRow, weighed: Weighed) -> Requirement | None:
    """Largest requirement of the edges that a pairing may have; None if one isn't known."""
    most = [row.demands[pair].most for pair in weighed.made_by]
    known = [requirement for requirement in most if requirement is not None]
    if len(known) < len(most):
        return None
    return max(known, key=lambda each: (each.value_in("mm"), each.working))


def _reasons(row: DistanceRow, box: BoxView, weighed: Weighed) -> tuple[str, ...]:
    if row.provided_m is None:
        return (row.unsure,)
    limit_m = row.provided_m[1] + TOLERANCE_M
    if row.unsure and any(row.demands[pair].asked.least_m <= limit_m for pair in weighed.failing):
        return (row.unsure,)
    return (pairing_reason(weighed.failing, [entry.label for entry in box.entries]),)


def _reread(box: BoxView, reading: Reading) -> BoxView | None:
    """The box under another reading, or None if that is the one chosen or changes nothing."""
    rules = reading.chosen(box.switches)
    return None if rules == box.switches or not reading.matters(box) else box.under(rules)


def _outcomes(box: BoxView, rows_of: RowsOf, *, unit: Unit | None = None) -> dict[str, Outcome]:
    decisions = (decide(row, box) for row in rows_of(box, unit or box.unit))
    return {each.row.key: each.outcome for each in decisions if each is not None}


def _basis_note(chosen: Outcome, other: Outcome | None, unit: Unit) -> tuple[str, ...]:
    metric, inch = (chosen, other) if unit == "mm" else (other, chosen)
    if inch is Outcome.PASS and metric is Outcome.FAIL:
        return ("passes by trade size in inches only",)
    if metric is Outcome.PASS and inch is Outcome.FAIL:
        return ("passes by metric designator only",)
    return ()


_FLOAT_NOISE_M = 1e-9
