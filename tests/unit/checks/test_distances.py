"""Straight pulls, angle pulls, spacing: verdicts, and what each row says."""

from dataclasses import replace

import pytest

from modelcheck.model.settings import Amendment
from tests.box_cases import (
    CEC,
    NEC,
    box,
    case,
    entry,
    findings,
    names,
    one,
    pull,
    size,
    spare,
)

STRAIGHT, ANGLE, SPACING = "straight-pull-length", "angle-pull-distance", "entry-spacing"


def straight_box(length_mm, trade_size="2", **more):
    ends = (entry("A", "-x", trade_size), entry("B", "+x", trade_size))
    return case(box((length_mm, 600, 200), **more), *ends)


def angle_box(length_mm, *more_on_the_wall, pulls=None, **how):
    ends = (entry("A", "-x", "2"), entry("B", "-y", "2", (400.0, 0.0)), *more_on_the_wall)
    return case(box((length_mm, 1500, 200), **how), *ends, pulls=pulls)


@pytest.mark.parametrize(
    ("length_mm", "outcome"),
    [
        pytest.param(424.0, "pass", id="just-long-enough"),
        pytest.param(423.91, "pass", id="short-within-tolerance"),
        pytest.param(423.9, "pass", id="short-by-the-tolerance"),
        pytest.param(423.8, "fail", id="short-past-tolerance"),
        pytest.param(423.0, "fail", id="1-mm-short"),
        pytest.param(None, "needs-input", id="not-measured"),
    ],
)
def test_straight_pull_of_53_asks_424_mm(length_mm, outcome):
    found = one(straight_box(length_mm), STRAIGHT)
    assert (found.outcome, found.required, found.unit) == (outcome, 424, "mm")
    assert found.working == "8 x 53 = 424 mm"
    assert names(found) == ["A", "B"]


def test_a_pass_within_the_tolerance_says_so():
    assert any(
        "tolerance of 0.1 mm" in each for each in one(straight_box(423.95), STRAIGHT).assumptions
    )
    assert not any("tolerance" in each for each in one(straight_box(424.0), STRAIGHT).assumptions)


def test_box_that_serves_the_inch_size_only_says_so():
    assert "passes by trade size in inches only" in one(straight_box(410), STRAIGHT).assumptions
    assert (
        "passes by trade size in inches only" in one(straight_box(410), STRAIGHT, NEC).assumptions
    )


def test_designator_63_is_the_one_that_metric_lets_pass_alone():
    found = one(straight_box(506, "2-1/2"), STRAIGHT)
    assert found.outcome == "pass"
    assert "passes by metric designator only" in found.assumptions


def test_requirement_is_worked_on_its_basis_and_then_converted():
    shown_in_mm = replace(NEC, units="mm")
    the_box = angle_box(400, entry("C", "-x", "1", (150.0, 0.0)))
    found = findings(the_box, shown_in_mm, ANGLE)[0]
    assert found.working == "6 x 2 + 1 = 13 in = 330.2 mm"
    assert found.required == pytest.approx(330.2)


def test_message_uses_the_words_of_the_code():
    assert "Rule 12-3036 2)b)" in one(straight_box(400), STRAIGHT).message
    assert "Section 314.28(A)(1)" in one(straight_box(400), STRAIGHT, NEC).message


def test_figures_from_memory_are_told_and_seen_ones_are_not():
    told = "figure not checked against the code book: 12-3036 2)b)"
    assert any(each.startswith(told) for each in one(straight_box(500), STRAIGHT).assumptions)
    in_nec = one(straight_box(500), STRAIGHT, NEC).assumptions
    assert not any("not checked" in each for each in in_nec)


@pytest.mark.parametrize(
    ("length_mm", "outcome"),
    [
        pytest.param(318.0, "pass", id="just-long-enough"),
        pytest.param(317.0, "fail", id="1-mm-short"),
        pytest.param(None, "needs-input", id="not-measured"),
    ],
)
def test_angle_pull_of_53_asks_318_mm_of_its_wall(length_mm, outcome):
    on_x, on_y = findings(angle_box(length_mm), CEC, ANGLE)
    assert (on_x.outcome, on_x.required, on_x.working) == (outcome, 318, "6 x 53 = 318 mm")
    assert (names(on_x), names(on_y)) == (["A"], ["B"])


