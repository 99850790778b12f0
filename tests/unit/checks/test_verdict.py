"""The verdict on a box has the rows of its check, each with the same outcome."""

from dataclasses import replace
from random import Random

import pytest

from modelcheck.checks import check_box, verdict_on_box
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
