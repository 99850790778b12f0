"""The report for the record: what it shows beside what is in the report itself."""

from __future__ import annotations

from pathlib import Path

from modelcheck.checks import explain
from modelcheck.layout.bend_sheet import bend_sheet
from modelcheck.model.finding import RUN_CHECKS, Outcome
from modelcheck.model.report import Report
from modelcheck.write.pdf_failing import Extras
from modelcheck.write.pdf_report import write_pdf_report


def write_record(report: Report, folder: Path) -> None:
    """Write ``report.pdf`` of `report` into `folder`."""
    failing = {
        each.subject.key
        for each in report.findings
        if each.check in RUN_CHECKS and each.outcome is Outcome.FAIL
    }
    runs = [row.run for row in report.runs if failing & {ref.key for ref in row.run.elements}]
    checks = sorted({each.check for each in report.findings})
    extras = Extras(
        bend_sheets={run.name: sheet for run in runs if (sheet := bend_sheet(run))},
        explanations=[explain(check, report.settings) for check in checks],
    )
    write_pdf_report(report, extras, folder)