def test_whole_wall_is_summed_in_one_code_and_the_row_in_the_other():
    two_rows = (
        entry("C", "-x", "1", (100.0, 0.0)),
        entry("D", "-x", "3", (300.0, 80.0)),
    )
    pulls = (pull("F1", 0, 1), spare(2), spare(3))
    by_wall = findings(angle_box(1000, *two_rows, pulls=pulls), CEC, ANGLE)[0]
    by_row = findings(angle_box(1000, *two_rows, pulls=pulls), NEC, ANGLE)[0]
    assert by_wall.working == "6 x 78 + 53 + 27 = 548 mm"
    assert by_row.working == "6 x 2 + 1 = 13 in"
    assert names(by_wall) == names(by_row) == ["A", "C", "D"]


def test_rows_are_worked_in_both_directions_of_the_wall():
    above = entry("C", "-x", "3", (0.0, 80.0))
    found = findings(angle_box(1000, above, pulls=(pull("F1", 0, 1), spare(2))), NEC, ANGLE)[0]
    assert found.working == "6 x 3 + 2 = 20 in"


def test_row_holds_entries_out_of_line_by_half_the_smaller_diameter():
    half_mm = 25.4 * 1.163 / 2  # EMT 1
    for offset_mm, working in ((half_mm, "6 x 2 + 1 = 13 in"), (half_mm + 0.1, "6 x 2 = 12 in")):
        near = entry("C", "-x", "1", (300.0, offset_mm))
        the_box = angle_box(1000, near, pulls=(pull("F1", 0, 1), spare(2)))
        assert findings(the_box, NEC, ANGLE)[0].working == working


def test_staggered_row_is_told_and_can_be_read_the_other_way():
    chain = (entry("C", "-x", "2", (200.0, 25.0)), entry("D", "-x", "2", (400.0, 50.0)))
    the_box = angle_box(380, *chain, pulls=(pull("F1", 0, 1), spare(2), spare(3)))
    found = findings(the_box, NEC, ANGLE)[0]
    assert (found.working, found.outcome) == ("6 x 2 + 2 + 2 = 16 in", "fail")
    assert any("staggered" in each for each in found.assumptions)
    assert "passes if staggered entries are not one row (D1)" in found.assumptions
    apart = replace(NEC, rules=replace(NEC.rules, row="all-aligned"))
    assert findings(the_box, apart, ANGLE)[0].working == "6 x 2 + 2 = 14 in"


def test_entries_without_a_position_are_one_row_at_most_and_alone_at_least():
    unplaced = entry("C", "-x", "1", None)
    pulls = (pull("F1", 0, 1), spare(2))
    assert findings(angle_box(331, unplaced, pulls=pulls), NEC, ANGLE)[0].outcome == "pass"
    assert findings(angle_box(304, unplaced, pulls=pulls), NEC, ANGLE)[0].outcome == "fail"
    between = findings(angle_box(320, unplaced, pulls=pulls), NEC, ANGLE)[0]
    assert between.outcome == "needs-input"
    assert "give the positions of C" in between.message


def test_straight_pull_entries_are_in_the_sum_of_an_angle_pull():
    straight = (entry("C", "-x", "3", (150.0, 0.0)), entry("D", "+x", "3", (150.0, 0.0)))
    pulls = (pull("F1", 0, 1), pull("F2", 2, 3))
    the_box = angle_box(620, *straight, pulls=pulls)
    found = findings(the_box, CEC, ANGLE)[0]
    assert found.working == "6 x 78 + 53 = 521 mm"
    short = findings(angle_box(500, *straight, pulls=pulls), CEC, ANGLE)[0]
    assert "passes if straight-pull entries are left out of the sum (D6)" in short.assumptions
    out = replace(CEC, rules=replace(CEC.rules, straight_in_row="out"))
    assert findings(the_box, out, ANGLE)[0].working == "6 x 53 = 318 mm"


def test_u_pull_counts_both_raceways_of_its_wall():
    ends = (entry("A", "-x", "3"), entry("B", "-x", "3", (600.0, 0.0)))
    the_box = case(box((600, 1500, 200)), *ends)
    assert one(the_box, ANGLE, NEC).working == "6 x 3 + 3 = 21 in"
    assert one(the_box, SPACING, NEC).required == 18


