"""Distance between two entries that carry the same conductors, angle and U pulls only.

Why: conductors of 4 AWG and larger turn between the two entries; too near, they bend too tight.

Formula: factor x the larger of the two raceways; nothing is added for others.

Disputed: D2 measured between the nearest edges of the raceways' outside diameters, a straight line
in space (``spacing``). D12 it holds for an entry opposite a removable cover too.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from math import dist

from modelcheck.checks.box_view import BoxView
from modelcheck.checks.distance_row import Demand, DistanceRow, Reading, judge
from modelcheck.checks.inside import missing_inside
from modelcheck.checks.pairing import Edge
from modelcheck.checks.seen_entry import SeenEntry
from modelcheck.checks.wording import distinct
from modelcheck.geometry.walls import Circle, circle_gap_m, mouth
from modelcheck.model.finding import Finding
from modelcheck.rules.pull_box import PullBoxFactor, entry_spacing
from modelcheck.rules.requirement import spell_length
from modelcheck.units import Unit, from_metres

CHECK = "entry-spacing"
Pair = tuple[Circle, Circle]
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


def rows(box: BoxView, unit: Unit) -> Iterator[DistanceRow]:
    """Rows that some pairing may make, worked on the names in `unit`."""
    rule = box.book.factor(CHECK, wireway=box.box.is_wireway)
    pairs = {pair for group in box.groups for pair in group.edges}
    for pair in sorted(pairs):
        if rule is not None and pair[0] != pair[1] and not box.is_straight(pair):
            yield _row(box, pair, unit=unit, rule=rule)


def _row(box: BoxView, pair: Edge, *, unit: Unit, rule: PullBoxFactor) -> DistanceRow:
    first, second = (box.entries[place] for place in pair)
    thin, thick = _mouths(box, first, second, 0), _mouths(box, first, second, 1)
    requirement = None
    if first.size is not None and second.size is not None:
        requirement = entry_spacing(
            first.size.nominal(unit), second.size.nominal(unit), unit=unit, rule=rule
        )
    return DistanceRow(
        key=f"{pair[0]}-{pair[1]}",
        check=CHECK,
        rule=rule,
        entries=pair,
        demands={pair: Demand.sure(requirement)},
        provided_m=_provided_m(box, thin, thick),
        measure=f"The distance between {box.labels(pair)}",
        remedy="move them further apart, or one of them to another wall",
        missing=distinct([*_missing(box, first, second), first.missing, second.missing]),
        unsure=f"give the raceway type of {_unsure(first, second)}: its outside diameter decides",
        notes=_notes(box, first, second, thick),
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


def _unsure(*entries: SeenEntry) -> str:
    return " and ".join(
        entry.label
        for entry in entries
        if entry.diameter_m is None or entry.diameter_m[0] < entry.diameter_m[1]
    )


def _provided_m(box: BoxView, thin: Pair | None, thick: Pair | None) -> tuple[float, float] | None:
    """Least and greatest distance that the outside diameters allow, by the chosen measure."""
    if thin is None or thick is None:
        return None
    if box.switches.spacing == "centre":
        centres_m = dist(thin[0].centre, thin[1].centre)
        return (centres_m, centres_m)
    return (_gap_m(*thick), _gap_m(*thin))


_gap_m = lru_cache(maxsize=4096)(circle_gap_m)  # each reading asks for the same gaps again


def _mouths(box: BoxView, first: SeenEntry, second: SeenEntry, bound: int) -> Pair | None:
    """Mouths at the least (0) or greatest (1) outside diameter; None if one isn't placed."""
    round_a_corner = first.wall != second.wall
    if round_a_corner and None in (box.inside_m(first.wall), box.inside_m(second.wall)):
        return None
    x_m, y_m, z_m = (length_m or 0.0 for length_m in box.box.inside_m)
    mouths = [
        mouth(
            each.wall,
            u_m=each.entry.u_m,
            v_m=each.entry.v_m,
            radius_m=each.diameter_m[bound] / 2,
            inside_m=(x_m, y_m, z_m),
        )
        for each in (first, second)
        if each.entry.u_m is not None and each.entry.v_m is not None and each.diameter_m is not None
    ]
    return (mouths[0], mouths[1]) if len(mouths) == 2 else None  # noqa: PLR2004 - a pair


def _notes(box: BoxView, first: SeenEntry, second: SeenEntry, ends: Pair | None) -> tuple[str, ...]:
    units = box.units
    notes = [first.diameter_note(units), second.diameter_note(units)]
    if ends is not None:
        centres = from_metres(dist(ends[0].centre, ends[1].centre), units)
        notes.append(f"{spell_length(centres, units)} centre to centre")
    if "yes" in (box.faces_cover(first.wall), box.faces_cover(second.wall)):
        notes.append("holds for an entry opposite the cover too (D12)")
    return distinct(notes)
