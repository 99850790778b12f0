"""Bend sheets of the runs of a model."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from modelcheck.layout.bend_sheet import bend_sheet
from modelcheck.model.bend_sheet import BendSheet
from modelcheck.model.run import Run
from modelcheck.pipeline.check import silent
from modelcheck.pipeline.choice import chosen
from modelcheck.pipeline.project import open_project
from modelcheck.pipeline.request import Progress, Request, Terms
from modelcheck.write.bend_files import bend_file_names, write_bends
from modelcheck.write.output_dir import claimed


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
    runs: Sequence[Run] = project.network.runs
    if run is not None:
        runs = chosen(
            runs,
            run,
            names=lambda each: {each.name, *(ref.guid for ref in each.elements)},
            told=lambda each: each.name,
            kind=("run", "runs"),
            path=request.models[0],
        )
    progress("drawing")
    sheets = tuple(sheet for each in runs if (sheet := bend_sheet(each)))
    names = bend_file_names([sheet.run.name for sheet in sheets])
    with claimed(out) as claim:
        claim.refuse_inputs(names, request.inputs)
        projects = {file.model: file.project_name for file in project.files}
        write_bends(sheets, projects, claim.results)
        claim.put_in_place()
    return Bent(sheets=sheets, files=names)
