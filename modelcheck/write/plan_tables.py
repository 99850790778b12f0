"""The tables of what is proposed and advised for runs."""

from __future__ import annotations

from modelcheck.model.run_plans import RunPlans
from modelcheck.write.csv_tables import Table
from modelcheck.write.pull_points_table import PULL_POINTS, pull_points_line, pull_points_table
from modelcheck.write.pulling_table import PULLING, pulling_line, pulling_table
from modelcheck.write.schedule_table import SCHEDULE, schedule_line, schedule_table

PLAN_TABLES = (PULL_POINTS, PULLING, SCHEDULE)


def plan_tables(plans: RunPlans) -> tuple[Table, ...]:
    """Tables of `plans`, as far as they were asked for."""
    return (
        pull_points_table(plans.pull_points),
        *((pulling_table(plans.pulling),) if plans.pulling is not None else ()),
        *((schedule_table(plans.schedule),) if plans.schedule is not None else ()),
    )


def plan_lines(plans: RunPlans) -> tuple[str, ...]:
    """Lines for the terminal, as far as there is anything to tell."""
    lines = (
        pull_points_line(plans.pull_points),
        pulling_line(plans.pulling or ()),
        schedule_line(plans.schedule or ()),
    )
    return tuple(line for line in lines if line)
