from pathlib import Path

import pytest

from modelcheck.errors import InputFileError
from modelcheck.model.fix import LIKELIEST, MOVED, SIZE_CHANGES
from modelcheck.pipeline.choice import chosen
from modelcheck.pipeline.fixes import EVERY, box_fixes, means_of
from modelcheck.pipeline.proposals import proposed_box
from modelcheck.rules.catalogue import rulebook
from tests.box_cases import CEC, box, case, entry
from tests.unit.layout.random_boxes import outcomes

MEANS = means_of(rulebook(CEC), CEC)
NO_SYSTEMS = [""] * 3


def three_entries():
    ends = (
        entry("A", "-x", "2", (0, 0)),
        entry("B", "+y", "2", (0, 0)),
        entry("C", "+x", "2", (0, 0)),
    )
    return case(box((300, 300, 150)), *ends)


@pytest.mark.parametrize("change", SIZE_CHANGES)
def test_box_that_is_proposed_is_that_of_its_row_and_fails_nothing(change):
    proposed, fix = proposed_box(three_entries(), NO_SYSTEMS, MEANS, change)
    assert fix in box_fixes(three_entries(), NO_SYSTEMS, MEANS)
    assert proposed.enclosure.inside_m == fix.after_m
    assert "fail" not in outcomes(proposed, CEC)


def test_size_under_every_pairing_is_taken_before_that_under_the_likeliest():
    _, fix = proposed_box(three_entries(), NO_SYSTEMS, MEANS, "enlarged")
    assert fix.pairing == EVERY
    moved, fix = proposed_box(three_entries(), NO_SYSTEMS, MEANS, MOVED)
    assert fix.pairing == LIKELIEST
    assert moved.pulls


def test_box_that_nothing_is_proposed_for_gives_the_row_that_says_why():
    unplaced = case(box((300, 300, 150)), *(entry(n, "-x", "2", None) for n in "AB"))
    proposed, fix = proposed_box(unplaced, NO_SYSTEMS[:2], MEANS, "least square")
    assert proposed is None
    assert "give the position" in fix.message


def test_what_nobody_has_is_told_with_some_that_there_are():
    with pytest.raises(InputFileError, match="there is no box 'Z': the boxes are a, b, c, d, e, "):
        chosen(
            "abcdefg", "Z", names=set, told=str, kind=("box", "boxes"), path=Path("m.ifc")
        )  # fmt: skip
    with pytest.raises(InputFileError, match="there is no run in it"):
        chosen("", "Z", names=set, told=str, kind=("run", "runs"), path=Path("m.ifc"))
    assert chosen("abc", "b", names=set, told=str, kind=("a", "b"), path=Path("m")) == ["b"]
