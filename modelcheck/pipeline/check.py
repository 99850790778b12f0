"""Models in, report out, and its files."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from modelcheck.errors import InputFileError
from modelcheck.model.report import Report, RunRow
from modelcheck.model.wanted import EVERY_TIME, Wanted
from modelcheck.pipeline.acceptances import with_acceptances
from modelcheck.pipeline.collecting import no_collecting
from modelcheck.pipeline.compare import changes_since
from modelcheck.pipeline.fixes import fixes_of
from modelcheck.pipeline.project import Progress, open_project, read_project
from modelcheck.pipeline.report import report_of
from modelcheck.pipeline.request import Request, Terms
from modelcheck.pipeline.results import RESULTS, checked_names, write_results
from modelcheck.pipeline.run_plans import plans_of
from modelcheck.pipeline.whereabouts import located
from modelcheck.read.ifc_file import ModelFile, open_models
from modelcheck.write.output_dir import Claim, claimed


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
    progress("opening models")
    return _checked(open_models(request.models), request, terms, progress=progress)


def write_report(
    report: Report, out: Path, *, wanted: Wanted = EVERY_TIME, progress: Progress = silent
) -> tuple[str, ...]:
    """Write the results of an earlier check to `out`, whole or not at all.

    Parameters
    ----------
    report : Report
    out : Path
        Folder for the results.
    wanted : Wanted
    progress : callable
        Told what is being done.

    Returns
    -------
    tuple of str
        Names of the files that were written.

    Raises
    ------
    ModelcheckError
        If a model isn't there as it was checked, or the results can't be written.
    """
    models = [Path(each.path) for each in report.inputs]
    others = [Path(each.path) for each in report.other_inputs]
    with claimed(out) as claim:
        files = _opened(models, claim, inputs=[*models, *others], progress=progress)
        for file, checked in zip(files, report.inputs, strict=True):
            if file.sha256 != checked.sha256:
                raise InputFileError(
                    "this file was changed after it was checked; check it again", path=file.path
                )
        _, names = write_results(report, files, claim.results, wanted=wanted, progress=progress)
        claim.put_in_place()
    return names


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
    with claimed(out) as claim, no_collecting():  # before the long work
        files = _opened(request.models, claim, inputs=request.inputs, progress=progress)
        report = _checked(files, request, terms, progress=progress)
        report, names = write_results(
            report,
            files,
            claim.results,
            wanted=request.wanted,
            workers=request.workers,
            progress=progress,
        )
        claim.put_in_place()
    return report, names


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
    terms = Terms.of(request)
    project = open_project(request, terms, terms.schedule, progress=progress)
    return report_of(project, terms.rulebook).runs


def _opened(
    models: Sequence[Path], claim: Claim, *, inputs: Sequence[Path], progress: Progress
) -> tuple[ModelFile, ...]:
    """Open models whose results go to a claimed folder and lie over no input there."""
    claim.refuse_inputs(RESULTS, inputs)
    progress("opening models")
    files = open_models(models)
    claim.refuse_inputs([*checked_names([file.model for file in files]).values()], inputs)
    return files


def _checked(
    files: tuple[ModelFile, ...], request: Request, terms: Terms, *, progress: Progress
) -> Report:
    """Check opened models and propose what would pass."""
    project = read_project(
        files, terms.settings, terms.schedule, workers=request.workers, progress=progress
    )
    progress("checking")
    report = located(report_of(project, terms.rulebook), project)
    report = with_acceptances(report, terms.settings.accepted, on=request.day)
    fixes = fixes_of(
        project, report, terms.rulebook, of_all=request.size_all_boxes, progress=progress
    )
    others = [each.sha256 for each in (terms.pulls, terms.settings_file, terms.since) if each]
    report = replace(
        report,
        asked_sha256=request.key([*(each.sha256 for each in files), *others]),
        pulls=terms.pulls,
        settings_file=terms.settings_file,
        since=terms.since,
        fixes=fixes,
        plans=plans_of(project, report, terms.rulebook),
    )
    if terms.earlier is None:
        return report
    return replace(report, changes=changes_since(terms.earlier, report))
