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

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial

from modelcheck.checks.box_view import BoxView
from modelcheck.checks.distance_finding import judge
from modelcheck.checks.distance_row import Demand, DistanceRow, Words
from modelcheck.checks.entry_conductors import EntryConductors, conductors_at
from modelcheck.checks.inside import missing_inside, sure_distance
from modelcheck.checks.pairing import Edge, Group, weigh
from modelcheck.checks.pulls import is_large
from modelcheck.checks.wording import distinct
from modelcheck.model.element import WALLS, axis_of
from modelcheck.model.finding import Finding, Outcome
from modelcheck.model.settings import RuleSwitches
from modelcheck.rules.conductors import ConductorSize, conductor, conductor_sizes
from modelcheck.rules.pull_box import bending_space, cover_depth_by_diameter
from modelcheck.rules.requirement import Requirement, meets
from modelcheck.rules.tables import TableRow
from modelcheck.units import Unit

CHECK = "cover-depth"
_COMMON_INSULATION = "RW90"  # named in a message only, where none is told
_REMEDY = "take a deeper box, or bring the raceway in at a side wall"


def findings(box: BoxView) -> tuple[Finding, ...]:
    """One row where entries lie, or may lie, opposite the cover."""
    return judge(box, rows)


def rows(box: BoxView) -> Iterator[DistanceRow]:
    """Give a row of each wall that lies opposite the cover: rivals, of which the worst stands."""
    at = [
        conductors
        for entry in box.entries
        if box.faces_cover(entry.wall) != "no"
        and (conductors := conductors_at(entry, box)).may_be_large
    ]
    at = [each for each in at if not each.is_spare] or at
    if any(box.faces_cover(each.entry.wall) == "maybe" for each in at):
        yield _undecided(box, at)
        return
    for wall in WALLS:
        own = [each for each in at if each.entry.wall == wall]
        if own:
            yield _row(box, wall, own)


def _undecided(box: BoxView, at: Sequence[EntryConductors]) -> DistanceRow:
    reason = "tell on which wall the cover lies: it may lie opposite an entry"
    measure = "The depth from the cover to the wall opposite"
    return DistanceRow(
        box=box,
        key=CHECK,
        check=CHECK,
        rule=_rule(box),
        entries=tuple(each.entry.place for each in at),
        asks=lambda *_: _not_known(at),
        measures=lambda *_: None,
        words=lambda: Words(measure=measure, remedy=_REMEDY, notes=_notes(box, at)),
        missing=distinct([reason, *_doubts(at)]),
        groups=(Group(certain=frozenset(_not_known(at))),),
    )


def _row(box: BoxView, wall: str, at: Sequence[EntryConductors]) -> DistanceRow:
    """Row of one wall; a failure is sure whatever else isn't known."""
    axis = axis_of(wall)
    demands = _demands(box, at, box.unit, box.switches)
    return DistanceRow(
        box=box,
        key=CHECK,
        check=CHECK,
        rule=_rule(box),
        entries=tuple(each.entry.place for each in at),
        asks=partial(_demands, box, at),
        measures=partial(sure_distance, axis),
        words=partial(_words, box, wall, at),
        axis=axis,
        missing=_missing_at(box, wall, at),
        is_wanting=any(_required(each, box, box.unit) is None for each in at),
        groups=(Group(certain=frozenset(demands)),),
    )


def _missing_at(box: BoxView, wall: str, at: Sequence[EntryConductors]) -> tuple[str, ...]:
    return distinct([*missing_inside(box, wall), *_doubts(at)])


def _doubts(at: Sequence[EntryConductors]) -> list[str]:
    conflicts = [each.entry.missing for each in at if each.entry.entry.size.conflict]
    return [*conflicts, *(doubt for each in at for doubt in each.doubts)]


def _demands(
    box: BoxView, at: Sequence[EntryConductors], unit: Unit, _: RuleSwitches
) -> Mapping[Edge, Demand]:
    """What is known of the depths that the entries ask."""
    known = {
        (each.entry.place, each.entry.place): Demand.sure(asked)
        for each in at
        if (asked := _required(each, box, unit)) is not None
    }
    return known or _not_known(at)


def _not_known(at: Sequence[EntryConductors]) -> Mapping[Edge, Demand]:
    return {(each.entry.place, each.entry.place): Demand.sure(None) for each in at}


def _words(box: BoxView, wall: str, at: Sequence[EntryConductors]) -> Words:
    unknown = [each for each in at if _required(each, box, box.unit) is None]
    wanting = [*(_missing(each, box) for each in unknown), _serves(box, at) if unknown else ""]
    together = _taken_together(box, at) if _passes(box, wall, at) else ""
    return Words(
        measure=f"The depth from the cover to wall {wall}",
        remedy=_REMEDY,
        wanting=distinct(wanting),
        notes=distinct([*_notes(box, at), together]),
    )


def _passes(box: BoxView, wall: str, at: Sequence[EntryConductors]) -> bool:
    """Whether the wall has the depth that is known to be asked of it."""
    demands = _demands(box, at, box.unit, box.switches)
    asked = weigh((Group(certain=frozenset(demands)),), demands)
    provided_m = sure_distance(axis_of(wall), box.box.inside_m, box.switches)
    return (
        asked is not None
        and asked.outcome(provided_m, tolerance_m=box.tolerance_m) is Outcome.PASS
        and not _missing_at(box, wall, at)
    )


def _taken_together(box: BoxView, at: Sequence[EntryConductors]) -> str:
    """Tell if the largest raceway with the largest conductor of the wall would fail (D16)."""
    everything = tuple(each for entry in at for each in entry.large)
    asked = [_required(replace(each, large=everything), box, box.unit) for each in at]
    depth_m = box.inside_m(at[0].entry.wall)
    if depth_m is None or all(_is_met(depth, depth_m, box) for depth in asked):
        return ""
    return "fails if the largest raceway and the largest conductor are taken together (D16)"


def _is_met(depth: Requirement | None, depth_m: float, box: BoxView) -> bool:
    return depth is not None and meets(depth_m, depth.value_m, tolerance=box.tolerance_m)


def _notes(box: BoxView, at: Sequence[EntryConductors]) -> tuple[str, ...]:
    return distinct([box.cover_note, *_diameter_notes(box, at)])


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


def _serves(box: BoxView, at: Sequence[EntryConductors]) -> str:
    """Name the largest conductor that the depth would serve, in every entry of the wall."""
    depth_m = box.inside_m(at[0].entry.wall)
    if depth_m is None or any(each.entry.size is None for each in at):
        return ""
    by_size = box.book.factor(CHECK) is None
    served = [
        size
        for size in conductor_sizes()
        if is_large(size, box.book) and _is_served(size, box, at, depth_m=depth_m)
    ]
    threshold = box.book.threshold.conductor_size
    if not served:
        return f"the depth would not even serve {threshold}"
    name = served[-1].size if by_size else f"{served[-1].size} {_COMMON_INSULATION}"
    return f"the depth would serve up to {name}"


def _is_served(
    size: ConductorSize, box: BoxView, at: Sequence[EntryConductors], *, depth_m: float
) -> bool:
    alike = [replace(each, large=((size, _COMMON_INSULATION),), is_unknown=False) for each in at]
    asked = [_required(each, box, box.unit) for each in alike]
    return all(_is_met(depth, depth_m, box) for depth in asked)
