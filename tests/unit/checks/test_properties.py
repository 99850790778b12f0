"""What must hold for any box."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from modelcheck.rules.raceways import by_trade_size
from tests.box_cases import CEC, NEC, entry, findings
from tests.unit.checks.test_pairing import SIZES, boxes, scheduled_boxes

CODES = pytest.mark.parametrize("chosen", [CEC, NEC], ids=["cec", "nec"])
SWAPPED = {"-x": "+x", "+x": "-x"}
TURNED = {"-x": "-y", "+x": "+y", "-y": "-x", "+y": "+x"}


def answers(the_case, chosen):
    """Every row by what it is about, whatever the order."""
    return {
        (each.check, frozenset(ref.name for ref in each.elements), each.outcome): (
            each.required,
            None if each.provided is None else round(each.provided, 3),
        )
        for each in findings(the_case, chosen)
    }


def moved(the_case, order):
    """The same box with its entries, and the places in its pulls, in another order."""
    new = {old: place for place, old in enumerate(order)}
    pulls = the_case.pulls and tuple(
        replace(each, entries=tuple(new[place] for place in each.entries))
        for each in reversed(the_case.pulls)
    )
    return replace(the_case, entries=tuple(the_case.entries[old] for old in order), pulls=pulls)


@CODES
@settings(max_examples=50)
@given(the_case=st.one_of(boxes(), scheduled_boxes()), data=st.data())
def test_order_of_entries_changes_no_answer(the_case, chosen, data):
    order = data.draw(st.permutations(range(len(the_case.entries))))
    assert answers(moved(the_case, order), chosen) == answers(the_case, chosen)


@CODES
@settings(max_examples=50)
@given(the_case=st.one_of(boxes(), scheduled_boxes()))
def test_swapping_left_and_right_changes_no_answer(the_case, chosen):
    def mirror(each):
        turned = each.u_m if each.wall in SWAPPED else -each.u_m
        return replace(each, wall=SWAPPED.get(each.wall, each.wall), u_m=turned)

    mirrored = replace(the_case, entries=tuple(mirror(each) for each in the_case.entries))
    assert answers(mirrored, chosen) == answers(the_case, chosen)


@CODES
@settings(max_examples=50)
@given(the_case=st.one_of(boxes(), scheduled_boxes()))
def test_turning_the_box_a_quarter_changes_no_answer(the_case, chosen):
    def turn(each):
        across = (each.u_m, each.v_m) if each.wall in TURNED else (each.v_m, each.u_m)
        return replace(each, wall=TURNED.get(each.wall, each.wall), u_m=across[0], v_m=across[1])

    x_m, y_m, z_m = the_case.enclosure.inside_m
    turned = replace(
        the_case,
        enclosure=replace(the_case.enclosure, inside_m=(y_m, x_m, z_m)),
        entries=tuple(turn(each) for each in the_case.entries),
    )
    assert answers(turned, chosen) == answers(the_case, chosen)


@CODES
@settings(max_examples=50)
@given(the_case=st.one_of(boxes(), scheduled_boxes()), more_m=st.integers(1, 40))
def test_growing_a_box_never_fails_what_passed(the_case, chosen, more_m):
    """Entries stay where they are on their walls, from the middle."""
    grown_m = tuple(length + more_m / 40 for length in the_case.enclosure.inside_m)
    grown = replace(the_case, enclosure=replace(the_case.enclosure, inside_m=grown_m))
    before, after = by_row(the_case, chosen), by_row(grown, chosen)
    for row, outcome in before.items():
        if outcome == "pass" and row[0] in ("straight-pull-length", "angle-pull-distance"):
            assert after[row] == "pass"
        assert not (outcome != "fail" and after.get(row) == "fail")


def by_row(the_case, chosen):
    return {
        (each.check, frozenset(ref.name for ref in each.elements)): each.outcome.value
        for each in findings(the_case, chosen)
    }


@CODES
@settings(max_examples=50)
@given(
    the_case=scheduled_boxes(),
    wall=st.sampled_from(("-x", "+x", "-y", "+y")),
    size=st.sampled_from(SIZES),
    at=st.tuples(st.integers(-8, 8), st.integers(-3, 3)),
)
def test_adding_an_entry_to_a_wall_never_lowers_what_it_asks(the_case, chosen, wall, size, at):
    added = entry("C9", wall, size, (25.0 * at[0], 25.0 * at[1]))
    more = replace(the_case, entries=(*the_case.entries, added))
    before, after = asked_of_walls(the_case, chosen), asked_of_walls(more, chosen)
    for each, required in before.items():
        assert after[each] >= required


def asked_of_walls(the_case, chosen):
    wall_of = {each.conduit.name: each.wall for each in the_case.entries} | {"C9": None}
    return {
        next(wall for ref in each.elements if (wall := wall_of[ref.name])): each.required
        for each in findings(the_case, chosen, "angle-pull-distance")
        if any(wall_of[ref.name] for ref in each.elements)
    }


@settings(max_examples=60)
@given(the_case=st.one_of(boxes(), scheduled_boxes()))
def test_metric_is_never_laxer_than_inch_but_at_63(the_case):
    in_inches = replace(CEC, basis="inch")
    metric, inch = by_row(the_case, CEC), by_row(the_case, in_inches)
    assert all(by_trade_size(name).metric_designator != 63 for name in SIZES)
    for row, outcome in inch.items():
        if outcome == "fail":
            assert metric[row] == "fail"
