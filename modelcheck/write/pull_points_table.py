"""The pull points that would bring runs within their limits, as CSV and on the terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from modelcheck.model.pull_points import PullPoint, PullPointPlan, RunSection
from modelcheck.units import from_metres
from modelcheck.write.csv_tables import Table, number, quantity, text_cell

PULL_POINTS = "pull_points.csv"
_COLUMNS = (
    "run model point points element_guid element_name along_element_mm along_run_mm x_m y_m z_m"
    " straight_from_mm straight_to_mm bends_before_deg length_before_mm bends_after_deg"
    " length_after_mm box_length_mm clause working bend_total_deg limit_deg length_mm"
    " limit_mm assumptions message"
)


def pull_points_table(plans: Sequence[PullPointPlan]) -> Table:
    """Where to part runs: a row a pull point, and one a run that can't be parted."""
    return Table(
        file=PULL_POINTS,
        columns=_COLUMNS.split(),
        records=[cells for plan in plans for cells in _rows(plan)],
        cells=dict,
    )


def pull_points_line(plans: Iterable[PullPointPlan]) -> str:
    """One line for the terminal; empty if no run is over its limits."""
    told = list(plans)
    if not told:
        return ""
    points = sum(len(plan.points) for plan in told)
    stuck = sum(bool(plan.problem) for plan in told)
    runs = f"{len(told)} run is" if len(told) == 1 else f"{len(told)} runs are"
    planned = f"{points} pull point{'s' * (points != 1)} would do"
    rest = f", but for {stuck} that have no room or can't be told" if stuck else ""
    return f"{runs} over a limit: {planned}{rest} ({PULL_POINTS})."


def _rows(plan: PullPointPlan) -> Iterator[dict[str, str]]:
    if plan.problem:
        yield {**_empty(), **_of_run(plan), "message": text_cell(plan.problem)}
    for place, point in enumerate(plan.points):
        before, after = plan.sections[place], plan.sections[place + 1]
        yield {
            **_of_run(plan),
            "point": str(place + 1),
            **_of_point(point),
            **_of_section(before, "before"),
            **_of_section(after, "after"),
            "message": text_cell(point_text(plan, point)),
        }


def _empty() -> dict[str, str]:
    return dict.fromkeys(_COLUMNS.split(), "")


def _of_run(plan: PullPointPlan) -> dict[str, str]:
    return {
        "run": text_cell(plan.run.name),
        "model": text_cell(plan.run.elements[0].model),
        "points": str(len(plan.points)) if plan.points else "",
        "box_length_mm": _mm(plan.box_length_m),
        "clause": text_cell(plan.clause),
        "working": text_cell(plan.box_working),
        "bend_total_deg": quantity(plan.bends_deg, "deg"),
        "limit_deg": quantity(plan.limit_deg, "deg"),
        "length_mm": _mm(plan.run.length_m),
        "limit_mm": _mm(plan.limit_m),
        "assumptions": text_cell(";".join(each.replace(";", ",") for each in plan.assumptions)),
    }


def _of_point(point: PullPoint) -> dict[str, str]:
    return {
        "element_guid": point.element.guid,
        "element_name": text_cell(point.element.name),
        "along_element_mm": _mm(point.along_element_m),
        "along_run_mm": _mm(point.along_run_m),
        "x_m": number(point.at[0], 3),
        "y_m": number(point.at[1], 3),
        "z_m": number(point.at[2], 3),
        "straight_from_mm": _mm(point.straight_m[0]),
        "straight_to_mm": _mm(point.straight_m[1]),
    }


def _of_section(section: RunSection, side: str) -> dict[str, str]:
    return {
        f"bends_{side}_deg": quantity(section.bends_deg, "deg"),
        f"length_{side}_mm": _mm(section.length_m),
    }


def point_text(plan: PullPointPlan, point: PullPoint) -> str:
    """Say what to put where.

    Parameters
    ----------
    plan : PullPointPlan
    point : PullPoint
        Of the plan.
    """
    name = point.element.name or point.element.guid
    box = "a box for a straight pull"
    if plan.box_length_m is not None:
        box += f", at least {_mm(plan.box_length_m)} mm long inside along the run"
    return f"Put {box} with its middle {_mm(point.along_element_m)} mm into {name}"


def _mm(length_m: float | None) -> str:
    return "" if length_m is None else quantity(from_metres(length_m, "mm"), "mm")
