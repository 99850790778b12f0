"""What is proposed and advised for the runs of a project."""

from __future__ import annotations

from modelcheck.layout.pull_points import plan_pull_points
from modelcheck.model.report import Report
from modelcheck.model.run_plans import RunPlans
from modelcheck.pipeline.project import Project
from modelcheck.rules.catalogue import RuleBook


def plans_of(project: Project, report: Report, rulebook: RuleBook) -> RunPlans:
    """Propose and advise for the runs of `report`, in their order.

    Parameters
    ----------
    project : Project
    report : Report
        Of the same project.
    rulebook : RuleBook
    """
    settings = project.settings
    planned = (plan_pull_points(row.run, row.limit_deg, rulebook, settings) for row in report.runs)
    return RunPlans(pull_points=tuple(plan for plan in planned if plan))
