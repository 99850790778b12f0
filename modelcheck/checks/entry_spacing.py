"""Distance between two entries that carry the same conductors, angle and U pulls only.

Why: conductors of 4 AWG and larger turn between the two entries; too near, they bend too tight.

Formula: factor x the larger of the two raceways; nothing is added for others.

Disputed: D2 measured between the nearest edges of the raceways' outside diameters, a straight line
in space (``spacing``). D12 it holds for an entry opposite a removable cover too.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from math import dist

from modelcheck.checks.box_view import BoxView, Inside
from modelcheck.checks.distance_finding import Reading, judge
from modelcheck.checks.distance_row import Demand, DistanceRow, Words
from modelcheck.checks.inside import missing_inside
from modelcheck.checks.pairing import Bounds, Edge
from modelcheck.checks.seen_entry import SeenEntry
from modelcheck.checks.wording import distinct
from modelcheck.geometry.walls import Circle, circle_gap_m, mouth
from modelcheck.model.element import axis_of
from modelcheck.model.finding import Finding
from modelcheck.model.settings import RuleSwitches
from modelcheck.rules.pull_box import PullBoxFactor, entry_spacing
from modelcheck.rules.requirement import spell_length
from modelcheck.units import Unit, from_metres

CHECK = "entry-spacing"
Two = tuple[SeenEntry, SeenEntry]
READINGS = (
    Reading(
        point="D2",
        phrase="measured edge to edge",
        chosen=lambda rules: replace(rules, spacing="edge"),
    ),
    Reading(
        point="D2",
        phrase="measured centre to centre",
        chosen=lambda rules: replace(rules, spacing="centre"),
    ),
)


def findings(box: BoxView) -> tuple[Finding, ...]:
    """One row for each pair of entries of an angle or U pull, or that may be one."""
    return judge(box, rows, READINGS)


def rows(box: BoxView) -> Iterator[DistanceRow]:
    """Rows that some pairing may make."""
    rule = box.book.factor(CHECK, wireway=box.box.is_wireway)
    for pair in box.turning:
        if rule is not None and pair[0] != pair[1]:
            yield _row(box, pair, rule)


def _row(box: BoxView, pair: Edge, rule: PullBoxFactor) -> DistanceRow:
    ends = (box.entries[pair[0]], box.entries[pair[1]])
    return DistanceRow(
        box=box,
        groups=box.groups,
        key=f"{pair[0]}-{pair[1]}",
        check=CHECK,
        rule=rule,
        entries=pair,
        asks=partial(_demands, pair, ends, rule),
        measures=partial(_apart_m, ends),
        words=partial(_words, box, pair, ends),
        missing=distinct([*_missing(box, *ends), ends[0].missing, ends[1].missing]),
    )


def _demands(
    pair: Edge, ends: Two, rule: PullBoxFactor, unit: Unit, _: RuleSwitches
) -> dict[Edge, Demand]:
    first, second = (end.size for end in ends)
    if first is None or second is None:
        return {pair: Demand.sure(None)}
    asked = entry_spacing(first.nominal(unit), second.nominal(unit), unit=unit, rule=rule)
    return {pair: Demand.sure(asked)}


def _words(box: BoxView, pair: Edge, ends: Two) -> Words:
    return Words(
        measure=f"The distance between {box.labels(pair)}",
        remedy="move them further apart, or one of them to another wall",
        unsure=f"give the raceway type of {_unsure(ends)}: its outside diameter decides",
        notes=_notes(box, ends),
    )


def _missing(box: BoxView, first: SeenEntry, second: SeenEntry) -> tuple[str, ...]:
    names = [entry.label for entry in (first, second) if _is_unplaced(entry)]
    unplaced = f"give the position on the wall of {' and '.join(names)}" if names else ""
    same_wall = first.wall == second.wall and not box.box.size_conflict
    inside = () if same_wall else missing_inside(box, first.wall, second.wall)
    sized = [entry for entry in (first, second) if entry.size is not None]
    thick = [entry.label for entry in sized if entry.diameter_m is None]
    diameter = f"give the outside diameter of {' and '.join(thick)}" if thick else ""
    return (unplaced, *inside, diameter)


def _is_unplaced(entry: SeenEntry) -> bool:
    return entry.entry.u_m is None or entry.entry.v_m is None


def _unsure(ends: Two) -> str:
    return " and ".join(
        entry.label
        for entry in ends
        if entry.diameter_m is None or entry.diameter_m[0] < entry.diameter_m[1]
    )


def _apart_m(ends: Two, inside_m: Inside, rules: RuleSwitches) -> Bounds | None:
    """Least and greatest distance that the outside diameters allow, by the chosen measure."""
    thick = _mouths(ends, inside_m, 1)
    if thick is None:
        return None
    if rules.spacing == "centre":
        centres_m = dist(thick[0].centre, thick[1].centre)
        return (centres_m, centres_m)
    least_m = circle_gap_m(*thick)
    thin = None if _are_sure(ends) else _mouths(ends, inside_m, 0)
    return (least_m, least_m if thin is None else circle_gap_m(*thin))


def _are_sure(ends: Two) -> bool:
    return all(
        end.diameter_m is not None and end.diameter_m[0] == end.diameter_m[1] for end in ends
    )


def _mouths(ends: Two, inside_m: Inside, bound: int) -> tuple[Circle, Circle] | None:
    """Mouths at the least (0) or greatest (1) outside diameter; None if one isn't placed."""
    first, second = (_mouth(end, inside_m, bound) for end in ends)
    round_a_corner = ends[0].wall != ends[1].wall
    if round_a_corner and None in (inside_m[axis_of(end.wall)] for end in ends):
        return None
    return None if first is None or second is None else (first, second)


def _mouth(end: SeenEntry, inside_m: Inside, bound: int) -> Circle | None:
    u_m, v_m = end.entry.u_m, end.entry.v_m
    if u_m is None or v_m is None or end.diameter_m is None:
        return None
    x_m, y_m, z_m = inside_m
    return mouth(
        end.wall,
        u_m=u_m,
        v_m=v_m,
        radius_m=end.diameter_m[bound] / 2,
        inside_m=(x_m or 0.0, y_m or 0.0, z_m or 0.0),
    )


def _notes(box: BoxView, ends: Two) -> tuple[str, ...]:
    units = box.units
    notes = [end.diameter_note(units) for end in ends]
    mouths = _mouths(ends, box.box.inside_m, 1)
    if mouths is not None:
        centres = from_metres(dist(mouths[0].centre, mouths[1].centre), units)
        notes.append(f"{spell_length(centres, units)} centre to centre")
    if any(box.faces_cover(end.wall) == "yes" for end in ends):
        notes.append("holds for an entry opposite the cover too (D12)")
    return distinct(notes)
