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

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial

from modelcheck.checks.box_view import BoxView
from modelcheck.checks.distance_finding import Reading, judge
from modelcheck.checks.distance_row import Demand, DistanceRow, Words
from modelcheck.checks.inside import missing_inside, sure_distance
from modelcheck.checks.pairing import Edge
from modelcheck.checks.seen_entry import SeenEntry
from modelcheck.checks.wording import distinct
from modelcheck.model.element import WALLS, axis_of
from modelcheck.model.finding import Finding
from modelcheck.model.settings import RuleSwitches
from modelcheck.rules.pull_box import PullBoxFactor, angle_pull_distance
from modelcheck.rules.requirement import Requirement
from modelcheck.rules.rows import in_line, rows_of
from modelcheck.units import Unit

CHECK = "angle-pull-distance"
Rows = tuple[frozenset[int], ...]  # of each entry of a wall, along one direction of it
Companies = tuple[frozenset[int], ...]  # entries that are summed together
_NONE = frozenset[int]()
_IN_A_CHAIN = 3  # entries of a wall, of which two may be linked by the third only


def _may_stagger(box: BoxView) -> bool:
    """Whether rows are counted, and a wall has enough entries for a chain."""
    rule = box.book.factor(CHECK, wireway=box.box.is_wireway)
    is_by_row = rule is not None and rule.counted == "row"
    return is_by_row and any(len(box.on(wall)) >= _IN_A_CHAIN for wall in WALLS)


def _sums_straight(box: BoxView) -> bool:
    """Whether an entry with straight pulls only, or that may have such, shares its wall."""
    shared = {each.place for own in box.by_wall.values() if len(own) > 1 for each in own}
    return bool(shared) and any(not shared.isdisjoint(places) for places in box.only_straight)


READINGS = (
    Reading(
        point="D1",
        phrase="a row is everything linked through neighbours",
        chosen=lambda rules: replace(rules, row="linked"),
        matters=_may_stagger,
    ),
    Reading(
        point="D1",
        phrase="staggered entries are not one row",
        chosen=lambda rules: replace(rules, row="all-aligned"),
        matters=_may_stagger,
    ),
    Reading(
        point="D6",
        phrase="straight-pull entries are in the sum",
        chosen=lambda rules: replace(rules, straight_in_row="sum"),
        matters=_sums_straight,
    ),
    Reading(
        point="D6",
        phrase="straight-pull entries are left out of the sum",
        chosen=lambda rules: replace(rules, straight_in_row="out"),
        matters=_sums_straight,
    ),
)


def findings(box: BoxView) -> tuple[Finding, ...]:
    """One row for each wall with an angle pull, U pull or splice, or that may have one."""
    return judge(box, rows, READINGS)


def rows(box: BoxView) -> Iterator[DistanceRow]:
    """Rows that some pairing may make."""
    rule = box.book.factor(CHECK, wireway=box.box.is_wireway)
    for wall in WALLS:
        if rule is None or not box.on(wall) or box.faces_cover(wall) == "yes":
            continue
        places = {entry.place for entry in box.on(wall)}
        turned = [pair for pair in box.turning if not places.isdisjoint(pair)]
        if turned:
            yield _row(box, wall, turned, rule)


def _row(box: BoxView, wall: str, turned: Sequence[Edge], rule: PullBoxFactor) -> DistanceRow:
    entries, axis = box.on(wall), axis_of(wall)
    return DistanceRow(
        box=box,
        groups=box.groups,
        key=wall,
        check=CHECK,
        rule=rule,
        entries=tuple(entry.place for entry in entries),
        asks=partial(_demands_of_pairs, box, wall, turned),
        measures=partial(sure_distance, axis),
        words=partial(_words, box, wall, rule),
        axis=axis,
        missing=distinct([*missing_inside(box, wall), *(entry.missing for entry in entries)]),
        lifted_by=_lifted_by(box, wall),
    )


