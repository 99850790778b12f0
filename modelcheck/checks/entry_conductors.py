"""Conductors of 4 AWG and larger that one entry of a box carries."""

from __future__ import annotations

from dataclasses import dataclass

from modelcheck.checks.box_view import BoxView
from modelcheck.checks.pulls import (
    Weight,
    has_schedule,
    insulated,
    is_large,
    over_voltage,
    voltage_doubt,
    weight_of,
)
from modelcheck.checks.seen_entry import SeenEntry, only_small_raceways
from modelcheck.model.pull import BoxPull
from modelcheck.rules.conductors import ConductorSize, conductor_size


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryConductors:
    """What is known of the conductors in one entry."""

    entry: SeenEntry
    large: tuple[tuple[ConductorSize, str], ...]  # size and insulation
    is_unknown: bool  # there may be others, of any size
    is_spare: bool = False  # spares only: nothing is in it yet
    doubts: tuple[str, ...] = ()

    @property
    def may_be_large(self) -> bool:
        """Whether it carries conductors of 4 AWG or larger, or may."""
        return bool(self.large) or self.is_unknown


def conductors_at(entry: SeenEntry, box: BoxView) -> EntryConductors:
    """Gather what the schedule says of the conductors of `entry`."""
    small_box = only_small_raceways(box.entries, box.book)
    pulls = [pull for pull in box.case.pulls or () if entry.place in pull.entries]
    excluded = [pull for pull in pulls if box.leaves_out(pull.system)]
    counted = [pull for pull in pulls if pull not in excluded and not pull.is_spare]
    if not has_schedule(box.case):
        unknown = bool(box.groups) or _assumed_large(box, small_box=small_box)
        return EntryConductors(entry=entry, large=(), is_unknown=unknown)
    only_spare = bool(pulls) and all(pull.is_spare for pull in pulls)
    unknown = (not pulls or only_spare) and not small_box
    unknown = unknown or any(_unsure(pull, box, small_box=small_box) for pull in counted)
    return EntryConductors(
        entry=entry,
        large=tuple(each for pull in counted for each in _large_of(pull, box)),
        is_unknown=unknown,
        is_spare=only_spare,
        doubts=tuple(voltage_doubt(pull) for pull in counted if over_voltage(pull)),
    )


def _assumed_large(box: BoxView, *, small_box: bool) -> bool:
    """Whether a box without pairs, as with one entry, must be taken to hold large conductors."""
    weight = box.contents_weight
    return weight is Weight.LARGE or (weight is Weight.UNKNOWN and not small_box)


def _unsure(pull: BoxPull, box: BoxView, *, small_box: bool) -> bool:
    """Whether a pull has a conductor without a size that may be a large one."""
    if not pull.conductors:
        return not small_box
    unsized = any(conductor_size(each.size) is None for each in insulated(pull.conductors))
    return unsized and (not small_box or weight_of(pull, box.book) is Weight.LARGE)


def _large_of(pull: BoxPull, box: BoxView) -> list[tuple[ConductorSize, str]]:
    return [
        (size, each.insulation)
        for each in insulated(pull.conductors)
        if (size := conductor_size(each.size)) is not None and is_large(size, box.book)
    ]
