"""The results of two checks, held against each other."""

from __future__ import annotations

import json
from pathlib import Path

from modelcheck.changes.comparison import compare
from modelcheck.model.change import Changes, Results
from modelcheck.model.report import Report
from modelcheck.read.results_folder import read_results
from modelcheck.write.changes_table import changes_table
from modelcheck.write.csv_tables import main_tables, write_table
from modelcheck.write.output_dir import claimed
from modelcheck.write.summary import summary_text


def compare_folders(old: Path, new: Path, out: Path | None = None) -> Changes:
    """Say what changed from the results in `old` to those in `new`.

    Parameters
    ----------
    old, new : Path
        Folders that checks wrote.
    out : Path or None
        Folder for ``changes.csv``; None: it isn't written.

    Raises
    ------
    ModelcheckError
        If a folder holds no results, or nothing can be written.
    """
    changes = compare(read_results(old), read_results(new))
    if out is not None:
        with claimed(out) as claim:
            write_table(changes_table(changes), claim.results)
            claim.put_in_place()
    return changes


def changes_since(old: Results, report: Report) -> Changes:
    """Say what changed from earlier results to `report`, as its own tables will tell it."""
    findings, runs, boxes, entries = (tuple(table.rows()) for table in main_tables(report))
    new = Results(
        name="",
        findings=findings,
        runs=runs,
        boxes=boxes,
        entries=entries,
        summary=json.loads(summary_text(report, files={})),
    )
    return compare(old, new)
