"""The tables of what is proposed and advised for runs."""

from __future__ import annotations

from pathlib import Path

from modelcheck.model.run_plans import RunPlans
from modelcheck.write.pull_points_table import PULL_POINTS, pull_points_line, write_pull_points

PLAN_TABLES = (PULL_POINTS,)


def write_plans(plans: RunPlans, folder: Path) -> None:
    """Write the tables of `plans` into `folder`."""
    write_pull_points(plans.pull_points, folder)


def plan_lines(plans: RunPlans) -> tuple[str, ...]:
    """Lines for the terminal, as far as there is anything to tell."""
    lines = (pull_points_line(plans.pull_points),)
    return tuple(line for line in lines if line)
