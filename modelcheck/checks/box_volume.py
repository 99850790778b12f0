"""Volume of a box against that of the conductors smaller than 4 AWG in it, and what else it holds.

Why: conductors crowded into a box are cut and get hot; each takes a fixed volume by its size.

Formula: allowances x the volume of one, added up. A conductor that passes through counts once,
and once for each end that is spliced. Clamps, studs, hickeys, device straps, grounding or bonding
conductors and connectors count as each code says; what no input names counts as none. The volume
of the box is the one marked or set, else that of the listed box that a property names, else inside
width x height x depth; listed extension rings add to it, barriers take from it.

Disputed: D9 with conductors of both kinds in a box both rules hold: the distances by the large
ones, the volume by the small ones. D10 an odd connector counts nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from modelcheck.checks.box_view import BoxView
from modelcheck.checks.fill_items import BoxItems, items_in
from modelcheck.checks.wording import distinct
from modelcheck.model.finding import Finding, Outcome
from modelcheck.rules.box_fill import (
    FillTerm,
    ListedBox,
    fill_terms,
    find_listed_box,
    without_allowance,
)
from modelcheck.rules.requirement import meets
from modelcheck.units import VolumeUnit, convert_volume, from_metres

CHECK = "box-volume"
_VOLUME_NOISE = 1e-6  # of converted floats [unit]


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """What a box offers."""

    volume: float | None  # [unit of the code]
    listed: ListedBox | None = None
    is_plain: bool = True  # the listed box alone, nothing added or taken off
    note: str = ""
    missing: str = ""
    caveats: tuple[str, ...] = ()


def findings(box: BoxView) -> tuple[Finding, ...]:
    """One row for a box that holds conductors smaller than 4 AWG."""
    items = items_in(box)
    if items is None:
        return ()
    terms = fill_terms(items.items, box.book.box_fill)
    unworked = tuple(
        f"there is no allowance for the {item.item}s of {item.size}: work the volume by hand"
        for item in without_allowance(items.items, box.book.box_fill)
    )
    items = replace(items, missing=(*items.missing, *unworked))
    room = _room(box)
    by_count = _by_count(box, items, terms, room)
    return (by_count or _by_volume(box, items, terms, room),)


def _by_count(
    box: BoxView, items: BoxItems, terms: Sequence[FillTerm], room: Room
) -> Finding | None:
    """Use the table's own count for conductors of one size in a listed box, where it has one."""
    sizes = {term.size for term in terms}
    if room.listed is None or not room.is_plain or len(sizes) != 1 or items.missing:
        return None
    (size,) = sizes
    most = room.listed.count_of(size)
    if most is None:
        return None
    number = sum(term.number for term in terms)
    working = f"{' + '.join(f'{term.number:g} ({term.what})' for term in terms)} = {number:g}"
    return _finding(
        box,
        items,
        terms,
        room,
        required=number,
        provided=float(most),
        unit="",
        working=f"{working} of {size} in a {room.listed.name}, which takes {most}",
        spelled=(f"{number:g} allowances of {size}", f"{most}"),
    )


def _by_volume(box: BoxView, items: BoxItems, terms: Sequence[FillTerm], room: Room) -> Finding:
    unit, shown = box.book.box_fill.unit, _shown_unit(box)
    needed = None if items.missing else sum(term.number * term.volume for term in terms)
    working = "" if needed is None else _working(terms, needed, unit=unit, shown=shown)
    required = None if needed is None else convert_volume(needed, unit, shown)
    provided = None if room.volume is None else convert_volume(room.volume, unit, shown)
    spelled = tuple(
        "" if volume is None else f"{volume:.{1 if shown == 'cm3' else 2}f} {shown}"
        for volume in (required, provided)
    )
    return _finding(
        box,
        items,
        terms,
        room,
        required=required,
        provided=provided,
        unit=shown if required is not None or provided is not None else "",
        working=working,
        spelled=(spelled[0], spelled[1]),
    )


def _working(
    terms: Sequence[FillTerm], needed: float, *, unit: VolumeUnit, shown: VolumeUnit
) -> str:
    named = [(term, term.size if term.what == "conductor" else term.what) for term in terms]
    parts = [f"{term.number:g} x {term.volume:g} ({name})" for term, name in named]
    line = f"{' + '.join(parts) or '0'} = {needed:g} {unit}"
    if unit == shown:
        return line
    return f"{line} = {convert_volume(needed, unit, shown):.{1 if shown == 'cm3' else 2}f} {shown}"


