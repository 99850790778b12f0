"""A report into its files."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

from modelcheck.errors import InputFileError
from modelcheck.model.report import Report
from modelcheck.model.wanted import Wanted
from modelcheck.pipeline.project import Progress
from modelcheck.read.ifc_file import ModelFile
from modelcheck.read.shares import each_worked
from modelcheck.write.bcf import BCF, write_bcf
from modelcheck.write.checked_model import write_checked_model
from modelcheck.write.csv_tables import Table, write_table
from modelcheck.write.ifc_psets import property_sets
from modelcheck.write.output_dir import SUMMARY, digest
from modelcheck.write.report_tables import REPORT_TABLES, report_tables
from modelcheck.write.report_text import REPORT
from modelcheck.write.review.page import REVIEW, write_review
from modelcheck.write.summary import summary_text
from modelcheck.write.workbook import WORKBOOK, write_workbook

# Every name that a result may have, beside those of the checked models.
RESULTS = (*REPORT_TABLES, REVIEW, WORKBOOK, BCF, REPORT, SUMMARY)

_MANY = 200  # findings that are worth processes
_SUFFIX = re.compile(r"(\.checked)?(\.ifc|\.ifczip|\.zip)?$", re.IGNORECASE)
_NO_FILE_NAME = re.compile(r'[\x00-\x1f\\/:*?"<>|]')


def checked_names(models: Sequence[str]) -> dict[str, str]:
    """Name of the checked file of each model, no two alike.

    Parameters
    ----------
    models : sequence of str
        As the tables name them, each once.
    """
    names: dict[str, str] = {}
    for model in models:
        stem = _NO_FILE_NAME.sub("_", _SUFFIX.sub("", model, count=1)) or "model"
        name, number = f"{stem}.checked.ifc", 1
        while name.lower() in {each.lower() for each in names.values()}:
            number += 1
            name = f"{stem}.{number}.checked.ifc"
        names[model] = name
    return names


def write_results(
    report: Report,
    files: Sequence[ModelFile],
    folder: Path,
    *,
    wanted: Wanted,
    workers: int = 1,
    progress: Progress,
) -> tuple[Report, tuple[str, ...]]:
    """Write every file of `report` into `folder`.

    Parameters
    ----------
    report : Report
    files : sequence of ModelFile
        Its models.
    folder : Path
        An empty one.
    wanted : Wanted
    workers : int
        Processes that share the writing; what is written doesn't hang on it. [-]
    progress : callable
        Told what is being done.

    Returns
    -------
    Report
        With what is to note of the writing.
    tuple of str
        Names of the files, as one reads them.

    Raises
    ------
    InputFileError
        If a model was changed while it was checked.
    """
    many = workers if len(report.findings) >= _MANY else 1
    names, notes = _write_data(
        report, files, folder, workers=workers if len(files) > 1 else many, progress=progress
    )
    report = replace(report, notes=(*report.notes, *notes))
    reports = _write_reports(report, folder, wanted=wanted, workers=many, progress=progress)
    digests = {path.name: digest(path) for path in sorted(folder.iterdir())}
    (folder / SUMMARY).write_bytes(
        summary_text(report, files=digests).encode("utf-8", errors="replace")
    )
    return report, (*reports, *names, SUMMARY)


def _write_reports(
    report: Report, folder: Path, *, wanted: Wanted, workers: int, progress: Progress
) -> list[str]:
    """Write what people look at and pass on; gives its names."""
    writers: dict[str, Callable[[], None]] = {
        REVIEW: partial(write_review, report, folder),
        WORKBOOK: partial(write_workbook, report, report_tables(report), folder),
    }
    if wanted.pdf:
        from modelcheck.pipeline.record import write_record  # noqa: PLC0415 - loads slowly

        writers[REPORT] = partial(write_record, report, folder)
    progress(f"writing {', '.join(writers)}")
    each_worked(lambda name: writers[name](), [*writers], workers=workers)
    progress(f"writing {BCF}")
    write_bcf(
        report,
        folder,
        version=wanted.bcf,
        with_undecided=wanted.bcf_undecided,
        each=partial(each_worked, workers=workers),
    )
    return [name for name in (REVIEW, REPORT, WORKBOOK) if name in writers] + [BCF]


def _write_data(
    report: Report,
    files: Sequence[ModelFile],
    folder: Path,
    *,
    workers: int,
    progress: Progress,
) -> tuple[list[str], list[str]]:
    """Write tables and checked models; gives their names and what is to note of the models."""
    tables = report_tables(report)
    names = checked_names([file.model for file in files])
    progress(f"writing tables, {', '.join(names.values())}")
    writers: list[Callable[[], str]] = [
        *(partial(_write_model, report, names[file.model], folder, file) for file in files),
        partial(_write_tables, tables, folder),
    ]
    notes = each_worked(lambda write: write(), writers, workers=workers)
    return [*(table.file for table in tables), *names.values()], [note for note in notes if note]


def _write_tables(tables: Sequence[Table], folder: Path) -> str:
    """Write the tables; there is nothing to note of it."""
    for table in tables:
        write_table(table, folder)
    return ""


def _write_model(report: Report, name: str, folder: Path, file: ModelFile) -> str:
    """Write one checked model; gives what is to note of it."""
    sets = property_sets(report, file.model)
    with file.text_path() as text_path:
        note = write_checked_model(text_path, file.handle, folder / name, sets=sets)
    if digest(file.path) != file.sha256:
        raise InputFileError("this file was changed while it was checked", path=file.path)
    return f"{name} was written anew by the IFC library, because {note}" if note else ""
