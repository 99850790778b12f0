"""Which failing rows somebody answers for, and which acceptances no longer hold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from modelcheck.model.acceptance import Acceptance
from modelcheck.model.finding import Finding, Outcome, short_by
from modelcheck.model.report import Report
from modelcheck.units import convert, convert_volume
from modelcheck.write.csv_tables import quantity

_SLACK_MM = 0.1  # as for a verdict
_ALIKE = (("mm", "in"), ("in", "mm"), ("cm3", "in3"), ("in3", "cm3"))
_TINY = 1e-9
_ROUNDING = {"mm": 0.1, "in": 0.26, "cm3": 0.1, "in3": 0.17}  # of two amounts [mm] or [cm3]


def with_acceptances(report: Report, acceptances: Sequence[Acceptance], *, on: date) -> Report:
    """`report` with the fails that are accepted, and what to say of acceptances that don't hold.

    An accepted fail stays a fail. Nothing else is ever accepted.

    Parameters
    ----------
    report : Report
    acceptances : sequence of Acceptance
        The first that holds for a row is told.
    on : date
        Day on which they are asked to hold.
    """
    if not acceptances:
        return report
    accepted: dict[str, Acceptance] = {}
    stale = []
    for each in acceptances:
        rows, problems = _judged(each, report, on)
        for row in rows:
            accepted.setdefault(row.id, each)
        stale += [f"{_named(each)}: {problem}" for problem in problems]
    return replace(
        report,
        findings=tuple(replace(row, accepted=accepted.get(row.id)) for row in report.findings),
        stale_acceptances=tuple(stale),
        accepted_on=on.isoformat(),
    )


def _named(acceptance: Acceptance) -> str:
    what = acceptance.finding or f"{acceptance.check} of {acceptance.box}"
    return f"{what}, accepted by {acceptance.by} on {acceptance.on}"


def _judged(acceptance: Acceptance, report: Report, on: date) -> tuple[list[Finding], list[str]]:
    """Rows that `acceptance` holds for, and why it doesn't hold for others."""
    if on < date.fromisoformat(acceptance.on):
        return [], [f"holds only from then on, and this check is of {on}"]
    if acceptance.until and on > date.fromisoformat(acceptance.until):
        return [], [f"ended on {acceptance.until}; accept it again or mend it"]
    rows, problem = _rows(acceptance, report)
    if problem:
        return [], [problem]
    told = [(row, _why_not(acceptance, row)) for row in rows]
    holding = [row for row, why in told if not why]
    # of several rows of a box those that pass need no acceptance
    problems = [why for row, why in told if why and (row.outcome is Outcome.FAIL or not holding)]
    return holding, problems


def _rows(acceptance: Acceptance, report: Report) -> tuple[list[Finding], str]:
    """Rows that an acceptance names, or why it names none."""
    if acceptance.finding:
        found = [row for row in report.findings if row.id == acceptance.finding]
        return found, "" if found else "there is no such finding any more; delete it"
    boxes = [row.enclosure.ref for row in report.boxes]
    for key in ("guid", "tag", "name"):
        named = [ref for ref in boxes if getattr(ref, key) == acceptance.box]
        if len(named) > 1:
            return [], f"{len(named)} boxes are called so; name the box by its GlobalId"
        if named:
            found = [
                row
                for row in report.findings
                if row.subject.key == named[0].key and row.check == acceptance.check
            ]
            return found, "" if found else "the box has no such row any more; delete it"
    return [], "there is no such box any more; delete it"


def _why_not(acceptance: Acceptance, row: Finding) -> str:
    """Why `acceptance` doesn't hold for a row; empty if it does."""
    if row.outcome is Outcome.PASS:
        return "it passes now; delete it"
    if row.outcome is not Outcome.FAIL:
        return "it is undecided now: it needs input, not acceptance"
    unit, told = acceptance.unit, " and ".join(_amounts(row))
    now, then = _lack(_rounded(row) if unit == row.unit else row), _lack(_then(acceptance, row))
    if now is None:
        return "" if then is None else "the amounts are not known any more"
    if then is None:
        return f"it doesn't say at which amounts; they are now {told}"
    if unit != row.unit and (unit, row.unit) not in _ALIKE:
        return f"it was accepted in {unit or 'no unit'}, and is now {told}"
    slack = _SLACK_MM if row.unit in ("mm", "in") else 0.0
    slack += 0.0 if unit == row.unit else _ROUNDING[unit]
    return "" if now <= then + slack + _TINY else f"it got worse: {told}"


def _lack(row: Finding) -> float | None:
    """What a row lacks: a length in mm, a volume in cm3, all else in its own unit."""
    short = short_by(row)
    match row.unit:
        case "in" if short is not None:
            return convert(short, "in", "mm")
        case "in3" if short is not None:
            return convert_volume(short, "in3", "cm3")
        case _:
            return short


def _then(acceptance: Acceptance, row: Finding) -> Finding:
    """`row` with the amounts at which it was accepted."""
    return replace(
        row,
        required=acceptance.required,
        provided=acceptance.provided,
        unit=acceptance.unit,
    )


def _rounded(row: Finding) -> Finding:
    """`row` with the amounts that its table shows."""
    required, provided = (
        float(text) if (text := quantity(value, row.unit)) else None
        for value in (row.required, row.provided)
    )
    return replace(row, required=required, provided=provided)


def _amounts(row: Finding) -> Iterator[str]:
    for name in ("required", "provided"):
        text = quantity(getattr(row, name), row.unit)
        yield f"{name} {text} {row.unit}".strip() if text else f"{name} unknown"
