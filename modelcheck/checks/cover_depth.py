"""Inside depth from a removable cover to the wall opposite it, where that wall has entries.

Why: conductors of 4 AWG and larger come in at the back and turn under the cover; the depth keeps
their bend wide enough.

Formula: by the nominal size of the raceway and some diameters of its largest conductor in one
code, by a table on the size of the largest conductor (one wire a terminal) in the other. The two
give very different depths for the same box.

Disputed: D8 a hinged door counts as a removable cover. D16 each entry is worked with its own
conductors, the worst governs; the other reading takes the largest raceway and the largest
conductor of the wall together.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from modelcheck.checks.box_view import BoxView
from modelcheck.checks.distance_row import Decision, Demand, DistanceRow, decide, judge
from modelcheck.checks.entry_conductors import EntryConductors, conductors_at
from modelcheck.checks.inside import missing_inside, sure_distance
from modelcheck.checks.pairing import Group
from modelcheck.checks.pulls import is_large
from modelcheck.checks.wording import distinct
from modelcheck.model.element import WALLS, axis_of
from modelcheck.model.finding import Finding, Outcome
from modelcheck.rules.conductors import ConductorSize, conductor, conductor_sizes
from modelcheck.rules.pull_box import bending_space, cover_depth_by_diameter
from modelcheck.rules.requirement import Requirement, meets
from modelcheck.rules.tables import TableRow
from modelcheck.units import Unit, from_metres, to_metres

CHECK = "cover-depth"
_COMMON_INSULATION = "RW90"  # named in a message only, where none is told


def findings(box: BoxView) -> tuple[Finding, ...]:
    """One row where entries lie, or may lie, opposite the cover."""
    return judge(box, rows)


def rows(box: BoxView, unit: Unit) -> Iterator[DistanceRow]:
    """Give the one row, worked on the names in `unit`, of the deciding pair of walls."""
    at = [
        conductors
        for entry in box.entries
        if box.faces_cover(entry.wall) != "no"
        and (conductors := conductors_at(entry, box)).may_be_large
    ]
    if not at:
        return
    at = [each for each in at if not each.is_spare] or at
    if any(box.faces_cover(each.entry.wall) == "maybe" for each in at):
        yield _undecided(box, at)
        return
    by_wall = [[each for each in at if each.entry.wall == wall] for wall in WALLS]
    candidates = [_row(box, each, unit) for each in by_wall if each]
    yield max(candidates, key=lambda row: _severity(row, box))


def _undecided(box: BoxView, at: Sequence[EntryConductors]) -> DistanceRow:
    row = _without_demand(box, at, measure="The depth from the cover to the wall opposite")
    reason = "tell on which wall the cover lies: it may lie opposite an entry"
    return replace(row, missing=distinct([reason, *row.missing]))


def _row(box: BoxView, at: Sequence[EntryConductors], unit: Unit) -> DistanceRow:
    """Row of one wall; a failure is sure whatever else isn't known."""
    wall = at[0].entry.wall
    measure = f"The depth from the cover to wall {wall}"
    row = _without_demand(box, at, measure=measure)
    known = {each.entry.place: _required(each, box, unit) for each in at}
    demands = {
        (place, place): Demand.sure(asked) for place, asked in known.items() if asked is not None
    }
    unknown = [each for each in at if known[each.entry.place] is None]
    missing = [_missing(each, box) for each in unknown]
    if demands:
        row = replace(row, demands=demands, groups=(Group(certain=frozenset(demands)),))
    decision = decide(row, box)
    if unknown and not (demands and decision is not None and decision.outcome is Outcome.FAIL):
        missing.append(_serves(box, at, unit))
        row = replace(row, missing=distinct([*row.missing, *missing]))
    if decision is not None and decision.outcome is Outcome.PASS:
        row = replace(row, notes=distinct([*row.notes, _taken_together(box, at, unit)]))
    return row


def _taken_together(box: BoxView, at: Sequence[EntryConductors], unit: Unit) -> str:
    """Tell if the largest raceway with the largest conductor of the wall would fail (D16)."""
    everything = tuple(each for entry in at for each in entry.large)
    asked = [_required(replace(each, large=everything), box, unit) for each in at]
    depth_m = box.inside_m(at[0].entry.wall)
    if depth_m is None or all(_is_met(depth, depth_m, box) for depth in asked):
        return ""
    return "fails if the largest raceway and the largest conductor are taken together (D16)"


def _is_met(depth: Requirement | None, depth_m: float, box: BoxView) -> bool:
    return depth is not None and meets(
        depth_m, to_metres(depth.value, depth.unit), tolerance=box.tolerance_m
    )


