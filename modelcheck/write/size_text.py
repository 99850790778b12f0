"""Boxes worked by hand: the steps on the terminal, or the rows as JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from modelcheck.model.finding import Finding, Outcome
from modelcheck.model.sized_box import SizedBox
from modelcheck.write import words
from modelcheck.write.csv_tables import quantity
from modelcheck.write.terminal import long_text, say, short_text, verdict


def print_boxes(console: Console, boxes: Sequence[SizedBox]) -> None:
    """Print each box with its rows and the steps to its least inside size."""
    for box in boxes:
        title = Text.assemble(verdict(console, box.outcome), "  ", short_text(box.name))
        console.print(title)
        for step in box.steps:
            say(console, long_text(step), indent=2)
        for finding in box.findings:
            if finding.outcome is not Outcome.PASS:
                say(console, f"{finding.check}: {long_text(finding.message)}", indent=2)
        told = dict.fromkeys(text for finding in box.findings for text in finding.assumptions)
        for text in told:
            say(console, f"{words.ASSUMED} {long_text(text)}", indent=2)
        console.print()
    for caution in words.CAUTIONS:
        say(console, caution)


def boxes_json(boxes: Sequence[SizedBox]) -> str:
    """Text that ``--json`` prints: what isn't known is null."""
    content = [
        {
            "name": box.name,
            "outcome": box.outcome,
            "least_inside_mm": [_rounded(length, "mm") for length in box.least_inside_mm],
            "findings": [_finding(finding) for finding in box.findings],
        }
        for box in boxes
    ]
    return json.dumps({"boxes": content}, ensure_ascii=False, indent=2, allow_nan=False)


def _finding(finding: Finding) -> dict[str, object]:
    return {
        "check": finding.check,
        "outcome": finding.outcome,
        "entries": list(dict.fromkeys(ref.name for ref in finding.elements)),
        "required": _rounded(finding.required, finding.unit),
        "provided": _rounded(finding.provided, finding.unit),
        "unit": finding.unit,
        "code": finding.code,
        "edition": finding.edition,
        "clause": finding.clause,
        "working": finding.working,
        "assumptions": list(finding.assumptions),
        "message": finding.message,
    }


def _rounded(value: float | None, unit: str) -> float | None:
    """Round as the tables do."""
    text = quantity(value, unit)
    return float(text) if text else None