def _finding(
    box: BoxView,
    items: BoxItems,
    terms: Sequence[FillTerm],
    room: Room,
    *,
    required: float | None,
    provided: float | None,
    unit: str,
    working: str,
    spelled: tuple[str, str],
) -> Finding:
    missing = distinct([*items.missing, "" if provided is not None else room.missing])
    outcome = Outcome.NEEDS_INPUT
    if required is not None and provided is not None:
        is_enough = meets(provided, required, tolerance=_VOLUME_NOISE)
        outcome = Outcome.PASS if is_enough else Outcome.FAIL
        if is_enough and items.may_grow:
            outcome, missing = Outcome.NEEDS_INPUT, items.may_grow
    clause = box.book.clauses[CHECK]
    return Finding(
        check=CHECK,
        outcome=outcome,
        subject=box.box.ref,
        elements=box.conduits(items.places),
        required=required,
        provided=provided,
        unit=unit,
        code=box.book.code,
        edition=box.book.edition,
        clause=clause.clause,
        working=working,
        assumptions=_assumptions(box, items, terms, room),
        message=_message(box, outcome, spelled=spelled, missing=missing),
        at=box.box.origin,
    )


def _assumptions(
    box: BoxView, items: BoxItems, terms: Sequence[FillTerm], room: Room
) -> tuple[str, ...]:
    return distinct(
        [
            *box.box.assumptions,
            *items.notes,
            room.note,
            *(caveat for term in terms for row in term.rows for caveat in row.caveats),
            *room.caveats,
            *box.book.threshold.caveats,
        ]
    )


def _message(
    box: BoxView, outcome: Outcome, *, spelled: tuple[str, str], missing: Sequence[str]
) -> str:
    needed, there = spelled
    clause = box.book.named(box.book.clauses[CHECK].clause)
    if outcome is Outcome.NEEDS_INPUT:
        known = f" against the {needed} needed" if needed else ""
        return f"The volume of the box can't be decided{known} by {clause}: {'; '.join(missing)}"
    if outcome is Outcome.PASS:
        return f"The box has {there}, and what it holds needs {needed} by {clause}: nothing to do"
    return (
        f"What the box holds needs {needed} by {clause} and it has {there}: take a larger box, a"
        " listed extension ring, or fewer conductors"
    )


def _room(box: BoxView) -> Room:
    contents, unit = box.box.contents, box.book.box_fill.unit
    extra = convert_volume(
        (contents.extension_volume_cm3 or 0.0) - (contents.barrier_volume_cm3 or 0.0), "cm3", unit
    )
    if contents.volume_cm3 is not None:
        marked = convert_volume(contents.volume_cm3, "cm3", unit)
        return Room(volume=marked + extra, note="volume as marked on the box or set")
    listed = find_listed_box(contents.standard_box, box.book.box_fill.listed_boxes)
    if listed is not None:
        return Room(
            volume=listed.volume + extra,
            listed=listed,
            is_plain=not (contents.extension_volume_cm3 or contents.barrier_volume_cm3),
            caveats=listed.caveats,
        )
    return _measured(box, extra, unit)


def _measured(box: BoxView, extra: float, unit: VolumeUnit) -> Room:
    name = box.box.contents.standard_box
    unlisted = f"{name!r} is not a listed box; " if name else ""
    if box.box.size_conflict:
        return Room(volume=None, missing=f"settle the inside size: {box.box.size_conflict}")
    lengths = [length for length in box.box.inside_m if length is not None]
    if len(lengths) < len(box.box.inside_m):
        return Room(volume=None, missing=f"{unlisted}give the volume of the box or its inside size")
    in3 = 1.0
    for length_m in lengths:
        in3 *= from_metres(length_m, "in")
    return Room(
        volume=convert_volume(in3, "in3", unit) + extra,
        note=f"{unlisted}volume is inside width x height x depth",
    )


def _shown_unit(box: BoxView) -> VolumeUnit:
    return "in3" if box.settings.units == "in" else "cm3"
