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

    findings = [of_finding(finding) for finding in report.findings]
    boxes = [_of_box(row) for row in report.boxes]
    runs = [_of_run(row) for row in report.runs]
    subjects = tuple(dict.fromkeys((*findings, *boxes, *runs)))
    told = dict(zip(subjects, whereabouts_of(project.files, subjects), strict=True))
    return replace(
        report,
        findings=tuple(
            replace(each, where=told[subject])
            for each, subject in zip(report.findings, findings, strict=True)
        ),
        boxes=tuple(
            replace(each, where=told[subject])
            for each, subject in zip(report.boxes, boxes, strict=True)
        ),
        runs=tuple(
            replace(each, where=told[subject])
            for each, subject in zip(report.runs, runs, strict=True)
        ),
    )


def _of_box(row: BoxRow) -> Subject:
    box = row.enclosure
    return Subject(ref=box.ref, at=box.origin, system=box.system)


def _of_run(row: RunRow) -> Subject:
    run = row.run
    return Subject(ref=run.elements[0], at=run.start.point, system=run.system)
