"""An entry as the checks see it, its sizes looked up."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from modelcheck.model.pull import BoxCase
from modelcheck.model.run import Entry
from modelcheck.rules.catalogue import RuleBook
from modelcheck.rules.conductors import conductor
from modelcheck.rules.conduit_fill import raceway_holding
from modelcheck.rules.raceways import (
    Designation,
    OutsideDiameter,
    by_trade_size,
    outside_diameter,
    outside_diameters,
)
from modelcheck.rules.requirement import spell_length
from modelcheck.units import Unit, from_metres


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenEntry:
    """One entry with all that its size says."""

    place: int  # in `BoxCase.entries`
    entry: Entry
    label: str
    size: Designation | None
    diameter_row: OutsideDiameter | None
    diameter_m: tuple[float, float] | None  # outside, at least and at most

    @property
    def wall(self) -> str:
        """Wall that it stands in."""
        return self.entry.wall

    @property
    def missing(self) -> str:
        """What must be told before a row with this entry can be decided; empty if nothing."""
        if self.entry.size.conflict:
            return f"settle the size of {self.label}: {self.entry.size.conflict}"
        if self.size is None and self.entry.is_cable:
            return (
                f"give the trade size that stands for cable {self.label}: of its connector, or of"
                " the smallest raceway that would hold its conductors"
            )
        return "" if self.size else f"give the trade size of {self.label}"

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What was assumed to get here."""
        named = () if self.size is None else self.size.caveats
        return (*self.entry.assumptions, *self.entry.size.assumptions, *named)

    def diameter_note(self, unit: Unit) -> str:
        """Tell what the outside diameter rests on, unless the table has it from a source."""
        if self.diameter_row is not None:
            return "; ".join(self.diameter_row.caveats)
        if self.diameter_m is None:
            return ""
        least, most = (spell_length(from_metres(each, unit), unit) for each in self.diameter_m)
        if least == most:
            return f"outside diameter of {self.label} as drawn: {most}"
        return f"raceway type of {self.label} not known: outside diameter taken as {most} at most"


def seen_entries(case: BoxCase, book: RuleBook) -> tuple[SeenEntry, ...]:
    """Look up every entry of a box, in their order."""
    if book.threshold.cable_size_by == "conductors":
        entries = tuple(_sized_cable(place, case, book) for place in range(len(case.entries)))
        case = replace(case, entries=entries)
    names = Counter(_name(entry) for entry in case.entries)
    return tuple(_seen(place, entry, names) for place, entry in enumerate(case.entries))


def _sized_cable(place: int, case: BoxCase, book: RuleBook) -> Entry:
    """The entry of a cable without a size gets that of a raceway for its scheduled conductors."""
    entry = case.entries[place]
    pulls = [pull for pull in case.pulls or () if place in pull.entries and not pull.is_spare]
    lines = [each for pull in pulls for each in pull.conductors]
    rows = [(conductor(each.size, each.insulation), each.count) for each in lines]
    if not entry.is_cable or entry.size.known or not rows:
        return entry
    known = [(row, count) for row, count in rows if row is not None and count]
    if len(known) < len(rows):
        return entry
    area_in2 = sum(row.area_in2 * count for row, count in known)
    count = sum(count for _, count in known)
    trade_size_in = raceway_holding(area_in2, count, book.fill_percents)
    if trade_size_in is None:
        return entry
    note = (
        f"cable counted as trade size {trade_size_in}, the smallest raceway of any type that would"
        f" hold its {count} conductors"
    )
    caveats = tuple(dict.fromkeys(text for row, _ in known for text in row.caveats))
    size = replace(
        entry.size,
        trade_size_in=trade_size_in,
        size_from="schedule",
        assumptions=(*entry.size.assumptions, note, *caveats),
    )
    return replace(entry, size=size)


def only_small_raceways(entries: Sequence[SeenEntry], book: RuleBook) -> bool:
    """Whether no raceway of the box can hold three conductors of 4 AWG."""
    limit = by_trade_size(book.threshold.small_raceway_in)
    return bool(entries) and all(
        entry.size is not None and limit is not None and entry.size.inches <= limit.inches
        for entry in entries
    )


def _name(entry: Entry) -> str:
    return entry.conduit.name or entry.conduit.guid


def _seen(place: int, entry: Entry, names: Mapping[str, int]) -> SeenEntry:
    name, size = _name(entry), entry.size
    row = outside_diameter(size.raceway_type, size.trade_size_in)
    return SeenEntry(
        place=place,
        entry=entry,
        label=name if names[name] == 1 else f"{name} [{entry.conduit.guid}]",
        size=by_trade_size(size.trade_size_in),
        diameter_row=row,
        diameter_m=_diameter_m(entry, row),
    )


def _diameter_m(entry: Entry, row: OutsideDiameter | None) -> tuple[float, float] | None:
    """Outside diameter: the table's, else the body's, else between those of all types."""
    if row is not None:
        return (row.diameter_m, row.diameter_m)
    if entry.size.outside_diameter_m is not None:
        return (entry.size.outside_diameter_m, entry.size.outside_diameter_m)
    of_size = [
        other.diameter_m
        for other in outside_diameters()
        if other.trade_size_in == entry.size.trade_size_in
    ]
    return (min(of_size), max(of_size)) if of_size else None
