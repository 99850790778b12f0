"""Models in, report out, and its files; what the stages need is loaded while the models open."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from modelcheck.errors import InputFileError
from modelcheck.model.report import Report, RunRow
from modelcheck.model.wanted import EVERY_TIME, Wanted
from modelcheck.pipeline.loading import loading
from modelcheck.pipeline.memory import give_back, no_collecting
from modelcheck.pipeline.request import Progress, Request, Terms
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
    files = _opened(request.models, progress=progress)
    from modelcheck.pipeline.checking import completed, judged  # noqa: PLC0415 - loads slowly

    project, report = judged(files, request, terms, progress=progress)
    return completed(project, report, request, terms, progress=progress)


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
    paths = [Path(each.path) for each in report.inputs]
    others = [Path(each.path) for each in report.other_inputs]
    with claimed(out) as claim:
        files = _opened(paths, progress=progress)
        _refuse_inputs([*paths, *others], claim, files)
        for file, each in zip(files, report.inputs, strict=True):
            if file.sha256 != each.sha256:
                raise InputFileError(
                    "this file was changed after it was checked; check it again", path=file.path
                )
        from modelcheck.pipeline.results import ToAddTo, write_results  # noqa: PLC0415

        models = [ToAddTo.of(file) for file in files]
        _, names = write_results(report, models, claim.results, wanted=wanted, progress=progress)
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
        files = _opened(request.models, progress=progress)
        _refuse_inputs(request.inputs, claim, files)
        from modelcheck.pipeline.checking import completed, judged  # noqa: PLC0415 - loads slowly
        from modelcheck.pipeline.results import ToAddTo, write_results  # noqa: PLC0415

        project, report = judged(files, request, terms, progress=progress)
        models = [ToAddTo.of(file) for file in files]
        del files  # half of the memory
        give_back()
        report = completed(project, report, request, terms, progress=progress)
        report, names = write_results(
            report,
            models,
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
    from modelcheck.pipeline.project import open_project  # noqa: PLC0415 - loads slowly
    from modelcheck.pipeline.report import report_of  # noqa: PLC0415

    project = open_project(request, terms, terms.schedule, progress=progress)
    return report_of(project, terms.rulebook).runs


def _opened(models: Sequence[Path], *, progress: Progress) -> tuple[ModelFile, ...]:
    """Open models, and load meanwhile what the stages after it need: that takes about as long."""
    progress("opening models")
    with loading("modelcheck.pipeline.checking", "modelcheck.pipeline.results"):
        return open_models(models)


def _refuse_inputs(inputs: Sequence[Path], claim: Claim, files: Sequence[ModelFile]) -> None:
    """Refuse inputs that the results of `files` would be written over."""
    from modelcheck.pipeline.results import RESULTS, checked_names  # noqa: PLC0415 - loads slowly

    names = checked_names([file.model for file in files]).values()
    claim.refuse_inputs([*RESULTS, *names], inputs)