def test_wall_opposite_the_cover_has_no_angle_row():
    ends = (entry("A", "-z", "2"), entry("B", "-y", "2"))
    walls = [names(each) for each in findings(case(box((600, 600, 200)), *ends), CEC, ANGLE)]
    assert walls == [["B"]]


def test_unknown_cover_leaves_a_short_angle_row_open_and_a_long_one_passed():
    ends = (entry("A", "-z", "2"), entry("B", "-y", "2"))
    on_y, on_z = findings(case(box((600, 600, 200), cover=()), *ends), CEC, ANGLE)
    assert (on_y.outcome, on_z.outcome) == ("pass", "needs-input")
    assert "on which wall the cover lies" in on_z.message


def test_cover_not_told_is_taken_to_lie_on_the_shallowest_dimension():
    ends = (entry("A", "-x", "2"), entry("B", "-y", "2", (400.0, 0.0)))
    found = findings(case(box((300, 1500, 200), cover=()), *ends), CEC)
    assert [each.check for each in found] == [ANGLE, ANGLE, SPACING]
    assert found[0].outcome == "fail"
    assert any("shallowest dimension, z" in each for each in found[0].assumptions)


def test_two_shallowest_dimensions_must_both_be_free_of_entries():
    ends = (entry("A", "-x", "2"), entry("B", "-y", "2", (400.0, 0.0)))
    found = findings(case(box((1500, 200, 200), cover=()), *ends), CEC, "cover-depth")
    assert [each.outcome for each in found] == ["needs-input"]


def test_disagreeing_sizes_leave_every_distance_open_and_are_named():
    the_box = straight_box(600, size_conflict="properties say 600 mm, the body 500 mm")
    found = one(the_box, STRAIGHT)
    assert found.outcome == "needs-input"
    assert "properties say 600 mm, the body 500 mm" in found.message


def test_entry_of_unknown_size_leaves_its_row_open():
    ends = (entry("A", "-x", "2"), replace(entry("B", "+x", "2"), size=size(None)))
    found = one(case(box((900, 600, 200)), *ends), STRAIGHT)
    assert (found.outcome, found.required, found.working) == ("needs-input", None, "")
    assert "give the trade size of B" in found.message


def test_contradicting_sizes_of_an_entry_leave_its_row_open():
    torn = replace(size("2"), conflict="the name says 2, the body 3")
    ends = (entry("A", "-x", "2"), replace(entry("B", "+x", "2"), size=torn))
    found = one(case(box((900, 600, 200)), *ends), STRAIGHT)
    assert (found.outcome, found.required) == ("needs-input", 424)
    assert "the name says 2, the body 3" in found.message


def test_straight_pull_far_off_its_axis_is_told_with_what_an_angle_pull_asks():
    ends = (entry("A", "-x", "2", (-200.0, 0.0)), entry("B", "+x", "2", (200.0, 0.0)))
    found = one(case(box((450, 600, 200)), *ends), STRAIGHT)
    (told,) = [each for each in found.assumptions if "off the axis" in each]
    assert "42 degrees" in told
    assert "6 x 53 = 318 mm" in told


def test_largest_raceway_is_the_straight_pulls_own_unless_set():
    others = (entry("C", "-y", "4"), entry("D", "-y", "4", (500.0, 0.0)))
    ends = (entry("A", "-x", "2"), entry("B", "+x", "2"), *others)
    the_box = case(box((700, 900, 200)), *ends, pulls=(pull("F1", 0, 1), pull("F2", 2, 3)))
    found = one(the_box, STRAIGHT)
    assert found.working == "8 x 53 = 424 mm"
    assert "fails if the largest raceway of the whole box counts (D17)" in found.assumptions
    of_box = replace(CEC, rules=replace(CEC.rules, largest_straight="box"))
    assert one(the_box, STRAIGHT, of_box).working == "8 x 103 = 824 mm"


def test_spliced_straight_pull_is_under_both_rules_unless_set():
    spliced = replace(straight_box(600), pulls=(pull("F1", 0, 1, spliced=True),))
    assert [each.check for each in findings(spliced, CEC)] == [STRAIGHT, ANGLE, ANGLE]
    angle_only = replace(CEC, rules=replace(CEC.rules, spliced_straight="angle"))
    assert [each.check for each in findings(spliced, angle_only)] == [ANGLE, ANGLE]


