"""Models in, report out, and its files."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from modelcheck.model.report import Report, RunRow
from modelcheck.pipeline.fixes import fixes_of
from modelcheck.pipeline.project import Progress, open_project, read_project
from modelcheck.pipeline.report import report_of
from modelcheck.pipeline.request import Request, Terms
from modelcheck.pipeline.results import checked_names, write_results
from modelcheck.pipeline.run_plans import plans_of
from modelcheck.read.ifc_file import open_models
from modelcheck.write.csv_tables import TABLES
from modelcheck.write.fixes_table import FIXES
from modelcheck.write.output_dir import SUMMARY, claimed
from modelcheck.write.plan_tables import PLAN_TABLES, plan_tables


def silent(_: str) -> None:
    """Tell nobody what is being done."""


def check(request: Request, *, progress: Progress = silent) -> Report:
    """Check the conduit runs and boxes of the models; nothing is written.

    Parameters
    ----------
    request : Request
    progress : callable
        Told what is being done.

    Raises
    ------
    ModelcheckError
        If an input can't be used.
    """
    terms = Terms.of(request)
    project = open_project(request, terms, terms.schedule, progress=progress)
    progress("checking")
    return report_of(project, terms.rulebook)


def check_to(
    out: Path, request: Request, *, progress: Progress = silent
) -> tuple[Report, tuple[str, ...]]:
    """Check the models and write the results to `out`, whole or not at all.

    Parameters
    ----------
    out : Path
        Folder for the results.
    request : Request
    progress : callable
        Told what is being done.

    Returns
    -------
    Report
    tuple of str
        Names of the files that were written.

    Raises
    ------
    ModelcheckError
        If an input can't be used or the results can't be written.
    """
    terms = Terms.of(request)
    with claimed(out) as claim:
        claim.refuse_inputs([*TABLES, FIXES, *PLAN_TABLES, SUMMARY], request.inputs)
        progress("opening models")
        files = open_models(request.models)
        names = checked_names([file.model for file in files])
        claim.refuse_inputs([*names.values()], request.inputs)
        project = read_project(files, terms.settings, terms.schedule, progress=progress)
        progress("checking")
        report = report_of(project, terms.rulebook)
        fixes = fixes_of(
            project, report, terms.rulebook, of_all=request.size_all_boxes, progress=progress
        )
        report = replace(report, fixes=fixes, plans=plans_of(project, report, terms.rulebook))
        report = write_results(report, files, claim.results, progress=progress)
        claim.put_in_place()
    return report, (*TABLES, FIXES, *plan_tables(report.plans), *names.values(), SUMMARY)


def traced_runs(request: Request, *, progress: Progress = silent) -> tuple[RunRow, ...]:
    """Trace the runs of the models.

    Parameters
    ----------
    request : Request
    progress : callable
        Told what is being done.

    Raises
    ------
    ModelcheckError
        If an input can't be used.
    """
    return check(request, progress=progress).runs
