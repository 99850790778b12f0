"""What the rows of a box ask, for what proposes its size and the places of its entries."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TypeVar

from modelcheck.checks import (
    angle_pull_distance,
    box_volume,
    conduit_body,
    cover_depth,
    entry_spacing,
    straight_pull_length,
)
from modelcheck.checks.box_view import BoxView, see_box
from modelcheck.checks.distance_row import Decision, decide, decisions
from modelcheck.model.demand import BoxDemands, LengthDemand, RowSum, SpacingDemand
from modelcheck.model.element import axis_of
from modelcheck.model.pull import BoxCase
from modelcheck.model.settings import Settings
from modelcheck.rules.catalogue import RuleBook
from modelcheck.rules.pull_box import PullBoxFactor
from modelcheck.units import M_PER_CM, VolumeUnit, convert_volume, to_metres

_BY_DISTANCE = (straight_pull_length, angle_pull_distance, cover_depth, entry_spacing)
DemandT = TypeVar("DemandT", LengthDemand, SpacingDemand, RowSum, Decision)


def demands_of(case: BoxCase, rulebook: RuleBook, settings: Settings) -> BoxDemands:
    """Gather what every row of a box asks at most, under every pairing that is possible.

    Parameters
    ----------
    case : BoxCase
    rulebook : RuleBook
        Of the same settings.
    settings : Settings
    """
    box = see_box(case, rulebook, settings)
    decided = _asked(box)
    lengths = _known(_length(decision) for decision in decided)
    return BoxDemands(
        lengths=lengths,
        spacings=_known(_spacing(decision) for decision in decided),
        row_sums=_known(_row_sum(decision, box) for decision in decided),
        volume_m3=_volume_m3(box),
        depth_axis=depth_axis(case, [each.axis for each in lengths]),
        radii_m=tuple(
            None if entry.diameter_m is None else entry.diameter_m[1] / 2 for entry in box.entries
        ),
        names=tuple(entry.label for entry in box.entries),
        between_centres=settings.rules.spacing == "centre",
        linked_rows=settings.rules.row == "linked",
    )


def decided_distances(box: BoxView) -> tuple[Decision, ...]:
    """Rows about a distance, in the order one would work them."""
    if conduit_body.is_unmeasured(box) or box.leaves_out(box.box.system):
        return ()
    return tuple(each for check in _BY_DISTANCE for each in decisions(box, check.rows))


def _asked(box: BoxView) -> tuple[Decision, ...]:
    """Every row that some pairing makes, also one that is left out as it passes where it exists."""
    if conduit_body.is_unmeasured(box) or box.leaves_out(box.box.system):
        return ()
    rows = (row for check in _BY_DISTANCE for row in check.rows(box, box.unit))
    return _known(decide(replace(row, provided_m=None), box) for row in rows)


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


def _length(decision: Decision) -> LengthDemand | None:
    row, requirement = decision.row, decision.requirement
    if row.axis is None or requirement is None:
        return None
    return LengthDemand(
        axis=row.axis,
        length_m=to_metres(requirement.value, requirement.unit),
        check=row.check,
        working=requirement.working,
        by_rows=_counts_rows(decision),
    )


def _counts_rows(decision: Decision) -> bool:
    rule = decision.row.rule
    return (
        decision.row.check == angle_pull_distance.CHECK
        and isinstance(rule, PullBoxFactor)
        and rule.counted == "row"
        and len(decision.row.entries) > 1
    )


def _spacing(decision: Decision) -> SpacingDemand | None:
    row, requirement = decision.row, decision.requirement
    if row.check != entry_spacing.CHECK or requirement is None:
        return None
    return SpacingDemand(
        first=row.entries[0],
        second=row.entries[1],
        distance_m=to_metres(requirement.value, requirement.unit),
        working=requirement.working,
    )


def _row_sum(decision: Decision, box: BoxView) -> RowSum | None:
    row, rule = decision.row, decision.row.rule
    if not _counts_rows(decision) or not isinstance(rule, PullBoxFactor):
        return None
    turned = {place for pair in decision.weighed.made_by for place in pair} & set(row.entries)
    counted = [
        box.entries[place]
        for place in row.entries
        if place in turned
        or box.switches.straight_in_row == "sum"
        or not angle_pull_distance.only_straight(box, place, certain=False)
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


def _volume_m3(box: BoxView) -> float | None:
    """Volume that the conductors smaller than 4 AWG need, where it is known."""
    for finding in box_volume.findings(box):
        if finding.required is not None and finding.unit:
            unit: VolumeUnit = "in3" if finding.unit == "in3" else "cm3"
            return convert_volume(finding.required, unit, "cm3") * M_PER_CM**3
    return None
