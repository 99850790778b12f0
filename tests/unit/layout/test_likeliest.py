from dataclasses import replace
from itertools import combinations
from random import Random

import pytest

from modelcheck.layout import likeliest
from modelcheck.layout.draft_pulls import draft_pulls
from modelcheck.layout.likeliest import likeliest_pairs
from tests.box_cases import box, case, entry, ref, run


def pairs_of(*entries, systems=None):
    the_case = case(box((900, 900, 200)), *entries)
    found = likeliest_pairs(the_case, systems or [""] * len(entries))
    return {(each.first, each.second) for each in found}


def test_equal_sizes_go_together():
    entries = [
        entry("A", "-x", "2", (0, 0)),
        entry("B", "-x", "3", (100, 0)),
        entry("C", "+x", "3", (0, 0)),
        entry("D", "+x", "2", (100, 0)),
    ]
    assert pairs_of(*entries) == {(0, 3), (1, 2)}


def test_equal_systems_go_before_equal_sizes():
    entries = [entry(each[0], each[1:3], each[3]) for each in ("A-x2", "B-x3", "C+x2", "D+x3")]
    assert pairs_of(*entries, systems=["P", "Q", "Q", "P"]) == {(0, 3), (1, 2)}


@pytest.mark.parametrize(
    ("walls", "expected"),
    [
        pytest.param(("-x", "+x"), {(0, 3), (1, 4), (2, 5)}, id="straight-in-order"),
        pytest.param(("-x", "-y"), {(0, 3), (1, 4), (2, 5)}, id="nested-round-a-corner"),
        pytest.param(("-x", "+y"), {(0, 5), (1, 4), (2, 3)}, id="nested-round-the-other-corner"),
    ],
)
def test_pulls_of_one_size_lie_beside_each_other_and_do_not_cross(walls, expected):
    entries = [
        entry(f"{wall}{at}", wall, "2", (at, 0.0)) for wall in walls for at in (-200.0, 0.0, 200.0)
    ]
    assert pairs_of(*entries) == expected


def test_entry_that_is_left_over_shares_with_the_likeliest():
    entries = [entry("A", "-x", "2"), entry("B", "+x", "2"), entry("C", "-y", "2")]
    (first, left) = likeliest_pairs(case(box((900, 900, 200)), *entries), [""] * 3)
    assert (first.first, first.second, first.is_shared) == (0, 1, False)
    assert (left.first, left.is_shared) == (2, True)


@pytest.mark.parametrize("seed", range(10))
def test_pairing_is_the_best_of_all_that_can_be_listed_and_that_of_the_solver(seed):
    lot = Random(seed)
    count = lot.randint(2, likeliest._FEW)
    few = [600, 400, -47400] if seed % 2 else range(-3000, 3000)  # the first make ties
    scores = {pair: lot.choice(few) for pair in combinations(range(count), 2)}
    best = likeliest._best_of_all(count, scores)
    solved = likeliest._solved(count, tuple(scores.items()))
    assert solved in best
    assert likeliest._best_matching(count, tuple(scores.items())) == solved


def chain(*boxes):
    """Boxes joined in a row by runs R0, R1 …; each run enters at +x and leaves by -x."""
    runs = [replace(run(), name=f"R{n}", elements=(ref(f"E{n}"),)) for n in range(len(boxes) + 1)]
    cases = [
        case(
            replace(box((900, 900, 200)), ref=replace(ref(name), step_id=n + 1)),
            replace(entry("in", "-x", "2"), run=f"R{n}"),
            replace(entry("out", "+x", "2"), run=f"R{n + 1}"),
        )
        for n, name in enumerate(boxes)
    ]
    return cases, runs


def test_pairs_of_neighbouring_boxes_are_strung_to_one_pull():
    (pull,) = draft_pulls(*chain("B1", "B2", "B3"))
    assert [each.name for each in pull.runs] == ["R0", "R1", "R2", "R3"]
    assert [each.name for each in pull.boxes] == ["B1", "B2", "B3"]


def test_entry_left_over_goes_on_with_the_pull_of_its_partner():
    cases, runs = chain("B1", "B2")
    extra = replace(entry("side", "-y", "2", (0.0, 50.0)), run="R9")
    cases[0] = replace(cases[0], entries=(*cases[0].entries, extra))
    found = draft_pulls(cases, [*runs, replace(run(), name="R9", elements=(ref("E9"),))])
    names = [[each.name for each in pull.runs] for pull in found]
    assert names[0] == ["R0", "R1", "R2"]
    assert names[1] in (["R0", "R9"], ["R2", "R1", "R9"])
    assert len(names) == 2
