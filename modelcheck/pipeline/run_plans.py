"""What is proposed and advised for the runs of a project."""

from __future__ import annotations

from modelcheck.layout.advice import advise
from modelcheck.layout.pull_points import plan_pull_points
from modelcheck.layout.schedule_check import compare_schedule
from modelcheck.model.pulling import PullingAdvice
from modelcheck.model.report import Report
from modelcheck.model.run_plans import RunPlans
from modelcheck.model.schedule_line import ScheduleLine
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
    return RunPlans(
        pull_points=tuple(plan for plan in planned if plan),
        pulling=_pulling(project, report),
        schedule=_schedule(project),
    )


def _pulling(project: Project, report: Report) -> tuple[PullingAdvice, ...] | None:
    pulling = project.settings.pulling
    if pulling is None or project.schedule is None:
        return None
    return tuple(
        way
        for row in report.runs
        for way in advise(row.run, project.pulls_of(row.run) or (), pulling)
    )


def _schedule(project: Project) -> tuple[ScheduleLine, ...] | None:
    if project.schedule is None:
        return None
    return compare_schedule(
        project.carried.pull_legs, project.network, makeup_m=project.settings.makeup_m
    )
