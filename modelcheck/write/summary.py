"""summary.json: what was read, how it was checked and what came of it."""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from modelcheck import __version__
from modelcheck.model.change import ChangeKind, Changes
from modelcheck.model.finding import Outcome
from modelcheck.model.report import OtherInput, Report
from modelcheck.write.words import CAUTIONS


def summary_text(report: Report, *, files: Mapping[str, str]) -> str:
    """Text of summary.json: the same for the same report, whenever and wherever it is made.

    Parameters
    ----------
    report : Report
    files : mapping of str to str
        SHA-256 of each file written beside the summary, by name.
    """
    settings = asdict(report.settings)
    content = {
        "program": {"name": "modelcheck", "version": __version__},
        "code": report.settings.code,
        "edition": report.settings.edition,
        "inputs": [
            {"name": each.model, "sha256": each.sha256, "schema": each.schema}
            for each in report.inputs
        ],
        "asked_sha256": report.asked_sha256,
        "pulls": _other_input(report.pulls),
        "settings_file": _other_input(report.settings_file),
        "counts": _counts(report),
        "boxes": dict(sorted(Counter(row.outcome for row in report.boxes).items())),
        "runs": dict(sorted(Counter(row.outcome for row in report.runs).items())),
        "entries": len(report.entries),
        "not_understood_counts": _not_understood(report),
        "not_understood": [
            {
                "model": each.ref.model,
                "guid": each.ref.guid,
                "name": each.ref.name,
                "class": each.ref.ifc_class,
                "reason": each.reason,
                "remedy": each.remedy,
            }
            for each in report.not_understood
        ],
        "changes": _changes(report.changes),
        "accepted": _accepted(report),
        "unchecked_figures": list(report.unchecked_figures),
        "notes": list(report.notes),
        "cautions": list(CAUTIONS),
        "settings": settings,
        "files": dict(sorted(files.items())),
    }
    return json.dumps(content, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def _accepted(report: Report) -> dict[str, Any] | None:
    """Number of accepted fails by check, and what no longer holds; None without acceptances."""
    if not report.accepted_on:
        return None
    counts = Counter(finding.check for finding in report.accepted)
    return {
        "asked_on": report.accepted_on,
        "counts": dict(sorted(counts.items())),
        "stale": list(report.stale_acceptances),
    }


def _changes(changes: Changes | None) -> dict[str, Any] | None:
    """Number of rows of each kind since earlier results; None where none were given."""
    if changes is None:
        return None
    counts = {str(kind): changes.count(kind) for kind in ChangeKind}
    return {"since": changes.since, "counts": counts, "notes": list(changes.notes)}


def _other_input(read: OtherInput | None) -> dict[str, str] | None:
    return None if read is None else {"name": Path(read.path).name, "sha256": read.sha256}


def _counts(report: Report) -> dict[str, dict[str, int]]:
    """Number of findings by check and outcome."""
    counts: dict[str, Any] = {}
    for finding in report.findings:
        by_outcome = counts.setdefault(finding.check, {str(each): 0 for each in Outcome})
        by_outcome[str(finding.outcome)] += 1
    return dict(sorted(counts.items()))


def _not_understood(report: Report) -> dict[str, dict[str, int]]:
    """Number of elements that were not understood by class and reason."""
    counts: dict[str, Counter[str]] = defaultdict(Counter)
    for each in report.not_understood:
        counts[each.ref.ifc_class][each.reason] += 1
    return {ifc_class: dict(sorted(counts[ifc_class].items())) for ifc_class in sorted(counts)}
