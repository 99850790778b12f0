"""What is proposed and advised for runs; none of it changes an outcome."""

from __future__ import annotations

from dataclasses import dataclass

from modelcheck.model.pull_points import PullPointPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class RunPlans:
    """Proposals and advice for the runs of a project."""

    pull_points: tuple[PullPointPlan, ...] = ()
