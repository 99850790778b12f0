"""Models in, what each of their elements was taken for out."""

from __future__ import annotations

from pathlib import Path

from modelcheck.model.recognition import ReadElement
from modelcheck.pipeline.request import Progress, Request
from modelcheck.read.elements import read_elements
from modelcheck.read.ifc_file import open_models
from modelcheck.read.recognition import recognised_elements
from modelcheck.read.settings import read_settings
from modelcheck.write.csv_tables import ELEMENTS, elements_table, write_table
from modelcheck.write.output_dir import claimed


def read_models(request: Request, *, progress: Progress) -> tuple[ReadElement, ...]:
    """Read the elements of the models; nothing is traced, checked or written.

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
    settings = read_settings(request.settings, request.options)
    progress("opening models")
    files = open_models(request.models)
    progress("reading elements")
    return recognised_elements(read_elements(files, settings, workers=request.workers))


def read_models_to(out: Path, request: Request, *, progress: Progress) -> tuple[ReadElement, ...]:
    """Read the elements of the models and write them to ``elements.csv`` in `out`.

    Parameters
    ----------
    out : Path
        Folder for the table; it appears whole or not at all.
    request : Request
    progress : callable
        Told what is being done.

    Raises
    ------
    ModelcheckError
        If an input can't be used or the table can't be written.
    """
    with claimed(out) as claim:
        claim.refuse_inputs([ELEMENTS], request.inputs)
        rows = read_models(request, progress=progress)
        write_table(elements_table(rows), claim.results)
        claim.put_in_place()
    return rows
