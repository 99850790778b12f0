"""A report into its files."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from modelcheck.errors import InputFileError
from modelcheck.model.report import Report
from modelcheck.pipeline.project import Progress
from modelcheck.read.ifc_file import ModelFile
from modelcheck.units import Unit
from modelcheck.write.checked_model import write_checked_model
from modelcheck.write.csv_tables import write_tables
from modelcheck.write.fixes_table import write_fixes
from modelcheck.write.ifc_psets import property_sets
from modelcheck.write.output_dir import SUMMARY, digest
from modelcheck.write.plan_tables import write_plans
from modelcheck.write.summary import summary_text

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
    report: Report, files: Sequence[ModelFile], folder: Path, *, progress: Progress
) -> Report:
    """Write every file of `report` into `folder`; gives the report with what is to note of that.

    Raises
    ------
    InputFileError
        If a model was changed while it was checked.
    """
    progress("writing tables")
    write_tables(report, folder)
    unit: Unit = "in" if report.settings.units == "in" else "mm"
    write_fixes(report.fixes, unit, folder)
    write_plans(report.plans, folder)
    notes = list(report.notes)
    for file, name in zip(
        files, checked_names([each.model for each in files]).values(), strict=True
    ):
        progress(f"writing {name}")
        note = write_checked_model(
            file.path, file.handle, folder / name, sets=property_sets(report, file.model)
        )
        if note:
            notes.append(f"{name} was written anew by the IFC library, because {note}")
        if digest(file.path) != file.sha256:
            raise InputFileError("this file was changed while it was checked", path=file.path)
    written = replace(report, notes=tuple(notes))
    digests = {path.name: digest(path) for path in sorted(folder.iterdir())}
    (folder / SUMMARY).write_bytes(
        summary_text(written, files=digests).encode("utf-8", errors="replace")
    )
    return written
