"""The results of an earlier check, read from their folder."""

from __future__ import annotations

import csv
import io
import json
from collections import Counter
from math import isfinite
from pathlib import Path
from typing import Any

from modelcheck.errors import InputFileError
from modelcheck.model.change import Results, Row
from modelcheck.model.element import WALLS

_AMENDMENT = ("check", "code")
_HELP = "give the folder that a check wrote with --out"
_COLUMNS = {
    "findings.csv": "finding model check outcome subject_guid subject_name element_guids required "
    "provided unit code edition clause working message x_m y_m z_m",
    "boxes.csv": "box_guid inside_x_mm inside_y_mm inside_z_mm size_from cover",
    "runs.csv": "run element_guids raceway_type trade_size_in length_mm bend_count bend_total_deg "
    "limit_deg",
    "entries.csv": "box_guid conduit_guid wall u_mm v_mm trade_size_in carries",
}
_NUMBERS = ("required", "provided", "bend_count")
_NUMBER_ENDS = ("_mm", "_m", "_deg")
_WORDS: dict[str, dict[str, tuple[str, ...]]] = {  # what a cell of these columns may hold
    "findings.csv": {
        "outcome": ("pass", "fail", "needs-input"),
        "unit": ("mm", "in", "deg", "cm3", "in3", ""),
    },
    "entries.csv": {"wall": WALLS},
}


def read_results(folder: Path) -> Results:
    """Tables and summary of the check whose results are in `folder`.

    Raises
    ------
    InputFileError
        If there are none, or a table was damaged; with the line.
    """
    if not folder.is_dir():
        what = "this is a file" if folder.exists() else "there is no such folder"
        raise InputFileError(f"{what}; {_HELP}", path=folder)
    tables = {name: _rows(folder, name) for name in _COLUMNS}
    seen = Counter(row["finding"] for row in tables["findings.csv"])
    if twice := [name for name, count in seen.items() if count > 1]:
        raise InputFileError(f"the finding {twice[0]} is told twice", path=folder / "findings.csv")
    return Results(
        name=folder.name or str(folder),
        findings=tables["findings.csv"],
        boxes=tables["boxes.csv"],
        runs=tables["runs.csv"],
        entries=tables["entries.csv"],
        summary=_summary(folder / "summary.json"),
    )


def _text(path: Path) -> str:
    try:
        return path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        raise InputFileError(
            f"this folder holds no results of a check, {path.name} is missing; {_HELP}",
            path=path.parent,
        ) from None
    except UnicodeDecodeError:
        raise InputFileError("this is not UTF-8 text; check the models again", path=path) from None
    except OSError as error:
        raise InputFileError(f"can't be read: {error.strerror}", path=path) from None


def _rows(folder: Path, name: str) -> tuple[Row, ...]:
    path = folder / name
    reader = csv.DictReader(io.StringIO(_text(path), newline=""), strict=True)
    rows = []
    try:
        columns = reader.fieldnames or ()
        missing = [column for column in _COLUMNS[name].split() if column not in columns]
        if missing:
            raise InputFileError(
                f"the column {missing[0]!r} is missing; {_HELP}", path=path, line=1
            )
        for row in reader:
            if None in row or None in row.values():
                raise InputFileError(
                    "a row has too many cells or too few", path=path, line=reader.line_num
                )
            _refuse_other_cells(row, path, reader.line_num)
            rows.append(row)
    except csv.Error as error:
        raise InputFileError(
            f"this is not a table: {error}", path=path, line=reader.line_num
        ) from None
    return tuple(rows)


def _refuse_other_cells(row: dict[str, str], path: Path, line: int) -> None:
    """Refuse a row with a cell that no check writes."""
    for column, words in _WORDS.get(path.name, {}).items():
        if row[column] not in words:
            known = ", ".join(filter(None, words))
            raise InputFileError(
                f"{column} is {row[column]!r}, it must be one of {known}", path=path, line=line
            )
    for column, text in row.items():
        if text and (column in _NUMBERS or column.endswith(_NUMBER_ENDS)) and not _is_number(text):
            raise InputFileError(f"{column} is {text!r}, it must be a number", path=path, line=line)


def _is_number(text: str) -> bool:
    try:
        return isfinite(float(text))
    except ValueError:
        return False


def _summary(path: Path) -> dict[str, Any]:
    text = _text(path)
    try:
        summary = json.loads(text)
        settings = summary["settings"]
        texts = [each[key] for each in summary["inputs"] for key in ("name", "sha256")]
        texts += [name for kind in ("boxes", "conduits") for name, _ in settings.get(kind, ())]
        texts += [each[key] for each in settings.get("amendments", ()) for key in _AMENDMENT]
        tables = [settings, *((summary.get(key) or {}) for key in ("program", "pulls"))]
        is_ours = all(isinstance(text, str) for text in texts) and all(
            isinstance(table, dict) for table in tables
        )
    except (ValueError, LookupError, TypeError, AttributeError, RecursionError):
        is_ours = False
    if not is_ours:
        raise InputFileError(f"this is not the summary of a check; {_HELP}", path=path)
    return dict(summary)
