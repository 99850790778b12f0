"""Where the subjects of a report are, in the words of the building."""

from __future__ import annotations

from dataclasses import replace

from modelcheck.model.finding import Finding
from modelcheck.model.report import BoxRow, Report, RunRow
from modelcheck.pipeline.project import Project
from modelcheck.read.whereabouts import Subject, whereabouts_of


def located(report: Report, project: Project) -> Report:
    """`report` with the whereabouts of every finding, box and run.

    Parameters
    ----------
    report : Report
    project : Project
        The same that `report` is of.
    """
    system_of = {each.ref.key: each.system for each in project.elements.conduits}
    system_of |= {each.ref.key: each.system for each in project.elements.enclosures}
    system_along = {row.run.elements: row.run.system for row in report.runs}

    def of_finding(finding: Finding) -> Subject:
        own = system_of.get(finding.subject.key, "")
        system = system_along.get(finding.elements) or own
        return Subject(ref=finding.subject, at=finding.at, system=system)

    subjects = [
        *(of_finding(finding) for finding in report.findings),
        *(_of_box(row) for row in report.boxes),
        *(_of_run(row) for row in report.runs),
    ]
    alike = {_key(each): each for each in subjects}
    told = dict(zip(alike, whereabouts_of(project.files, [*alike.values()]), strict=True))
    where = iter([told[_key(each)] for each in subjects])
    return replace(
        report,
        findings=tuple(replace(each, where=next(where)) for each in report.findings),
        boxes=tuple(replace(each, where=next(where)) for each in report.boxes),
        runs=tuple(replace(each, where=next(where)) for each in report.runs),
    )


def _key(subject: Subject) -> tuple[object, ...]:
    """What is hashed sooner than the subject, and is as good."""
    return subject.ref.key, subject.at, subject.system


def _of_box(row: BoxRow) -> Subject:
    box = row.enclosure
    return Subject(ref=box.ref, at=box.origin, system=box.system)


def _of_run(row: RunRow) -> Subject:
    run = row.run
    return Subject(ref=run.elements[0], at=run.start.point, system=run.system)