def test_pull_that_ends_in_the_box_is_under_the_angle_rule_without_spacing():
    ended = replace(straight_box(600), pulls=(pull("F1", 0), pull("F2", 1)))
    assert [each.check for each in findings(ended, CEC)] == [ANGLE, ANGLE]


def test_a_lone_entry_makes_no_distance_row():
    alone = case(box((100, 100, 50)), entry("A", "-x", "2"), pulls=(pull("F1", 0),))
    assert findings(alone, CEC) == []


def test_spare_counts_in_the_sum_and_shares_with_nothing():
    more = entry("C", "-x", "3", (300.0, 0.0))
    found = findings(angle_box(900, more, pulls=(pull("F1", 0, 1), spare(2))), CEC)
    assert [each.check for each in found] == [ANGLE, ANGLE, SPACING]
    assert found[0].working == "6 x 78 + 53 = 521 mm"


def test_pull_of_several_entries_is_split_from_its_largest():
    ends = (
        entry("A", "-x", "3"),
        entry("B", "-y", "1", (100.0, 0.0)),
        entry("C", "-y", "1-1/4", (200.0, 0.0)),
    )
    the_box = case(box((900, 900, 200)), *ends, pulls=(pull("F1", 0, 1, 2),))
    assert [names(each) for each in findings(the_box, CEC, SPACING)] == [["A", "B"], ["A", "C"]]


def test_conductors_below_4_awg_make_no_distance_row():
    small = replace(straight_box(100), pulls=(pull("F1", 0, 1, conductor="6 AWG"),))
    assert [each.check for each in findings(small, CEC)] == ["box-volume"]


def test_excluded_system_is_left_out():
    the_box = replace(straight_box(100), pulls=(pull("F1", 0, 1, system="FIRE"),))
    settings = replace(CEC, exclude_systems=("FIRE",))
    assert findings(the_box, CEC, STRAIGHT)
    assert findings(the_box, settings) == []
    assert findings(straight_box(100, system="FIRE"), settings) == []


def test_pull_over_1000_v_leaves_its_rows_open():
    the_box = replace(straight_box(2000), pulls=(pull("F1", 0, 1, voltage_v=4160.0),))
    found = one(the_box, STRAIGHT)
    assert found.outcome == "needs-input"
    assert "over 1000 V" in found.message


def test_wireway_is_worked_by_its_own_clause_and_a_short_opposite_wall_is_argued():
    ends = (entry("A", "-x", "2"), entry("B", "-y", "2", (400.0, 0.0)))
    found = findings(case(box((200, 1500, 200), is_wireway=True), *ends), NEC)
    assert [(each.check, each.outcome.value) for each in found] == [
        (ANGLE, "needs-input"),
        (ANGLE, "pass"),
        (SPACING, "pass"),
    ]
    assert {each.clause for each in found} == {"376.23(B)"}
    assert "(D11)" in found[0].message


def test_spacing_is_measured_edge_to_edge_unless_set():
    ends = (entry("A", "-x", "2"), entry("B", "-x", "2", (350.0, 0.0)))
    the_box = case(box((900, 900, 200)), *ends)
    found = one(the_box, SPACING)
    assert found.outcome == "fail"
    assert found.provided == pytest.approx(350 - 25.4 * 2.197)
    assert "350 mm centre to centre" in found.assumptions
    assert "passes if measured centre to centre (D2)" in found.assumptions
    centre = replace(CEC, rules=replace(CEC.rules, spacing="centre"))
    assert one(the_box, SPACING, centre).outcome == "pass"


def test_spacing_of_unplaced_entries_is_worked_but_not_decided():
    ends = (entry("A", "-x", "2"), entry("B", "-y", "2", None))
    found = one(case(box((900, 900, 200)), *ends), SPACING)
    assert (found.outcome, found.required, found.provided) == ("needs-input", 318, None)
    assert "give the position on the wall of B" in found.message


def test_raceway_of_unknown_type_is_bounded_by_those_of_its_size():
    def spaced(apart_mm):
        ends = (
            entry("A", "-x", "2", raceway_type=""),
            entry("B", "-x", "2", (apart_mm, 0.0), raceway_type=""),
        )
        return one(case(box((900, 900, 200)), *ends), SPACING)

    thin, thick = 25.4 * 2.197, 25.4 * 2.45  # EMT and FMC 2
    assert spaced(318 + thick).outcome == "pass"
    assert spaced(318 + thin - 1).outcome == "fail"
    between = spaced(318 + (thin + thick) / 2)
    assert between.outcome == "needs-input"
    assert "raceway type" in between.message


