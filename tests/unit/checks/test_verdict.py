"""What is not worked of a box would change nothing: readings without effect, words of a verdict."""

from dataclasses import replace
from random import Random

import pytest

from modelcheck.checks import (
    angle_pull_distance,
    check_box,
    straight_pull_length,
    verdict_on_box,
)
from modelcheck.checks.box_view import see_box
from modelcheck.checks.distance_row import judge
from modelcheck.rules.catalogue import rulebook
from tests.box_cases import CEC, NEC
from tests.unit.layout.random_boxes import random_box

SPOILED = ({}, {"damage": "its body is lost"}, {"marked_for": "9 x 500 kcmil"}, {"cover": ()})


@pytest.mark.parametrize("settings", [CEC, NEC], ids=["cec", "nec"])
@pytest.mark.parametrize("more", SPOILED, ids=["plain", "damaged", "marked", "no-cover"])
def test_its_outcomes_are_those_of_the_rows(settings, more):
    book = rulebook(settings)
    outcomes = set()
    for seed in range(25):
        the_case = random_box(Random(seed))
        the_case = replace(the_case, enclosure=replace(the_case.enclosure, **more))
        rows = [(each.id, each.outcome) for each in check_box(the_case, book, settings)]
        verdict = verdict_on_box(the_case, book, settings)
        assert [(each.id, each.outcome) for each in verdict] == rows
        outcomes |= {outcome for _, outcome in rows}
    assert len(outcomes) > 1


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
