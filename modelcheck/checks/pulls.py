"""Pulls of a box: whether the distances hold for them, and the edges they make."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from enum import Enum, auto

from modelcheck.checks.pairing import (
    Group,
    every_pairing,
    split_pull,
    unknown_entries,
)
from modelcheck.checks.seen_entry import SeenEntry, only_small_raceways
from modelcheck.model.element import BoxContents, opposite
from modelcheck.model.pull import BoxCase, BoxPull, Conductors
from modelcheck.model.settings import Settings
from modelcheck.rules.catalogue import RuleBook
from modelcheck.rules.conductors import ConductorSize, conductor_size
from modelcheck.rules.limits import every_edition


class Weight(Enum):
    """How the conductors of a pull compare with 4 AWG."""

    LARGE = auto()
    SMALL = auto()
    UNKNOWN = auto()


def insulated(conductors: Sequence[Conductors]) -> tuple[Conductors, ...]:
    """All but the bare bonding conductors, which need no insulation."""
    return tuple(
        conductor
        for conductor in conductors
        if conductor.role != "bonding" or conductor.insulation.lower() not in ("", "bare")
    )


def weight_of(pull: BoxPull, book: RuleBook) -> Weight:
    """Tell whether the insulated conductors of `pull` reach the size where distances begin."""
    if not pull.conductors:
        return Weight.UNKNOWN
    return _weight([conductor_size(each.size) for each in insulated(pull.conductors)], book)


def over_voltage(pull: BoxPull) -> bool:
    """Whether other rules than these hold for the voltage of `pull`."""
    return pull.voltage_v is not None and pull.voltage_v > every_edition("voltage").value


def voltage_doubt(pull: BoxPull) -> str:
    """Say why rows of a pull over the voltage limit can't be decided; empty if it isn't over."""
    if not over_voltage(pull):
        return ""
    limit = every_edition("voltage")
    return (
        f"pull {pull.name} is over {limit.value:g} {limit.unit}, where other multiples hold that"
        " are not checked here: check it by hand, or leave its system out in the settings"
    )


def conductors_in_box(contents: BoxContents, book: RuleBook) -> Weight:
    """Tell the same of the conductors that properties or settings name for a box."""
    if not contents.conductors:
        return Weight.UNKNOWN
    return _weight([conductor_size(size) for size, _ in contents.conductors], book)


def is_large(size: ConductorSize, book: RuleBook) -> bool:
    """Whether the distances hold for this size."""
    threshold = conductor_size(book.threshold.conductor_size)
    return threshold is not None and threshold <= size


def has_schedule(case: BoxCase) -> bool:
    """Whether a schedule names an entry of this box."""
    return any(pull.entries for pull in case.pulls or ())


def unnamed_places(case: BoxCase) -> tuple[int, ...]:
    """Entries that no pull names in a box where others are named."""
    if not has_schedule(case):
        return ()
    named = {place for pull in case.pulls or () for place in pull.entries}
    return tuple(place for place in range(len(case.entries)) if place not in named)


def groups_of(
    case: BoxCase, book: RuleBook, settings: Settings, entries: Sequence[SeenEntry]
) -> tuple[Group, ...]:
    """Turn the pulls of 4 AWG and larger into edges; none for the smaller ones and for spares."""
    places = tuple(range(len(entries)))
    small_box = only_small_raceways(entries, book)
    if not has_schedule(case):
        weight = conductors_in_box(case.enclosure.contents, book)
        is_small = weight is Weight.SMALL or (weight is Weight.UNKNOWN and small_box)
        return () if is_small or len(places) <= 1 else (_all_unknown(places, weight, book),)
    groups = [
        group
        for pull in case.pulls or ()
        if pull.system not in settings.exclude_systems or not pull.system
        if _pulls_large(pull, book, small_box=small_box)
        for group in _group(pull, book, settings, entries)
    ]
    unnamed = unnamed_places(case)
    if unnamed and not small_box and len(places) > 1:
        groups.append(unknown_entries(unnamed, places))
    return tuple(groups)


def _pulls_large(pull: BoxPull, book: RuleBook, *, small_box: bool) -> bool:
    weight = weight_of(pull, book)
    return weight is Weight.LARGE or (weight is Weight.UNKNOWN and not small_box)


def _all_unknown(places: Sequence[int], weight: Weight, book: RuleBook) -> Group:
    notes = []
    if weight is Weight.UNKNOWN:
        notes.append(f"conductor sizes are not given: {_threshold(book)} or larger is assumed")
    if len(places) > 2:  # noqa: PLR2004 - two entries have just one pairing
        notes.append("which entries share conductors is not known: every pairing was weighed (D7)")
    return every_pairing(places, note="; ".join(notes))


def _group(
    pull: BoxPull, book: RuleBook, settings: Settings, entries: Sequence[SeenEntry]
) -> list[Group]:
    places = sorted(set(pull.entries))
    if pull.is_spare or not places or len(entries) <= 1:
        return []
    loops = Group(name=pull.name, certain=frozenset((place, place) for place in places))
    parts = [loops] if len(places) == 1 or pull.spliced else []
    if len(places) > 1:
        shared = split_pull(places, _hubs(places, entries), name=pull.name)
        only_angle = pull.spliced and settings.rules.spliced_straight == "angle"
        parts.append(_without_straight(shared, entries) if only_angle else shared)
    note = (
        f"the conductor size of pull {pull.name} is not given: {_threshold(book)} or larger is"
        " assumed"
    )
    is_assumed = weight_of(pull, book) is Weight.UNKNOWN
    return [
        replace(part, doubt=voltage_doubt(pull), note=note if is_assumed else "") for part in parts
    ]


def _threshold(book: RuleBook) -> str:
    return book.threshold.conductor_size


def _without_straight(group: Group, entries: Sequence[SeenEntry]) -> Group:
    turned = {
        (first, second)
        for first, second in group.edges
        if entries[second].wall != opposite(entries[first].wall)
    }
    return replace(
        group,
        certain=group.certain & turned,
        possible=group.possible & turned,
        must=frozenset(),
    )


def _hubs(places: Sequence[int], entries: Sequence[SeenEntry]) -> list[int]:
    """Largest of the entries; all of them where a size is missing, or two alone."""
    sizes = {place: entries[place].size for place in places}
    known = {place: size.inches for place, size in sizes.items() if size is not None}
    if len(places) == 2:  # noqa: PLR2004 - either of two is shared with the other
        return [places[0]]
    if len(known) < len(places):
        return list(places)
    return [place for place in places if known[place] == max(known.values())]


def _weight(sizes: Sequence[ConductorSize | None], book: RuleBook) -> Weight:
    if any(size is not None and is_large(size, book) for size in sizes):
        return Weight.LARGE
    return Weight.UNKNOWN if None in sizes else Weight.SMALL
