"""Inside distance from a wall with an angle or U pull, or a splice, to the wall opposite it.

Why: conductors of 4 AWG and larger turn in the box, or are spliced in it; the distance keeps
their bend wide enough for the insulation, and leaves room for the other raceways of the wall.

Formula: factor x the largest raceway + each of the others once. One code adds up the raceways of
one row of the wall, works each row and takes the largest result; the other adds up the whole wall.
The wall opposite a removable cover is not under this rule: cover-depth is.

Disputed: D1 a row is everything linked by centres out of line by at most half the smaller outside
diameter (``row``). D4 row or whole wall goes by the chosen code. D6 straight-pull entries of the
row or wall are in the sum (``straight_in_row``). D11 whether the rule holds for wireways and
gutters is argued: too short needs input, never fails.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from modelcheck.checks.box_view import BoxView
from modelcheck.checks.distance_row import Demand, DistanceRow, Reading, judge
from modelcheck.checks.inside import missing_inside, sure_distance
from modelcheck.checks.pairing import Edge
from modelcheck.checks.seen_entry import SeenEntry
from modelcheck.checks.wording import distinct
from modelcheck.model.element import WALLS, axis_of
from modelcheck.model.finding import Finding
from modelcheck.rules.pull_box import PullBoxFactor, angle_pull_distance
from modelcheck.rules.requirement import Requirement
from modelcheck.rules.rows import in_line, rows_of
from modelcheck.units import Unit

CHECK = "angle-pull-distance"
Rows = tuple[frozenset[int], ...]  # of each entry of a wall, along one direction of it
_IN_A_CHAIN = 3  # entries of a wall, of which two may be linked by the third only


def _share_a_wall(box: BoxView, *, least: int) -> bool:
    return max(Counter(entry.wall for entry in box.entries).values(), default=0) >= least


READINGS = (
    Reading(
        point="D1",
        phrase="a row is everything linked through neighbours",
        chosen=lambda rules: replace(rules, row="linked"),
        matters=lambda box: _share_a_wall(box, least=_IN_A_CHAIN),
    ),
    Reading(
        point="D1",
        phrase="staggered entries are not one row",
        chosen=lambda rules: replace(rules, row="all-aligned"),
        matters=lambda box: _share_a_wall(box, least=_IN_A_CHAIN),
    ),
    Reading(
        point="D6",
        phrase="straight-pull entries are in the sum",
        chosen=lambda rules: replace(rules, straight_in_row="sum"),
        matters=lambda box: _share_a_wall(box, least=2),
    ),
    Reading(
        point="D6",
        phrase="straight-pull entries are left out of the sum",
        chosen=lambda rules: replace(rules, straight_in_row="out"),
        matters=lambda box: _share_a_wall(box, least=2),
    ),
)


def findings(box: BoxView) -> tuple[Finding, ...]:
    """One row for each wall with an angle pull, U pull or splice, or that may have one."""
    return judge(box, rows, READINGS)


def rows(box: BoxView, unit: Unit) -> Iterator[DistanceRow]:
    """Rows that some pairing may make, worked on the names in `unit`."""
    rule = box.book.factor(CHECK, wireway=box.box.is_wireway)
    turning = _turning(box)
    for wall in WALLS:
        entries = box.on(wall)
        places = {entry.place for entry in entries}
        turned = {pair for pair in turning if not places.isdisjoint(pair)}
        if rule is None or not turned or box.faces_cover(wall) == "yes":
            continue
        asked = _demands(box, entries, unit, rule)
        yield DistanceRow(
            key=wall,
            check=CHECK,
            rule=rule,
            entries=tuple(entry.place for entry in entries),
            demands={pair: _larger([asked[p] for p in pair if p in asked]) for pair in turned},
            provided_m=sure_distance(box, wall),
            measure=f"The inside distance from wall {wall} to the wall opposite",
            remedy="make the box longer that way, or spread the entries over other walls",
            axis=axis_of(wall),
            missing=distinct([*missing_inside(box, wall), *(entry.missing for entry in entries)]),
            unsure=_unsure(entries),
            lifted_by=_lifted_by(box, wall),
            notes=distinct([box.cover_note, *_row_notes(box, entries, rule)]),
        )


def asked_of_wall(box: BoxView, wall: str, *, unit: Unit) -> Requirement | None:
    """What an angle pull of any entry would ask of `wall`, or None if a size is missing."""
    rule = box.book.factor(CHECK, wireway=box.box.is_wireway)
    entries = box.on(wall)
    if rule is None or not entries:
        return None
    return _larger([*_demands(box, entries, unit, rule).values()]).most


def _turning(box: BoxView) -> set[Edge]:
    """Edges of the box that bend in it, or are spliced."""
    return {
        pair
        for group in box.groups
        for pair in group.edges
        if pair[0] == pair[1] or not box.is_straight(pair)
    }


def _demands(
    box: BoxView, entries: Sequence[SeenEntry], unit: Unit, rule: PullBoxFactor
) -> dict[int, Demand]:
    """What an angle pull of each entry asks of its wall."""
    if any(each.size is None for each in entries):
        return {entry.place: Demand.sure(None) for entry in entries}
    fewest, most = _counted_together(box, entries, rule)
    is_sure = fewest == most and box.switches.straight_in_row == "sum"
    demands = {}
    for number, entry in enumerate(entries):
        sums = [
            max(
                (
                    _sum(box, entry, [entries[place] for place in row], unit, rule, certain=certain)
                    for row in dict.fromkeys(rows[number] for rows in counted)
                ),
                key=lambda each: each.value,
            )
            for counted, certain in ((fewest, True), (most, False))[: 1 if is_sure else 2]
        ]
        demands[entry.place] = Demand(least=sums[0], most=sums[-1])
    return demands


def _counted_together(
    box: BoxView, entries: Sequence[SeenEntry], rule: PullBoxFactor
) -> tuple[list[Rows], list[Rows]]:
    """Entries that are summed with each, in fewest and in most company."""
    everyone = [(frozenset(range(len(entries))),) * len(entries)]
    if rule.counted == "wall" or len(entries) == 1:
        return everyone, everyone
    linked = box.switches.row == "linked"
    offsets = _offsets(entries)
    if offsets is None:
        return [tuple(frozenset({own}) for own in range(len(entries)))], everyone
    low = [each.diameter_m[0] if each.diameter_m else 0.0 for each in entries]
    high = [each.diameter_m[1] if each.diameter_m else float("inf") for each in entries]
    fewest = [rows_of(across, low, linked=linked) for across in offsets]
    if low == high:
        return fewest, fewest
    return fewest, [rows_of(across, high, linked=linked) for across in offsets]


def _offsets(entries: Sequence[SeenEntry]) -> tuple[list[float], list[float]] | None:
    """Centres of the entries along both directions of their wall; None if one isn't placed."""
    along_u = [entry.entry.u_m for entry in entries if entry.entry.u_m is not None]
    along_v = [entry.entry.v_m for entry in entries if entry.entry.v_m is not None]
    if len(along_u) < len(entries) or len(along_v) < len(entries):
        return None
    return along_u, along_v


