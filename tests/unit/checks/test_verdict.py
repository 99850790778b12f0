"""What is not worked of a box again would change nothing: readings, rows of another size."""

from dataclasses import replace
from random import Random

import pytest

from modelcheck.checks import RuledBox, angle_pull_distance, check_box, straight_pull_length
from modelcheck.checks.box_view import see_box
from modelcheck.checks.distance_finding import judge
from modelcheck.rules.catalogue import rulebook
from tests.box_cases import CEC, NEC
from tests.unit.layout.random_boxes import random_box, resized

SPOILED = {
    "plain": {},
    "damaged": {"damage": "its body is lost"},
    "marked": {"marked_for": "9 x 500 kcmil"},
    "marked-for-less": {"marked_for": "all sorts"},
    "no-cover": {"cover": ()},
    "two-covers": {"cover": ("+z", "-y")},
    "size-not-known": {"inside_m": (None, 0.4, 0.2)},
}
SIZES_M = ((0.2, 0.3, 0.1), (0.4, 0.4, 0.4), (0.9, 0.7, 0.3), (0.15, 1.2, 0.9))


@pytest.mark.parametrize("settings", [CEC, NEC], ids=["cec", "nec"])
@pytest.mark.parametrize("more", SPOILED.values(), ids=SPOILED)
def test_outcomes_of_another_size_are_those_of_the_rows_of_a_box_of_that_size(settings, more):
    book = rulebook(settings)
    outcomes, changed = set(), 0
    for seed in range(25):
        the_case = random_box(Random(seed))
        the_case = replace(the_case, enclosure=replace(the_case.enclosure, **more))
        ruled = RuledBox.of(the_case, book, settings)
        told = [ruled.outcomes(inside_m) for inside_m in SIZES_M]
        for inside_m, by_size in zip(SIZES_M, told, strict=True):
            rows = check_box(resized(the_case, inside_m), book, settings)
            assert by_size == tuple((each.check, each.outcome) for each in rows)
        outcomes |= {outcome for by_size in told for _, outcome in by_size}
        changed += len(set(told)) > 1
    assert len(outcomes) > 1
    assert changed


@pytest.mark.parametrize("settings", [CEC, NEC], ids=["cec", "nec"])
@pytest.mark.parametrize("check", [angle_pull_distance, straight_pull_length])
def test_a_reading_that_is_left_out_would_change_no_row(check, settings):
    every = [replace(reading, matters=lambda _: True) for reading in check.READINGS]
    left_out = 0
    for seed in range(60):
        view = see_box(random_box(Random(seed), most=6), rulebook(settings), settings)
        assert check.findings(view) == judge(view, check.rows, every)
        left_out += any(not reading.matters(view) for reading in check.READINGS)
    assert left_out
