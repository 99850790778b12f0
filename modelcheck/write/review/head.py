"""What stands above the table of the page: the state, what was checked and how, the cautions."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import Any

from modelcheck import __version__
from modelcheck.model.change import ChangeKind, Changes
from modelcheck.model.report import Report
from modelcheck.units import Unit, convert
from modelcheck.write import words

_LENGTHS: tuple[Unit, ...] = ("mm", "in")
_MOST_TOLD = 500  # elements that were not understood; summary.json has all


def head(report: Report) -> dict[str, Any]:
    """Head of the page.

    Parameters
    ----------
    report : Report
    """
    settings = report.settings
    return {
        "program": f"modelcheck {__version__}",
        "code": f"{words.CODE_NAMES[settings.code]} {settings.edition}",
        "basis": words.BASIS_NAMES[settings.basis],
        "unit": settings.units,
        "mmPerUnit": {unit: convert(1.0, unit, "mm") for unit in _LENGTHS},
        "unitName": words.UNIT_NAMES[settings.units],
        "inputs": [
            {
                "model": each.model,
                "project": each.project,
                "schema": each.schema,
                "dated": each.dated,
                "sha256": each.sha256,
            }
            for each in report.inputs
        ],
        "boxes": _counts(row.outcome for row in report.boxes),
        "runs": _counts(row.outcome for row in report.runs),
        "rows": _counts(str(each.outcome) for each in report.findings),
        "accepted": sum(each.accepted is not None for each in report.findings),
        "cautions": list(words.CAUTIONS),
        "unchecked": list(report.unchecked_figures),
        "notes": [*report.notes, *report.stale_acceptances],
        "notUnderstood": [
            {
                "name": each.ref.name or each.ref.guid,
                "guid": each.ref.guid,
                "class": each.ref.ifc_class,
                "model": each.ref.model,
                "reason": each.reason,
                "remedy": each.remedy,
            }
            for each in report.not_understood[:_MOST_TOLD]
        ],
        "notUnderstoodCount": len(report.not_understood),
        "changes": None if report.changes is None else _changes(report.changes),
        "nothing": words.NOTHING_TO_CHECK if report.nothing_to_check else "",
    }


def _changes(changes: Changes) -> dict[str, Any]:
    return {
        "since": changes.since,
        "counts": {str(kind): changes.count(kind) for kind in ChangeKind},
        "notes": list(changes.notes),
        "rows": [
            {
                "kind": str(row.kind),
                "finding": row.finding,
                "name": row.subject_name or row.subject_guid,
                "check": row.check,
                "before": row.old_outcome,
                "now": row.outcome,
                "why": list(row.why),
            }
            for row in changes.rows
        ],
    }


def _counts(outcomes: Iterable[str]) -> dict[str, int]:
    return dict(Counter(outcomes))