def test_drawn_diameter_stands_in_for_a_type_without_a_table():
    drawn = replace(size("2", "ENT"), outside_diameter_m=0.06)
    ends = (replace(entry("A", "-x", "2"), size=drawn), entry("B", "-x", "2", (500.0, 0.0)))
    found = one(case(box((900, 900, 200)), *ends), SPACING)
    assert found.provided == pytest.approx(500 - 30 - 25.4 * 2.197 / 2)
    assert "outside diameter of A as drawn: 60 mm" in found.assumptions


def test_marked_box_passes_by_its_marking_with_the_conductors_counted():
    marked = replace(straight_box(300, marked_for="3 x 350 kcmil"), pulls=(pull("F1", 0, 1),))
    found = one(marked, STRAIGHT)
    assert (found.outcome, found.required, found.provided, found.unit) == ("pass", 3, 3, "")
    assert found.clause == "12-3036"


@pytest.mark.parametrize(
    ("marked_for", "pulls", "outcome", "told"),
    [
        pytest.param("3 x 4/0 AWG", (pull("F1", 0, 1),), "fail", "are scheduled", id="too-large"),
        pytest.param("2 x 350 kcmil", (pull("F1", 0, 1),), "fail", "are scheduled", id="too-many"),
        pytest.param("3 x 350 kcmil", None, "needs-input", "number and size", id="no-schedule"),
        pytest.param("listed", (pull("F1", 0, 1),), "needs-input", "such as", id="unreadable"),
    ],
)
def test_marking_that_does_not_cover_lets_nothing_pass(marked_for, pulls, outcome, told):
    marked = replace(straight_box(300, marked_for=marked_for), pulls=pulls)
    found = one(marked, STRAIGHT)
    assert found.outcome == outcome
    assert told in f"{found.message} {' '.join(found.assumptions)}"


@pytest.mark.parametrize(
    ("walls", "check"),
    [
        pytest.param(("-x", "+x"), STRAIGHT, id="straight"),
        pytest.param(("-x", "-y"), ANGLE, id="turned"),
        pytest.param(("-x", "+x", "-y"), ANGLE, id="three-ways"),
    ],
)
def test_conduit_body_has_one_row_that_asks_for_marking_or_dimensions(walls, check):
    ends = [entry(f"C{n}", wall, "2") for n, wall in enumerate(walls)]
    (found,) = findings(case(box(is_conduit_body=True), *ends), CEC)
    assert (found.check, found.outcome) == (check, "needs-input")
    assert "marking or its inside dimensions" in found.message


def test_conduit_body_with_told_dimensions_is_a_box():
    body = straight_box(500, is_conduit_body=True)
    assert one(body, STRAIGHT).outcome == "pass"


def test_conduit_body_marked_for_its_conductors_passes():
    body = case(
        box(is_conduit_body=True, marked_for="3 - 250 kcmil"),
        entry("A", "-x", "2"),
        entry("B", "-y", "2"),
        pulls=(pull("F1", 0, 1),),
    )
    (found,) = findings(body, NEC)
    assert (found.outcome, found.clause) == ("pass", "314.28(A)(3)")


def test_local_amendment_changes_the_row_and_is_told():
    amendment = Amendment(
        check=STRAIGHT,
        code="cec",
        value=6.0,
        clause="Bulletin 12-1",
        source="city bulletin",
        adopted_by="the city",
    )
    found = one(straight_box(320), STRAIGHT, replace(CEC, amendments=(amendment,)))
    assert (found.outcome, found.clause, found.working) == (
        "pass",
        "Bulletin 12-1",
        "6 x 53 = 318 mm",
    )
    (told,) = [each for each in found.assumptions if "amendment" in each]
    assert "laxer than the code" in told
    assert "adopted by the city" in told


def test_unknown_pairs_say_which_pairing_fails():
    ends = (entry("A", "-x", "3"), entry("B", "+x", "3"), entry("C", "-y", "2"))
    found = one(case(box((600, 400, 200)), *ends), STRAIGHT)
    assert found.outcome == "needs-input"
    assert "it fails if A shares conductors with B, and passes if not" in found.message
