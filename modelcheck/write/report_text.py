"""What the cover of a report says, whatever it is printed on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from modelcheck import __version__
from modelcheck.model.finding import Outcome
from modelcheck.model.report import InputFile, Report
from modelcheck.write import words

Pair = tuple[str, str]
Counted = tuple[str, list[int]]

REPORT = "report.pdf"
TITLE = "Check of conduit runs and pull boxes"
CHECK_HEADINGS = ("Rows by check", "fail", "fail, accepted", "needs input", "pass")
STATE_HEADINGS = ("Boxes and runs", *words.OUTCOME_WORDS.values())


def facts(report: Report) -> list[Pair]:
    """Project, models and rules: what was checked, and by what."""
    settings = report.settings
    projects = dict.fromkeys(each.project for each in report.inputs if each.project.strip())
    others = (("Pull schedule", report.pulls), ("Settings", report.settings_file))
    return [
        ("Project", ", ".join(projects) or "not named"),
        *(("Model", _model(each)) for each in report.inputs),
        *(
            (name, f"{Path(each.path).name}, SHA-256 {each.sha256}")
            for name, each in others
            if each is not None
        ),
        ("Code", f"{words.CODE_NAMES[settings.code]} {settings.edition}"),
        ("Sizes by", words.BASIS_NAMES[settings.basis]),
        ("Results in", words.UNIT_NAMES[settings.units]),
        *([("Accepted fails", f"as of {report.accepted_on}")] if report.accepted_on else []),
        ("Program", f"modelcheck {__version__}"),
    ]


def check_counts(report: Report) -> list[Counted]:
    """Rows of each check, as `CHECK_HEADINGS` has them."""
    counts: Counter[tuple[str, str]] = Counter()
    for each in report.findings:
        word = "accepted" if each.accepted and each.outcome is Outcome.FAIL else str(each.outcome)
        counts[each.check, word] += 1
    ranks = ("fail", "accepted", "needs-input", "pass")
    return [
        (check, [counts[check, word] for word in ranks])
        for check in sorted({check for check, _ in counts})
    ]


def state_counts(report: Report) -> list[Counted]:
    """Boxes and runs by outcome, as `STATE_HEADINGS` has them."""
    groups: tuple[tuple[str, Sequence[str]], ...] = (
        ("Boxes", [row.outcome for row in report.boxes]),
        ("Runs", [row.outcome for row in report.runs]),
    )
    return [
        (name, [outcomes.count(word) for word in words.OUTCOME_WORDS]) for name, outcomes in groups
    ]


def remarks(report: Report) -> list[str]:
    """Cautions, then what else must be known before anyone relies on the report."""
    return [
        *words.CAUTIONS,
        *(f"{words.UNCHECKED_TITLE} {each}" for each in report.unchecked_figures),
        *([words.NOTHING_TO_CHECK] if report.nothing_to_check else []),
        *(
            [f"Not understood and left out: {len(report.not_understood)} elements (summary.json)."]
            if report.not_understood
            else []
        ),
        *report.stale_acceptances,
        *report.notes,
    ]


def _model(file: InputFile) -> str:
    dated = f", dated {file.dated}" if file.dated.strip() else ", without a date"
    return f"{file.model} ({file.schema}){dated}, SHA-256 {file.sha256}"
