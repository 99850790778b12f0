"""What the rows of a box ask, for what proposes its size and the places of its entries."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeVar

from modelcheck.checks import angle_pull_distance, entry_spacing
from modelcheck.checks.box_view import BoxView
from modelcheck.checks.distance_row import DistanceRow, requirement_of, standing
from modelcheck.model.demand import BoxDemands, LengthDemand, RowSum, SpacingDemand
from modelcheck.model.element import axis_of
from modelcheck.model.finding import Finding
from modelcheck.model.pull import BoxCase
from modelcheck.rules.pull_box import PullBoxFactor
from modelcheck.units import M_PER_CM, VolumeUnit, convert_volume, to_metres

DemandT = TypeVar("DemandT", LengthDemand, SpacingDemand, RowSum)


def demands_of(box: BoxView, rows: Iterable[DistanceRow], volume: Iterable[Finding]) -> BoxDemands:
    """Gather what every row of a box asks at most, under every pairing that is possible.

    Also of one that the tables leave out, as it passes where it exists.

    Parameters
    ----------
    box : BoxView
    rows : iterable of DistanceRow
        Those of the box.
    volume : iterable of Finding
        About its volume, if there is one.
    """
    asked = [row for row in standing(rows) if row.weighed is not None]
    lengths = _known(_length(row) for row in asked)
    rules = box.switches
    return BoxDemands(
        lengths=lengths,
        spacings=_known(_spacing(row) for row in asked),
        row_sums=_known(_row_sum(row, box) for row in asked),
        volume_m3=_volume_m3(volume),
        depth_axis=depth_axis(box.case, [each.axis for each in lengths]),
        radii_m=tuple(
            None if entry.diameter_m is None else entry.diameter_m[1] / 2 for entry in box.entries
        ),
        names=tuple(entry.label for entry in box.entries),
        between_centres=rules.spacing == "centre",
        linked_rows=rules.row == "linked",
    )


def depth_axis(case: BoxCase, asked: Sequence[int]) -> int:
    """Axis that the cover closes: as told, else the shallowest, else one that nothing is asked of.

    Parameters
    ----------
    case : BoxCase
    asked : sequence of int
        Axes that a row bears on.
    """
    if case.enclosure.cover:
        return axis_of(case.enclosure.cover[0])
    inside = [length for length in case.enclosure.inside_m if length is not None]
    if len(inside) == len(case.enclosure.inside_m):
        return min(range(3), key=lambda axis: (inside[axis], -axis))
    free = [axis for axis in range(3) if axis not in asked]
    return free[-1] if free else 2


def _known(demands: Iterable[DemandT | None]) -> tuple[DemandT, ...]:
    return tuple(each for each in demands if each is not None)


def _length(row: DistanceRow) -> LengthDemand | None:
    requirement = requirement_of(row)
    if row.axis is None or requirement is None:
        return None
    return LengthDemand(
        axis=row.axis,
        length_m=requirement.value_m,
        check=row.check,
        working=requirement.working,
        by_rows=_counts_rows(row),
    )


def _counts_rows(row: DistanceRow) -> bool:
    return (
        row.check == angle_pull_distance.CHECK
        and isinstance(row.rule, PullBoxFactor)
        and row.rule.counted == "row"
        and len(row.entries) > 1
    )


def _spacing(row: DistanceRow) -> SpacingDemand | None:
    requirement = requirement_of(row) if row.check == entry_spacing.CHECK else None
    if requirement is None:
        return None
    return SpacingDemand(
        first=row.entries[0],
        second=row.entries[1],
        distance_m=requirement.value_m,
        working=requirement.working,
    )


def _row_sum(row: DistanceRow, box: BoxView) -> RowSum | None:
    rule, asked = row.rule, row.weighed
    if asked is None or not _counts_rows(row) or not isinstance(rule, PullBoxFactor):
        return None
    turned = {place for pair in asked.made_by for place in pair} & set(row.entries)
    _, may_be_straight = box.only_straight
    counted = [
        box.entries[place]
        for place in row.entries
        if place in turned or box.switches.straight_in_row == "sum" or place not in may_be_straight
    ]
    sizes = [(each.place, each.size) for each in counted]
    return RowSum(
        wall=box.entries[row.entries[0]].wall,
        turned=frozenset(turned),
        counts_m=tuple(
            (place, to_metres(size.nominal(box.unit), box.unit))
            for place, size in sizes
            if size is not None
        ),
        factor=rule.factor,
    )


def _volume_m3(findings: Iterable[Finding]) -> float | None:
    """Volume that the conductors smaller than 4 AWG need, where it is known."""
    for finding in findings:
        if finding.required is not None and finding.unit:
            unit: VolumeUnit = "in3" if finding.unit == "in3" else "cm3"
            return convert_volume(finding.required, unit, "cm3") * M_PER_CM**3
    return None
