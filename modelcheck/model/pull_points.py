"""Where a run over a limit is to be parted."""

from __future__ import annotations

from dataclasses import dataclass

from modelcheck.model.element import ElementRef, Point
from modelcheck.model.run import Run


@dataclass(frozen=True, slots=True, kw_only=True)
class PullPoint:
    """One box to put into a run, by its middle."""

    element: ElementRef
    along_element_m: float  # from where the run comes into the element
    along_run_m: float
    at: Point
    straight_m: tuple[float, float]  # straight stretch it lies in, along the run


@dataclass(frozen=True, slots=True, kw_only=True)
class RunSection:
    """What lies between two neighbouring pull points, lengths to the middles of the boxes."""

    bends_deg: float
    length_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PullPointPlan:
    """The fewest pull points that bring a run within its limits, or why there is no plan."""

    run: Run
    bends_deg: float
    limit_deg: float
    limit_m: float | None = None
    points: tuple[PullPoint, ...] = ()
    sections: tuple[RunSection, ...] = ()  # one more than points
    box_length_m: float | None = None
    box_working: str = ""
    clause: str = ""
    problem: str = ""  # a sentence; without one the plan holds
    assumptions: tuple[str, ...] = ()
