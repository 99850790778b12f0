"""What a check came to, and which passes of another are not borne out by it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from modelcheck.model.finding import BOX_CHECKS, RUN_CHECKS, Finding, Outcome
from modelcheck.model.report import Report
from modelcheck.pipeline.check import check
from modelcheck.pipeline.request import Request

_SLACK = 0.05  # of a requirement, in its unit


def checked(*models: Path, pulls: Path | None = None, settings: Path | None = None) -> Report:
    """Report on some models."""
    return check(Request(models=models, pulls=pulls, settings=settings))


def outcomes(report: Report, check_name: str, subject: str = "") -> list[str]:
    """Outcomes of one check, of the subject with that tag or of all."""
    return [
        str(each.outcome)
        for each in report.findings
        if each.check == check_name and subject in ("", each.subject.tag)
    ]


def new_passes(before: Report, after: Report) -> list[str]:
    """Name every row that passes in `after` though nothing in `before` bears it out.

    A row has a twin if its id is the same. One without is held against the rows of its check about
    the same box, or about some of the same elements of a run: it may have other elements where an
    entry or a joint is no longer known. A row that has no counterpart, because nothing was asked
    then, is no new pass as long as its box was not in doubt before.
    """
    return [*_rows(before, after), *_boxes(before, after)]


def _rows(before: Report, after: Report) -> Iterator[str]:
    twins = {each.id: each for each in before.findings}
    for row in after.findings:
        if row.outcome is not Outcome.PASS:
            continue
        twin = twins.get(row.id)
        others = [twin] if twin else [each for each in before.findings if _overlaps(each, row)]
        for other in others:
            if other.outcome is not Outcome.PASS:
                yield f"{row.id} passes, before {other.id} was {other.outcome}: {other.message}"
        if twin and _asks_less(row, twin):
            yield f"{row.id} passes with {row.working}, before {twin.working}"


def _overlaps(one: Finding, two: Finding) -> bool:
    if one.check != two.check:
        return False
    shared = set(one.element_guids) & set(two.element_guids)
    return bool(shared) and (one.check in RUN_CHECKS or one.subject.guid == two.subject.guid)


def _asks_less(row: Finding, twin: Finding) -> bool:
    if row.check not in BOX_CHECKS or row.required is None or twin.required is None:
        return False
    return row.required < twin.required - _SLACK


def _boxes(before: Report, after: Report) -> Iterator[str]:
    known = {row.enclosure.ref.guid: row.outcome for row in before.boxes}
    for row in after.boxes:
        was = known.get(row.enclosure.ref.guid, "none")
        if row.outcome == "pass" and was in ("fail", "needs-input"):
            yield f"box {row.enclosure.ref.name} passes, before it was {was}"
