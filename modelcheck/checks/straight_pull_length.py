"""Inside distance between two opposite walls that a straight pull joins.

Why: conductors of 4 AWG and larger are fed in by hand through the open box, in a loop; the length
of the box keeps that loop wide.

Formula: factor x the largest raceway of the straight pulls between the two walls.

Disputed: D5 a pull that is spliced in a straight run is under this rule and the angle rule
(``spliced_straight``). D13 entries of opposite walls are a straight pull however far they are out
of line; past 30 degrees it is told. D17 the largest raceway is that of the straight pulls, not of
the whole box (``largest_straight``). D3 the size is the name on the chosen basis, never a length.
D7 where no schedule tells which entries share conductors, every pairing is weighed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from math import atan2, degrees, hypot

from modelcheck.checks.angle_pull_distance import asked_of_wall
from modelcheck.checks.box_view import BoxView
from modelcheck.checks.distance_finding import Reading, judge
from modelcheck.checks.distance_row import Demand, DistanceRow, Words
from modelcheck.checks.inside import missing_inside, sure_distance
from modelcheck.checks.pairing import Edge, edge
from modelcheck.checks.seen_entry import SeenEntry
from modelcheck.checks.wording import distinct
from modelcheck.model.element import axis_of
from modelcheck.model.finding import Finding
from modelcheck.model.settings import RuleSwitches
from modelcheck.rules.limits import every_edition
from modelcheck.rules.pull_box import PullBoxFactor, straight_pull_length
from modelcheck.units import Unit

CHECK = "straight-pull-length"


def _differ(box: BoxView) -> bool:
    return len({entry.size for entry in box.entries}) > 1


READINGS = (
    Reading(
        point="D17",
        phrase="only the raceways of the straight pull count",
        chosen=lambda rules: replace(rules, largest_straight="own"),
        matters=_differ,
    ),
    Reading(
        point="D17",
        phrase="the largest raceway of the whole box counts",
        chosen=lambda rules: replace(rules, largest_straight="box"),
        matters=_differ,
    ),
    Reading(
        point="D5",
        phrase="a splice puts a straight pull under the angle rule alone",
        chosen=lambda rules: replace(rules, spliced_straight="angle"),
        matters=lambda box: any(pull.spliced for pull in box.case.pulls or ()),
        regroups=True,
    ),
)
AXES = (("-x", "+x"), ("-y", "+y"), ("-z", "+z"))


def findings(box: BoxView) -> tuple[Finding, ...]:
    """One row for each pair of opposite walls that a straight pull joins or may join."""
    return judge(box, rows, READINGS)


def rows(box: BoxView) -> Iterator[DistanceRow]:
    """Rows that some pairing may make."""
    rule = box.book.factor(CHECK, wireway=box.box.is_wireway)
    if rule is None:
        return
    for near, far in AXES:
        pairs = [
            edge(first.place, second.place) for first in box.on(near) for second in box.on(far)
        ]
        if pairs:
            yield _row(box, (near, far), pairs, rule)


def _row(
    box: BoxView, walls: tuple[str, str], pairs: list[Edge], rule: PullBoxFactor
) -> DistanceRow:
    made = _made(box, pairs)
    places = sorted({place for pair in made for place in pair})
    axis = axis_of(walls[0])
    return DistanceRow(
        box=box,
        groups=box.groups,
        key="/".join(walls),
        check=CHECK,
        rule=rule,
        entries=tuple(places),
        asks=partial(_demands, box.entries, pairs, rule),
        measures=partial(sure_distance, axis),
        words=partial(_words, box, walls, made),
        axis=axis,
        missing=distinct(
            [*missing_inside(box, walls[0]), *(box.entries[place].missing for place in places)]
        ),
    )


def _made(box: BoxView, pairs: list[Edge]) -> list[Edge]:
    """Pairs that the schedule names, or all that are possible where it names none."""
    told = {pair for group in box.groups if group.name for pair in group.edges}
    return [pair for pair in pairs if pair in told] or pairs


def _demands(
    entries: Sequence[SeenEntry],
    pairs: Sequence[Edge],
    rule: PullBoxFactor,
    unit: Unit,
    rules: RuleSwitches,
) -> dict[Edge, Demand]:
    """What each pair asks: by its own raceways, or by those of the whole box."""
    if rules.largest_straight == "box":
        return dict.fromkeys(pairs, _demand(entries, rule, unit))
    return {pair: _demand([entries[place] for place in pair], rule, unit) for pair in pairs}


def _demand(counted: Sequence[SeenEntry], rule: PullBoxFactor, unit: Unit) -> Demand:
    sizes = [entry.size.nominal(unit) for entry in counted if entry.size is not None]
    if len(sizes) < len(counted):
        return Demand.sure(None)
    return Demand.sure(straight_pull_length(sizes, unit=unit, rule=rule))


def _words(box: BoxView, walls: tuple[str, str], pairs: list[Edge]) -> Words:
    return Words(
        measure=f"The inside distance between walls {walls[0]} and {walls[1]}",
        remedy="make the box longer that way, or move the pull to other walls",
        notes=_misaligned(box, walls, pairs),
    )


def _misaligned(box: BoxView, walls: tuple[str, str], pairs: list[Edge]) -> tuple[str, ...]:
    """Tell the straight pull furthest off the axis, where it is past the limit (D13)."""
    length_m = box.inside_m(walls[0])
    limit = every_edition("off-axis-angle")
    angles = [
        (angle, pair)
        for pair in pairs
        if length_m
        and (angle := _off_axis_deg(box.entries[pair[0]], box.entries[pair[1]], length_m))
    ]
    if not angles or max(angles)[0] <= limit.value:
        return ()
    angle, pair = max(angles)
    asked = [asked_of_wall(box, wall) for wall in walls]
    as_angle = max(filter(None, asked), key=lambda each: each.value, default=None)
    return (
        f"{box.labels(pair)} are {angle:.0f} degrees off the axis, past {limit.value:g}: counted as"
        " a straight pull (D13)"
        + (f"; as an angle pull {as_angle.working}" if as_angle is not None else ""),
    )


def _off_axis_deg(first: SeenEntry, second: SeenEntry, length_m: float) -> float | None:
    start, end = first.entry, second.entry
    if start.u_m is None or start.v_m is None or end.u_m is None or end.v_m is None:
        return None
    return degrees(atan2(hypot(start.u_m - end.u_m, start.v_m - end.v_m), length_m))