def _words(box: BoxView, wall: str, rule: PullBoxFactor) -> Words:
    entries = box.on(wall)
    return Words(
        measure=f"The inside distance from wall {wall} to the wall opposite",
        remedy="make the box longer that way, or spread the entries over other walls",
        unsure=_unsure(entries),
        notes=distinct([box.cover_note, *_row_notes(box, entries, rule)]),
    )


def asked_of_wall(box: BoxView, wall: str) -> Requirement | None:
    """What an angle pull of any entry would ask of `wall`, or None if a size is missing."""
    if box.book.factor(CHECK, wireway=box.box.is_wireway) is None or not box.on(wall):
        return None
    return _larger([*_demands(box, wall, box.unit, box.switches).values()]).most


def _demands_of_pairs(
    box: BoxView, wall: str, turned: Sequence[Edge], unit: Unit, rules: RuleSwitches
) -> dict[Edge, Demand]:
    """What each edge asks of a wall: the larger of what its ends ask."""
    asked = _demands(box, wall, unit, rules)
    return {pair: _larger([asked[place] for place in pair if place in asked]) for pair in turned}


def _demands(box: BoxView, wall: str, unit: Unit, rules: RuleSwitches) -> Mapping[int, Demand]:
    """What an angle pull of each entry asks of its wall."""
    rule, entries = box.book.factor(CHECK, wireway=box.box.is_wireway), box.on(wall)
    sizes = [each.size.nominal(unit) for each in entries if each.size is not None]
    if rule is None or len(sizes) < len(entries):
        return {entry.place: Demand.sure(None) for entry in entries}
    if len(sizes) == 1 or (rule.counted == "wall" and rules.straight_in_row == "sum"):
        asked = Demand.sure(angle_pull_distance(sizes, unit=unit, rule=rule))
        return dict.fromkeys([entry.place for entry in entries], asked)
    worked: dict[frozenset[int], Requirement] = {}

    def largest(companies: Iterable[frozenset[int]]) -> Requirement:
        for each in companies:
            if each not in worked:
                counted = [sizes[number] for number in each]
                worked[each] = angle_pull_distance(counted, unit=unit, rule=rule)
        return max((worked[each] for each in companies), key=lambda each: each.value)

    return {
        entry.place: Demand(least=largest(fewest), most=largest(most))
        for entry, fewest, most in zip(entries, *_counted(box, wall, rule, rules), strict=True)
    }


def _counted(
    box: BoxView, wall: str, rule: PullBoxFactor, rules: RuleSwitches
) -> tuple[list[Companies], list[Companies]]:
    """What is summed for each entry of a wall, at least and at most."""
    entries = box.on(wall)
    bounds = _counted_together(entries, rule, rules)
    left_out = box.only_straight if rules.straight_in_row == "out" else (_NONE, _NONE)
    fewest, most = (
        [
            tuple(
                dict.fromkeys((rows[own] - _numbers(entries, places)) | {own} for rows in counted)
            )
            for own in range(len(entries))
        ]
        for counted, places in zip(bounds, left_out, strict=True)
    )
    return fewest, most


def _numbers(entries: Sequence[SeenEntry], places: frozenset[int]) -> frozenset[int]:
    return frozenset(number for number, each in enumerate(entries) if each.place in places)


def _counted_together(
    entries: Sequence[SeenEntry], rule: PullBoxFactor, rules: RuleSwitches
) -> tuple[list[Rows], list[Rows]]:
    """Entries that are summed with each, in fewest and in most company."""
    everyone = [(frozenset(range(len(entries))),) * len(entries)]
    if rule.counted == "wall":
        return everyone, everyone
    linked = rules.row == "linked"
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


def _larger(demands: Sequence[Demand]) -> Demand:
    """Take the larger of what several entries ask; None where one isn't known."""
    if len(demands) == 1:
        return demands[0]
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
