"""The tables of what is proposed and advised for runs."""

from __future__ import annotations

from pathlib import Path

from modelcheck.model.run_plans import RunPlans
from modelcheck.write.pull_points_table import PULL_POINTS, pull_points_line, write_pull_points
from modelcheck.write.pulling_table import PULLING, pulling_line, write_pulling
from modelcheck.write.schedule_table import SCHEDULE, schedule_line, write_schedule

PLAN_TABLES = (PULL_POINTS, PULLING, SCHEDULE)


def plan_tables(plans: RunPlans) -> tuple[str, ...]:
    """Names of the tables of `plans`."""
    return (
        PULL_POINTS,
        *((PULLING,) if plans.pulling is not None else ()),
        *((SCHEDULE,) if plans.schedule is not None else ()),
    )


def write_plans(plans: RunPlans, folder: Path) -> None:
    """Write the tables of `plans` into `folder`."""
    write_pull_points(plans.pull_points, folder)
    if plans.pulling is not None:
        write_pulling(plans.pulling, folder)
    if plans.schedule is not None:
        write_schedule(plans.schedule, folder)


def plan_lines(plans: RunPlans) -> tuple[str, ...]:
    """Lines for the terminal, as far as there is anything to tell."""
    lines = (
        pull_points_line(plans.pull_points),
        pulling_line(plans.pulling or ()),
        schedule_line(plans.schedule or ()),
    )
    return tuple(line for line in lines if line)
