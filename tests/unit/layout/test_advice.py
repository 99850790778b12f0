"""Advice on pulling, against the formulas worked by hand on drawn runs."""

from dataclasses import replace
from math import exp, pi, sqrt

import pytest

from modelcheck.layout.advice import advise
from modelcheck.model.pull import Conductors, RunPull
from modelcheck.model.settings import Pulling
from modelcheck.rules.conductors import conductor
from modelcheck.rules.conduit_fill import raceway_area
from tests.unit.layout.runs import bent, drawn, straight

UP, Y = (0.0, 0.0, 1.0), (0.0, 1.0, 0.0)
KG = 1.3
ONE = RunPull(
    name="F1",
    conductors=(Conductors(size="250 kcmil", insulation="XHHW", count=1, material="copper"),),
)
THREE = replace(ONE, conductors=(replace(ONE.conductors[0], count=3),))
PULLING = Pulling(friction=0.5, weights_kg_per_m=(("250 kcmil", KG),))
LEVEL = drawn(straight(10.0), bent(90, 0.5, Y), straight(30.0))
W = KG * 9.80665


def test_one_cable_through_straight_bend_straight_by_hand():
    there, back = advise(LEVEL, [ONE], PULLING)
    multiplier = exp(0.5 * pi / 2)
    assert there.tension_n == pytest.approx(W * 10 * 0.5 * multiplier + W * 30 * 0.5)
    assert back.tension_n == pytest.approx(W * 30 * 0.5 * multiplier + W * 10 * 0.5)
    assert there.sidewall_n_per_m == pytest.approx((W * 10 * 0.5 * multiplier / 0.5,))


def test_the_end_with_the_bend_near_where_the_cable_is_fed_is_the_easier():
    there, back = advise(LEVEL, [ONE], PULLING)
    assert " less than " in there.message
    assert " more than " in back.message


def test_three_conductors_lie_by_the_ratio_and_weigh_more():
    there, _ = advise(LEVEL, [THREE], PULLING)
    inside_mm = sqrt(4 * raceway_area("EMT", "2").area_mm2 / pi)
    ratio = inside_mm / conductor("250 kcmil", "XHHW").diameter_mm
    assert there.jam_ratio == pytest.approx(ratio)
    assert ratio > 2.5
    assert there.correction == pytest.approx(1 + 4 / 3 / (ratio - 1) ** 2)
    limit_lbf = 3 * 250_000 * 0.008
    assert there.tension_limit_n == pytest.approx(limit_lbf * 4.4482216, rel=1e-6)


def test_pulling_up_takes_more_than_pulling_down():
    riser = drawn(straight(2.0), bent(90, 0.5, UP), straight(20.0))
    up, down = advise(riser, [ONE], PULLING)
    assert up.tension_n > down.tension_n
    assert up.tension_n == pytest.approx(W * 2 * 0.5 * exp(0.5 * pi / 2) + W * 20)


def test_a_basket_grip_takes_no_more_than_its_thousand_pounds():
    there, _ = advise(LEVEL, [THREE], replace(PULLING, attachment="basket-grip"))
    assert there.tension_limit_n == pytest.approx(1000 * 4.4482216, rel=1e-6)


@pytest.mark.parametrize(
    ("limit", "advice"), [(1.0, "over"), (1e6, "within")], ids=["tight", "wide"]
)
def test_a_limit_of_sidewall_pressure_decides_on_both_sides(limit, advice):
    ways = advise(LEVEL, [ONE], replace(PULLING, sidewall_n_per_m=limit))
    assert [each.advice for each in ways] == [advice] * 2


def test_what_is_missing_is_asked_for():
    ways = advise(LEVEL, [ONE], Pulling())
    assert [each.advice for each in ways] == ["needs-input"] * 2
    assert "the weight of 250 kcmil XHHW" in ways[0].message
    assert ways[0].tension_n is None


def test_a_count_that_is_missing_is_asked_for():
    line = replace(ONE.conductors[0], count=None)
    ways = advise(LEVEL, [replace(ONE, conductors=(line,))], PULLING)
    assert "the number of 250 kcmil XHHW" in ways[0].message


def test_friction_that_is_not_set_is_half_and_said():
    there, _ = advise(LEVEL, [ONE], replace(PULLING, friction=None))
    assert there.friction == 0.5
    assert "friction 0.5, as none is set" in there.assumptions


def test_three_conductors_that_may_jam_are_told():
    line = replace(ONE.conductors[0], size="3/0 AWG", count=3)
    pulling = Pulling(weights_kg_per_m=(("3/0 AWG", 0.9),), sidewall_n_per_m=1e6)
    inside_mm = sqrt(4 * raceway_area("EMT", "2").area_mm2 / pi)
    ratio = inside_mm / conductor("3/0 AWG", "XHHW").diameter_mm
    there, _ = advise(LEVEL, [replace(ONE, conductors=(line,))], pulling)
    assert ("may jam" in there.message) == (2.8 <= ratio <= 3.2)


def test_spares_need_no_advice():
    assert advise(LEVEL, [RunPull(name="S")], PULLING) == ()


def test_a_radius_that_is_not_drawn_leaves_the_advice_open():
    corner = drawn(straight(5.0), bent(30, 0, Y), straight(5.0))
    there, _ = advise(corner, [ONE], replace(PULLING, sidewall_n_per_m=1e6))
    assert there.advice == "needs-input"
    assert "no sidewall pressure where a radius isn't drawn" in there.assumptions
