"""Explanations and whole answers of boxes by hand."""

import re
from dataclasses import replace
from math import prod

import pytest
from hypothesis import given, settings

from modelcheck.checks import CHECKS, check_box, check_names, explain, size_answer, why_no_row
from modelcheck.errors import RuleInputError
from modelcheck.model.finding import BOX_CHECKS, RUN_CHECKS
from modelcheck.rules.catalogue import rulebook
from tests.box_cases import CEC, NEC, box, case, entry, pull
from tests.unit.checks.test_pairing import boxes


def answer(the_case, chosen=CEC):
    return size_answer(the_case, rulebook(chosen), chosen)


def corner_box(inside_mm=(None, None, None)):
    ends = (
        entry("A", "-x", "3", None),
        entry("B", "-y", "3", None),
        entry("C", "-z", "2", None),
        entry("D", "-x", "2", None),
    )
    return case(box(inside_mm), *ends, pulls=(pull("F1", 0, 1), pull("F2", 2, 3)))


def test_every_check_of_the_contract_is_there_once():
    assert check_names() == (*BOX_CHECKS, *RUN_CHECKS)


@pytest.mark.parametrize("check", check_names())
def test_explanation_comes_from_the_check_its_rows_and_an_example(check):
    found = explain(check)
    assert found.compares
    assert found.why
    assert found.formula
    assert found.rows
    assert all(row.source and row.how for row in found.rows)
    assert {example.code for example in found.examples} == {"cec", "nec"}
    assert all(example.working and example.message for example in found.examples)
    assert len(found.rows) <= 60


def test_disputed_points_name_their_setting_and_its_default():
    points = {point.point: point for check in check_names() for point in explain(check).disputed}
    assert set(points) == {f"D{n}" for n in range(1, 18)}
    settable = {name: point.setting for name, point in points.items() if point.setting}
    assert settable == {
        "D1": "row",
        "D2": "spacing",
        "D5": "spliced_straight",
        "D6": "straight_in_row",
        "D15": "bend_allowance_deg",
        "D17": "largest_straight",
    }
    assert points["D2"].value == "edge"


def test_unknown_check_says_what_is_allowed():
    with pytest.raises(RuleInputError) as error:
        explain("straight-pull")
    assert "straight-pull-length" in str(error.value)


@pytest.mark.parametrize("module", CHECKS, ids=lambda module: module.CHECK)
def test_check_says_in_its_own_text_what_the_explanation_needs(module):
    paragraphs = module.__doc__.strip().split("\n\n")
    assert [each.split(":")[0] for each in paragraphs[1:]] == ["Why", "Formula", "Disputed"]


def test_least_inside_is_the_largest_requirement_of_each_axis():
    found = answer(corner_box())
    assert found.least_inside_mm == (6 * 78 + 53, 6 * 78, pytest.approx(6 * 17.9 + 53))
    assert found.outcome == "needs-input"
    assert found.least_on_other_basis_mm == pytest.approx((508, 457.2, 25.4 * (6 * 0.705 + 2)))


def test_steps_hold_the_working_of_each_row_and_what_governs():
    steps = "\n".join(answer(corner_box()).steps)
    assert "250 kcmil RW90: diameter 17.9 mm (0.705 in) by Table 6A (seen)" in steps
    assert "6 x 78 + 53 = 521 mm" in steps
    assert "6 x 17.9 + 53 = 160.4 mm" in steps
    assert "Along x: 521 mm (20.51 in) governs, angle-pull-distance" in steps
    assert "Least square box: 521 mm (20.51 in) a side" in steps
    assert "Next standard size: 24 x 24 x 8 in" in steps
    assert "On the inch basis the least inside is x 508 mm (20 in)" in steps


def test_axis_that_no_row_bears_on_has_no_least_size():
    ends = (entry("A", "-x", "2"), entry("B", "+x", "2"))
    found = answer(case(box(), *ends, pulls=(pull("F1", 0, 1),)), NEC)
    assert found.least_inside_mm == (pytest.approx(406.4), None, None)


@settings(max_examples=40)
@given(the_case=boxes())
def test_box_of_the_least_inside_fails_no_distance_from_wall_to_wall(the_case):
    found = answer(the_case)
    least = tuple(
        inside if least is None else least / 1000
        for least, inside in zip(found.least_inside_mm, the_case.enclosure.inside_m, strict=True)
    )
    grown = replace(the_case, enclosure=replace(the_case.enclosure, inside_m=least))
    outcomes = [
        each.outcome.value
        for each in check_box(grown, rulebook(CEC), CEC)
        if each.check in ("straight-pull-length", "angle-pull-distance")
    ]
    assert "fail" not in outcomes


@pytest.mark.parametrize(
    "the_case",
    [pytest.param(corner_box(), id="unmeasured"), pytest.param(corner_box((900, 900, 90)), id="m")],
)
@pytest.mark.parametrize("chosen", [CEC, NEC, replace(NEC, units="mm")], ids=["cec", "nec", "mm"])
def test_arithmetic_of_every_step_adds_up(the_case, chosen):
    """A reader with pencil and paper comes to the printed result."""
    worked = [each for each in answer(the_case, chosen).findings if " x " in each.working]
    assert worked
    for each in worked:
        terms, total, unit = re.fullmatch(
            r"([\d. x+]+) = ([\d.]+) (mm|in)(?: = .+)?", each.working
        ).groups()
        products = [prod(float(each) for each in term.split(" x ")) for term in terms.split(" + ")]
        assert sum(products) == pytest.approx(float(total))
        shown = float(total) * {"mmmm": 1, "inin": 1, "inmm": 25.4}[unit + each.unit]
        assert each.required == pytest.approx(shown)


@pytest.mark.parametrize(
    ("the_case", "told"),
    [
        pytest.param(case(box()), "no entry", id="none"),
        pytest.param(case(box(), entry("A", "-x", "2")), "one entry", id="one"),
    ],
)
def test_box_without_a_row_says_why(the_case, told):
    assert check_box(the_case, rulebook(CEC), CEC) == ()
    assert told in why_no_row(the_case, CEC)


def test_next_standard_size_is_one_of_those_at_hand_where_the_settings_list_them():
    chosen = replace(CEC, boxes_at_hand_m=((0.5, 0.5, 0.2), (0.762, 0.6096, 0.254)))
    steps = "\n".join(answer(corner_box(), chosen).steps)
    assert "Next standard size: 30 x 24 x 10 in (of the settings)" in steps