def _sum(
    box: BoxView,
    entry: SeenEntry,
    company: Sequence[SeenEntry],
    unit: Unit,
    rule: PullBoxFactor,
    *,
    certain: bool,
) -> Requirement:
    counted = [
        each
        for each in company
        if each is entry
        or box.switches.straight_in_row == "sum"
        or not only_straight(box, each.place, certain=certain)
    ]
    sizes = [each.size.nominal(unit) for each in counted if each.size is not None]
    return angle_pull_distance(sizes, unit=unit, rule=rule)


def only_straight(box: BoxView, place: int, *, certain: bool) -> bool:
    """Whether an entry has straight pulls only, by what is certain or by all that is possible."""
    pairs = [
        pair
        for group in box.groups
        for pair in (group.certain if certain else group.edges)
        if place in pair
    ]
    return bool(pairs) and all(pair[0] != pair[1] and box.is_straight(pair) for pair in pairs)


def _larger(demands: Sequence[Demand]) -> Demand:
    """Take the larger of what several entries ask; None where one isn't known."""
    least = [demand.least for demand in demands if demand.least is not None]
    most = [demand.most for demand in demands if demand.most is not None]
    if len(most) < len(demands):
        return Demand.sure(None)
    return Demand(
        least=max(least, key=lambda each: each.value), most=max(most, key=lambda each: each.value)
    )


def _lifted_by(box: BoxView, wall: str) -> str:
    if box.box.is_wireway:
        return (
            "whether this distance is asked of a wireway is argued (D11): ask the authority having"
            " jurisdiction"
        )
    if box.faces_cover(wall) == "maybe":
        return f"tell on which wall the cover lies: opposite {wall} it would lift this rule"
    return ""


def _unsure(entries: Sequence[SeenEntry]) -> str:
    if _offsets(entries) is None:
        names = [entry.label for entry in entries if entry.entry.u_m is None]
        return f"give the positions of {', '.join(names)}: they tell which entries are in one row"
    names = [entry.label for entry in entries if _diameter_unsure(entry)]
    if not names:
        return ""
    return f"give the raceway type of {', '.join(names)}: it tells which entries are in one row"


def _diameter_unsure(entry: SeenEntry) -> bool:
    return entry.diameter_m is None or entry.diameter_m[0] < entry.diameter_m[1]


def _row_notes(box: BoxView, entries: Sequence[SeenEntry], rule: PullBoxFactor) -> list[str]:
    """Tell what the rows of a wall rest on, where rows are worked."""
    if rule.counted != "row" or len(entries) == 1:
        return []
    return [_staggered(box, entries), *(entry.diameter_note(box.units) for entry in entries)]


def _staggered(box: BoxView, entries: Sequence[SeenEntry]) -> str:
    """Tell a row that holds together through neighbours only (D1)."""
    offsets = _offsets(entries)
    if offsets is None or box.switches.row != "linked":
        return ""
    reach = [each.diameter_m[1] if each.diameter_m else float("inf") for each in entries]
    for across in offsets:
        for row in rows_of(across, reach, linked=True):
            if any(not in_line(a, b, across, reach) for a in row for b in row):
                names = ", ".join(entries[place].label for place in sorted(row))
                return f"the row of {names} is staggered: linked through neighbours (D1)"
    return ""
