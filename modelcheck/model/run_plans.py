"""What is proposed and advised for runs; none of it changes an outcome."""

from __future__ import annotations

from dataclasses import dataclass

from modelcheck.model.pull_points import PullPointPlan
from modelcheck.model.pulling import PullingAdvice
from modelcheck.model.schedule_line import ScheduleLine


@dataclass(frozen=True, slots=True, kw_only=True)
class RunPlans:
    """Proposals and advice for the runs of a project."""

    pull_points: tuple[PullPointPlan, ...] = ()
    pulling: tuple[PullingAdvice, ...] | None = None  # None: not asked for, or no schedule
    schedule: tuple[ScheduleLine, ...] | None = None  # None: no schedule
