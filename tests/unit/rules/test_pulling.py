"""Formulas of pulling on numbers worked by hand."""

from math import cos, e, pi, radians, sin

import pytest

from modelcheck.errors import RuleInputError
from modelcheck.rules.pulling import (
    bend_multiplier,
    conductor_tension_lbf,
    jams,
    lying,
    sidewall_pressure,
    straight_tension,
    weight_correction,
)


def test_level_stretch_adds_weight_times_length_times_friction():
    assert straight_tension(100, weight=2, length=50, friction=0.5) == 150


@pytest.mark.parametrize("slope_deg", [30, -30], ids=["up", "down"])
def test_slope_adds_or_takes_the_weight_along_it(slope_deg):
    expected = 100 + 2 * 50 * (0.5 * cos(radians(30)) + sin(radians(slope_deg)))
    ours = straight_tension(100, weight=2, length=50, friction=0.5, slope_deg=slope_deg)
    assert ours == pytest.approx(expected)


def test_conductors_that_slide_down_by_themselves_are_not_pushed():
    assert straight_tension(0, weight=2, length=50, friction=0.1, slope_deg=-90) == 0


def test_weight_correction_counts_as_friction():
    plain = bend_multiplier(90, friction=0.6)
    assert bend_multiplier(90, friction=0.5, correction=1.2) == pytest.approx(plain)
    assert plain == pytest.approx(e ** (0.6 * pi / 2))


@pytest.mark.parametrize(
    ("how", "ratio", "expected"),
    [
        pytest.param("single", 2.0, 1.0, id="single"),
        pytest.param("cradled", 3.0, 1 + 4 / 3 * 0.25, id="cradled"),
        pytest.param("triangular", 2.2, 1 / (1 - (1 / 1.2) ** 2) ** 0.5, id="triangular"),
        pytest.param("many", 4.0, 1.4, id="many"),
    ],
)
def test_weight_correction_of_each_way_of_lying(how, ratio, expected):
    assert weight_correction(how, ratio) == pytest.approx(expected)


def test_three_conductors_that_cannot_fit_are_told():
    with pytest.raises(RuleInputError, match="don't fit"):
        weight_correction("triangular", 2.1)


@pytest.mark.parametrize(
    ("how", "correction", "share"),
    [
        pytest.param("single", 1.0, 1, id="single"),
        pytest.param("triangular", 1.2, 0.6, id="triangular"),
        pytest.param("cradled", 1.3, 1.9 / 3, id="cradled"),
    ],
)
def test_sidewall_pressure_is_the_share_of_the_pressed_conductor(how, correction, share):
    pressure = sidewall_pressure(1200, 2, how=how, correction=correction)
    assert pressure == pytest.approx(share * 600)


def test_aluminum_takes_less_than_copper():
    copper, aluminum = (conductor_tension_lbf(3, 250, each) for each in ("copper", "aluminum"))
    assert (copper, aluminum) == (pytest.approx(6000), pytest.approx(4500))


@pytest.mark.parametrize(
    ("count", "ratio", "expected"),
    [
        pytest.param(3, 3.0, True, id="in-the-band"),
        pytest.param(3, 2.8, True, id="at-its-lower-edge"),
        pytest.param(3, 2.79, False, id="below"),
        pytest.param(3, 3.21, False, id="above"),
        pytest.param(4, 3.0, False, id="four"),
    ],
)
def test_only_three_conductors_in_the_band_jam(count, ratio, expected):
    assert jams(count, ratio) is expected


@pytest.mark.parametrize(
    ("count", "ratio", "expected"),
    [
        pytest.param(1, 2.0, "single", id="one"),
        pytest.param(2, 3.0, "many", id="two"),
        pytest.param(3, 2.49, "triangular", id="three-close"),
        pytest.param(3, 2.5, "cradled", id="three-loose"),
        pytest.param(4, 3.0, "many", id="four"),
    ],
)
def test_conductors_lie_by_their_number_and_the_ratio(count, ratio, expected):
    assert lying(count, ratio) == expected
