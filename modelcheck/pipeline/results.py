"""A report into its files."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any

from modelcheck.errors import InputFileError
from modelcheck.model.report import Report
from modelcheck.model.wanted import Wanted
from modelcheck.pipeline.request import Progress
from modelcheck.read.ifc_file import ClosedFile, ModelFile
from modelcheck.read.shares import each_worked
from modelcheck.write.bcf import BCF, write_bcf
from modelcheck.write.checked_model import Splice, splice_of, write_checked_model
from modelcheck.write.csv_tables import Table, written_parts
from modelcheck.write.ifc_psets import property_sets
from modelcheck.write.output_dir import SUMMARY, digest
from modelcheck.write.report_tables import REPORT_TABLES, report_tables
from modelcheck.write.report_text import REPORT
from modelcheck.write.review.page import REVIEW, write_review
from modelcheck.write.summary import summary_text
from modelcheck.write.topics import Topic
from modelcheck.write.workbook import WORKBOOK, write_workbook

# Every name that a result may have, beside those of the checked models.
RESULTS = (*REPORT_TABLES, REVIEW, WORKBOOK, BCF, REPORT, SUMMARY)

_MANY = 200  # findings that are worth processes
_TOPICS = 32  # that are made at a time
_ROWS_A_TOPIC, _BYTES_A_ROW = 30, 2500  # by what they cost to write
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


@dataclass(frozen=True, slots=True, kw_only=True)
class ToAddTo:
    """One model that results are added to."""

    file: ClosedFile
    splice: Splice

    @classmethod
    def of(cls, file: ModelFile) -> ToAddTo:
        """Ask an opened model; then it isn't needed any more."""
        with file.text_path() as text_path:
            return cls(file=file.closed, splice=splice_of(text_path, file.handle))


def write_results(
    report: Report,
    models: Sequence[ToAddTo],
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
    models : sequence of ToAddTo
        Those of the report.
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
    names = checked_names([each.file.model for each in models])
    notes = [
        f"{names[each.file.model]} was written anew by the IFC library, because {each.splice.note}"
        for each in models
        if each.splice.note
    ]
    report = replace(report, notes=(*report.notes, *notes))
    copies = [
        _Task(
            what=names[each.file.model],
            cost=each.file.path.stat().st_size / _BYTES_A_ROW,
            write=partial(_write_model, report, folder / names[each.file.model], each),
        )
        for each in models
    ]
    tables = report_tables(report)
    others = _report_tasks(report, tables, folder, wanted=wanted)
    if len(models) == 1 and len(report.findings) < _MANY:
        workers = 1
    write_bcf(
        report,
        folder,
        version=wanted.bcf,
        with_undecided=wanted.bcf_undecided,
        each=partial(_beside, [*copies, *others], workers=workers, progress=progress),
    )
    digests = {path.name: digest(path) for path in sorted(folder.iterdir())}
    (folder / SUMMARY).write_bytes(
        summary_text(report, files=digests).encode("utf-8", errors="replace")
    )
    reports = [name for name in (REVIEW, REPORT, WORKBOOK) if name in digests]
    data = [*(table.file for table in tables), *names.values()]
    return report, (*reports, BCF, *data, SUMMARY)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Task:
    """Something to write, and what it costs, a row of the tables being 1."""

    what: str
    cost: float
    write: Callable[[], Any]


def _report_tasks(
    report: Report, tables: Sequence[Table], folder: Path, *, wanted: Wanted
) -> list[_Task]:
    """What people look at and pass on, but for the topics."""
    rows = sum(len(table.records) for table in tables)
    parts_of = partial(written_parts, folder=folder)
    tasks = [
        _Task(
            what=f"tables, {WORKBOOK}",
            cost=rows,
            write=partial(write_workbook, report, tables, folder, parts_of=parts_of),
        ),
        _Task(what=REVIEW, cost=rows, write=partial(write_review, report, folder)),
    ]
    if wanted.pdf:
        from modelcheck.pipeline.record import write_record  # noqa: PLC0415 - loads slowly

        tasks.append(_Task(what=REPORT, cost=rows, write=partial(write_record, report, folder)))
    return tasks


def _beside(
    others: Sequence[_Task],
    work: Callable[[Topic], Any],
    topics: Sequence[Topic],
    *,
    workers: int,
    progress: Progress,
) -> list[Any]:
    """What `work` makes of each topic, while processes that share this also write the rest."""
    parts = [
        _Task(
            what=BCF,
            cost=_ROWS_A_TOPIC * len(part),
            write=partial(lambda part: [work(topic) for topic in part], part),
        )
        for first in range(0, len(topics), _TOPICS)
        if (part := topics[first : first + _TOPICS])
    ]
    here = os.getpid()

    def write(task: _Task) -> Any:  # noqa: ANN401
        if os.getpid() == here:  # the others can't tell anybody
            progress(f"writing {task.what}")
        return task.write()

    made = each_worked(write, [*others, *parts], workers=workers, cost=lambda task: task.cost)
    return [each for part in made[len(others) :] for each in part]


def _write_model(report: Report, target: Path, model: ToAddTo) -> None:
    """Write one checked model."""
    file, sets = model.file, property_sets(report, model.file.model)
    with file.text_path() as text_path:
        write_checked_model(text_path, target, splice=model.splice, sets=sets)
    if digest(file.path) != file.sha256:
        raise InputFileError("this file was changed while it was checked", path=file.path)
