"""From opened models to the report: the stages of a check, which load slowly."""

from __future__ import annotations

from dataclasses import replace

from modelcheck.model.report import Report
from modelcheck.pipeline.acceptances import with_acceptances
from modelcheck.pipeline.fixes import fixes_of
from modelcheck.pipeline.project import Project, read_project
from modelcheck.pipeline.report import report_of
from modelcheck.pipeline.request import Progress, Request, Terms
from modelcheck.pipeline.run_plans import plans_of
from modelcheck.pipeline.whereabouts import located
from modelcheck.read.ifc_file import ModelFile


def judged(
    files: tuple[ModelFile, ...], request: Request, terms: Terms, *, progress: Progress
) -> tuple[Project, Report]:
    """Check opened models.

    Parameters
    ----------
    files : tuple of ModelFile
    request : Request
    terms : Terms
        Of the request.
    progress : callable
        Told what is being done.

    Returns
    -------
    Project
        Without its files: what follows asks the records only.
    Report

    Raises
    ------
    ModelcheckError
        If an input can't be used.
    """
    project = read_project(
        files, terms.settings, terms.schedule, workers=request.workers, progress=progress
    )
    progress("checking")
    report = located(report_of(project, terms.rulebook, workers=request.workers), project)
    report = with_acceptances(report, terms.settings.accepted, on=request.day)
    return replace(project, files=()), report


def completed(
    project: Project, report: Report, request: Request, terms: Terms, *, progress: Progress
) -> Report:
    """`report` with what would pass, what is advised, and what changed.

    Parameters
    ----------
    project : Project
    report : Report
        Of the project.
    request : Request
    terms : Terms
        Of the request.
    progress : callable
        Told what is being done.
    """
    fixes = fixes_of(
        project,
        report,
        terms.rulebook,
        of_all=request.size_all_boxes,
        workers=request.workers,
        progress=progress,
    )
    others = [each.sha256 for each in (terms.pulls, terms.settings_file, terms.since) if each]
    report = replace(
        report,
        asked_sha256=request.key([*(each.sha256 for each in report.inputs), *others]),
        pulls=terms.pulls,
        settings_file=terms.settings_file,
        since=terms.since,
        fixes=fixes,
        plans=plans_of(project, report, terms.rulebook),
    )
    if terms.earlier is None:
        return report
    from modelcheck.pipeline.compare import changes_since  # noqa: PLC0415 - seldom asked for

    return replace(report, changes=changes_since(terms.earlier, report))