def _without_demand(box: BoxView, at: Sequence[EntryConductors], *, measure: str) -> DistanceRow:
    entries = [each.entry for each in at]
    loops = {(entry.place, entry.place): Demand.sure(None) for entry in entries}
    provided_m = sure_distance(box, entries[0].wall)
    is_told = box.faces_cover(entries[0].wall) == "yes"
    return DistanceRow(
        key=CHECK,
        check=CHECK,
        rule=_rule(box),
        entries=tuple(entry.place for entry in entries),
        demands=loops,
        groups=(Group(certain=frozenset(loops)),),
        provided_m=provided_m if is_told else None,
        measure=measure,
        remedy="take a deeper box, or bring the raceway in at a side wall",
        axis=axis_of(entries[0].wall) if is_told else None,
        missing=distinct(
            [
                *(missing_inside(box, entries[0].wall) if is_told else ()),
                *(entry.missing for entry in entries if entry.entry.size.conflict),
                *(doubt for each in at for doubt in each.doubts),
            ]
        ),
        notes=distinct([box.cover_note, *_diameter_notes(box, at)]),
    )


def _diameter_notes(box: BoxView, at: Sequence[EntryConductors]) -> Iterator[str]:
    """Tell the rows that the diameters come from, where diameters are used."""
    if box.book.factor(CHECK) is None:
        return
    for size, insulation in dict.fromkeys(each for entry in at for each in entry.large):
        row = conductor(size.size, insulation)
        if row is not None:
            diameter = row.diameter(box.unit)
            yield f"diameter of {size.size} {insulation}: {diameter:g} {box.unit} by {row.clause}"
            yield from row.caveats


def _rule(box: BoxView) -> TableRow:
    return box.book.factor(CHECK) or box.book.clauses[CHECK]


def _required(at: EntryConductors, box: BoxView, unit: Unit) -> Requirement | None:
    """Depth for the conductors of one entry; None where one of them isn't known."""
    if at.is_unknown or not at.large:
        return None
    factor = box.book.factor(CHECK)
    if factor is None:
        depths = [bending_space(size, box.book.bending_spaces) for size, _ in at.large]
    else:
        size = at.entry.size
        depths = [
            None
            if size is None or (row := conductor(each.size, insulation)) is None
            else cover_depth_by_diameter(size.nominal(unit), row, unit=unit, rule=factor)
            for each, insulation in at.large
        ]
    known = [depth for depth in depths if depth is not None]
    return max(known, key=lambda depth: depth.value) if len(known) == len(depths) else None


def _missing(at: EntryConductors, box: BoxView) -> str:
    """Say what an entry lacks for its depth to be worked."""
    label = at.entry.label
    if at.is_unknown or not at.large:
        return f"give the conductors that {label} carries"
    if box.book.factor(CHECK) is not None and at.entry.size is None:
        return at.entry.missing
    names = [f"{size.size} {insulation}".strip() for size, insulation in at.large]
    if box.book.factor(CHECK) is None:
        return f"give a depth for {' and '.join(names)}, which the table doesn't have"
    return (
        f"give an insulation that the conductor table has for the {' and '.join(names)} of {label}"
    )


def _serves(box: BoxView, at: Sequence[EntryConductors], unit: Unit) -> str:
    """Name the largest conductor that the depth would serve, in every entry of the wall."""
    depth_m = box.inside_m(at[0].entry.wall)
    if depth_m is None or any(each.entry.size is None for each in at):
        return ""
    by_size = box.book.factor(CHECK) is None
    served = [
        size
        for size in conductor_sizes()
        if is_large(size, box.book) and _is_served(size, box, at, unit, depth_m=depth_m)
    ]
    threshold = box.book.threshold.conductor_size
    if not served:
        return f"the depth would not even serve {threshold}"
    name = served[-1].size if by_size else f"{served[-1].size} {_COMMON_INSULATION}"
    return f"the depth would serve up to {name}"


def _is_served(
    size: ConductorSize,
    box: BoxView,
    at: Sequence[EntryConductors],
    unit: Unit,
    *,
    depth_m: float,
) -> bool:
    alike = [replace(each, large=((size, _COMMON_INSULATION),), is_unknown=False) for each in at]
    asked = [_required(each, box, unit) for each in alike]
    return all(_is_met(depth, depth_m, box) for depth in asked)


def _severity(row: DistanceRow, box: BoxView) -> tuple[int, float]:
    """Rank rows of several pairs of walls: worst outcome first, then the least margin."""
    decision: Decision | None = decide(row, box)
    if decision is None:
        return (-1, 0.0)
    if decision.requirement is None or row.provided_m is None:
        return (decision.outcome.rank, 0.0)
    provided = from_metres(row.provided_m[0], decision.requirement.unit)
    return (decision.outcome.rank, decision.requirement.value - provided)
