"""Pull points of drawn runs: how many, where, and the box each needs."""

from dataclasses import replace
from math import radians

import pytest

from modelcheck.layout.pull_points import plan_pull_points
from modelcheck.model.settings import Limits
from modelcheck.rules.catalogue import rulebook
from tests.box_cases import CEC, NEC
from tests.unit.layout.runs import bent, drawn, straight

Y, X = (0.0, 1.0, 0.0), (1.0, 0.0, 0.0)
ZIGZAG = [bent(90, 0.3, Y), bent(90, 0.3, X)]


def zigzag(count, length_m=2.0, **more):
    """Run of `count` quarter bends with straights between."""
    steps = [straight(length_m)]
    for number in range(count):
        steps += [ZIGZAG[number % 2], straight(length_m)]
    return drawn(*steps, **more)


def plan(run, settings=CEC, limit_deg=360.0):
    return plan_pull_points(run, limit_deg, rulebook(settings), settings)


def limited(**limits):
    return replace(CEC, limits=Limits(**limits))


def test_a_run_within_the_limit_needs_none():
    assert plan(zigzag(4)) is None


@pytest.mark.parametrize(("bends", "points"), [(5, 1), (8, 1), (9, 2), (12, 2), (13, 3)])
def test_every_four_quarter_bends_take_one_point(bends, points):
    found = plan(zigzag(bends))
    assert len(found.points) == points
    assert sum(each.bends_deg for each in found.sections) == 90 * bends
    assert max(each.bends_deg for each in found.sections) <= 360


def test_the_limit_of_the_user_parts_a_run_that_the_code_lets_pass():
    found = plan(zigzag(4), limited(pull_point_bends_deg=180))
    assert [each.bends_deg for each in found.sections] == [180, 180]


def test_a_limit_of_length_parts_a_straight_run():
    found = plan(drawn(straight(70.0)), limited(run_length_m=30))
    assert len(found.points) == 2
    assert max(each.length_m for each in found.sections) <= 30 + 1e-6


@pytest.mark.parametrize(
    ("settings", "length_m", "working"),
    [
        pytest.param(CEC, 0.424, "8 x 53 = 424 mm", id="cec"),
        pytest.param(NEC, 0.4064, "8 x 2 = 16 in", id="nec"),
    ],
)
def test_the_box_is_that_of_a_straight_pull(settings, length_m, working):
    found = plan(zigzag(5), settings)
    assert (found.box_length_m, found.box_working) == (pytest.approx(length_m), working)


def test_a_point_is_named_by_element_lengths_and_coordinates():
    found = plan(zigzag(5, length_m=2.0))
    (point,) = found.points
    assert point.element.name == "E5"
    assert point.along_element_m == pytest.approx(1.0)
    assert point.along_run_m == pytest.approx(2 * (2.0 + 0.3 * radians(90)) + 1.0)
    assert point.at == pytest.approx((2.6 + 1.0, 2.6, 0.0))


def test_no_point_is_put_where_its_box_has_no_room():
    short = [straight(0.2) if n % 2 == 0 else ZIGZAG[n // 2 % 2] for n in range(13)]
    found = plan(drawn(*short))
    assert not found.points
    assert "No straight stretch of 424 mm" in found.problem


def test_a_box_keeps_clear_of_the_bends_by_half_its_length():
    steps = [straight(0.5), *ZIGZAG, straight(0.43), *ZIGZAG, straight(3.0), bent(90, 0.3, Y)]
    found = plan(drawn(*steps, straight(0.2)), limited(pull_point_bends_deg=180))
    for point in found.points:
        low_m, high_m = point.straight_m
        assert low_m + 0.212 <= point.along_run_m + 1e-9
        assert point.along_run_m <= high_m - 0.212 + 1e-9


def test_a_size_that_is_not_known_is_told_and_not_guessed():
    found = plan(zigzag(5, trade_size_in=None))
    assert found.box_length_m is None
    assert "trade size not known: room for the box isn't looked at" in found.assumptions


def test_bends_that_cannot_be_told_make_no_plan():
    found = plan(replace(zigzag(5), bend_conflict="the arc of E turns 80 degrees"))
    assert not found.points
    assert "the arc of E turns 80 degrees" in found.problem


def test_a_coupling_is_not_named_where_a_length_of_raceway_is():
    steps = [straight(1.0), straight(0.05, "C", coupling=True), straight(1.05)]
    found = plan(drawn(*steps), limited(run_length_m=1.5))
    assert found.points[0].along_run_m == 1.05
    assert found.points[0].element.name == "E3"
