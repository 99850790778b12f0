from dataclasses import replace

import pytest

from tests.box_cases import CEC, NEC, box, case, entry, findings, names, one, pull, spare

DEPTH = "cover-depth"


def back_box(depth_mm, *pulls, size="3", **more):
    ends = (entry("A", "-z", size), entry("B", "-y", "3"), entry("C", "-z", "2", (200.0, 0.0)))
    return case(box((900, 900, depth_mm), **more), *ends, pulls=pulls or None)


@pytest.mark.reference(
    source="common-practice", clause="12-3036 2)a)", how="published-example"
)  # common practice, no source
@pytest.mark.parametrize(
    ("depth_mm", "outcome"),
    [
        pytest.param(185.4, "pass", id="just-deep-enough"),
        pytest.param(184.4, "fail", id="1-mm-short"),
        pytest.param(None, "needs-input", id="not-measured"),
    ],
)
def test_three_250_kcmil_rw90_in_a_78_ask_185_4_mm(depth_mm, outcome):
    found = one(back_box(depth_mm, pull("F1", 0, 1), spare(2)), DEPTH)
    assert (found.outcome, found.working) == (outcome, "6 x 17.9 + 78 = 185.4 mm")
    assert "diameter of 250 kcmil RW90: 17.9 mm by Table 6A" in found.assumptions
    assert names(found) == ["A"]


def test_nec_depth_is_the_tables_printed_inches():
    found = one(back_box(114.3, pull("F1", 0, 1), spare(2)), DEPTH, replace(NEC, units="mm"))
    assert (found.outcome, found.required) == ("pass", pytest.approx(114.3))
    assert found.working == "Table 312.6(A), 250 kcmil: 4.5 in = 114.3 mm"


def test_worst_entry_of_the_wall_governs():
    pulls = (pull("F1", 0, 1, conductor="4 AWG"), pull("F2", 1, 2, conductor="500 kcmil"))
    found = one(back_box(300, *pulls), DEPTH)
    assert found.working == "6 x 23.95 + 53 = 196.7 mm"
    assert names(found) == ["A", "C"]


def test_unknown_conductor_needs_input_and_the_message_names_the_largest_served():
    found = one(back_box(186), DEPTH)
    assert (found.outcome, found.required) == ("needs-input", None)
    assert "up to 250 kcmil RW90" in found.message
    assert "up to 350 kcmil" in one(back_box(130), DEPTH, NEC).message


def test_depth_too_small_for_any_large_conductor_is_told():
    assert "would not even serve 4 AWG" in one(back_box(100), DEPTH).message


def test_insulation_not_told_needs_input_where_the_diameter_counts():
    bare = (pull("F1", 0, 1, insulation=""), spare(2))
    assert one(back_box(400, *bare), DEPTH).outcome == "needs-input"
    assert one(back_box(400, *bare), DEPTH, NEC).outcome == "pass"


def test_an_entry_that_fails_decides_whatever_another_carries():
    pulls = (pull("F1", 0, 1), pull("F2", 1, 2, conductor=None))
    assert one(back_box(150, *pulls), DEPTH).outcome == "fail"
    assert one(back_box(400, *pulls), DEPTH).outcome == "needs-input"


def test_unknown_cover_needs_input():
    found = one(back_box(400, pull("F1", 0, 1), spare(2), cover=()), DEPTH)
    assert found.outcome == "needs-input"
    assert "on which wall the cover lies" in found.message


def test_lone_entry_at_the_back_has_a_row():
    alone = case(box((600, 600, 200)), entry("A", "-z", "2"))
    assert [each.check for each in findings(alone, CEC)] == [DEPTH]


def test_small_conductors_at_the_back_ask_no_depth():
    small = pull("F1", 0, 1, 2, conductor="12 AWG")
    assert findings(back_box(50, small), CEC, DEPTH) == []


def test_spares_alone_at_the_back_need_input():
    ends = (entry("A", "-z", "2"), entry("B", "-y", "2"), entry("C", "+y", "2"))
    the_box = case(box((600, 600, 200)), *ends, pulls=(spare(0), pull("F1", 1, 2)))
    assert one(the_box, DEPTH).outcome == "needs-input"


def test_of_two_covers_the_tighter_axis_governs():
    ends = (entry("A", "-z", "3"), entry("B", "-y", "3"))
    the_box = case(box((900, 150, 190), cover=("+z", "+y")), *ends, pulls=(pull("F1", 0, 1),))
    found = one(the_box, DEPTH)
    assert (found.outcome, names(found)) == ("fail", ["B"])


def test_largest_raceway_with_largest_conductor_is_told_where_it_would_fail():
    pulls = (pull("F1", 0, 1, conductor="4 AWG"), pull("F2", 1, 2))
    found = one(back_box(170, *pulls), DEPTH)
    assert found.outcome == "pass"
    assert any("(D16)" in each for each in found.assumptions)


def test_hinged_door_is_a_cover_and_told():
    found = one(back_box(300, pull("F1", 0, 1), spare(2), cover_from="door"), DEPTH)
    assert any("(D8)" in each for each in found.assumptions)
