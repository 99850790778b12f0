"""Bend sheets of the runs of a model."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from modelcheck.errors import InputFileError
from modelcheck.layout.bend_sheet import bend_sheet
from modelcheck.model.bend_sheet import BendSheet
from modelcheck.model.run import Run
from modelcheck.pipeline.check import silent
from modelcheck.pipeline.project import Progress, open_project
from modelcheck.pipeline.request import Request, Terms
from modelcheck.write.bend_files import bend_file_names, write_bends
from modelcheck.write.output_dir import claimed

_TOLD = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Bent:
    """What sheets were made."""

    sheets: tuple[BendSheet, ...]
    files: tuple[str, ...]


def bend_models(
    out: Path, request: Request, *, run: str | None = None, progress: Progress = silent
) -> Bent:
    """Write the bend sheets of the models to `out`, whole or not at all.

    Parameters
    ----------
    out : Path
        Folder for the sheets.
    request : Request
    run : str or None
        Name of the run, or the GlobalId of an element of it; None: every run.
    progress : callable
        Told what is being done.

    Raises
    ------
    ModelcheckError
        If an input can't be used, there is no such run, or nothing can be written.
    """
    terms = Terms.of(request)
    project = open_project(request, terms, terms.schedule, progress=progress)
    chosen = _chosen(project.network.runs, run, request.models)
    progress("drawing")
    sheets = tuple(sheet for each in chosen if (sheet := bend_sheet(each)))
    names = bend_file_names([sheet.run.name for sheet in sheets])
    with claimed(out) as claim:
        claim.refuse_inputs(names, request.inputs)
        projects = {file.model: file.project_name for file in project.files}
        write_bends(sheets, projects, claim.results)
        claim.put_in_place()
    return Bent(sheets=sheets, files=names)


def _chosen(runs: Sequence[Run], name: str | None, models: Sequence[Path]) -> Sequence[Run]:
    if name is None:
        return runs
    chosen = [run for run in runs if name == run.name or name in {ref.guid for ref in run.elements}]
    if not chosen:
        known = [run.name for run in runs]
        some = ", ".join(known[:_TOLD]) + (", ..." if len(known) > _TOLD else "")
        there = f"the runs are {some}" if known else "there is no run in it"
        raise InputFileError(f"there is no run {name!r}: {there}", path=models[0])
    return chosen
