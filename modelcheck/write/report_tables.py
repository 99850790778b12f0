"""All tables of a report, as files and as sheets."""

from __future__ import annotations

from modelcheck.model.report import Report
from modelcheck.units import Unit
from modelcheck.write.changes_table import CHANGES, changes_table
from modelcheck.write.csv_tables import TABLES, Table, main_tables
from modelcheck.write.fixes_table import FIXES, fixes_table
from modelcheck.write.plan_tables import PLAN_TABLES, plan_tables

REPORT_TABLES = (*TABLES, FIXES, *PLAN_TABLES, CHANGES)  # every name that one may have


def report_tables(report: Report) -> tuple[Table, ...]:
    """Tables of `report`, in the order in which one reads them."""
    unit: Unit = "in" if report.settings.units == "in" else "mm"
    return (
        *main_tables(report),
        fixes_table(report.fixes, unit),
        *plan_tables(report.plans),
        *((changes_table(report.changes),) if report.changes else ()),
    )
