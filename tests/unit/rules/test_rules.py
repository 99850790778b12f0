from dataclasses import replace

import pytest

from modelcheck.errors import RuleInputError
from modelcheck.model.settings import Amendment
from modelcheck.rules.bends import taken_angle_deg
from modelcheck.rules.box_fill import find_listed_box, listed_boxes
from modelcheck.rules.catalogue import rulebook
from modelcheck.rules.conductors import conductor, conductor_size, insulations, largest
from modelcheck.rules.conduit_fill import most_of_one_size
from modelcheck.rules.pull_box import (
    angle_pull_distance,
    pull_box_factors,
    straight_pull_length,
)
from modelcheck.rules.raceways import by_metric_designator, by_trade_size, outside_diameter_m
from modelcheck.rules.requirement import Requirement, meets, spell_length
from modelcheck.rules.rows import rows_of
from modelcheck.rules.standard_boxes import smallest_standard_box
from tests.box_cases import CEC, NEC

ANGLE = next(row for row in pull_box_factors() if row.check == "angle-pull-distance")


@pytest.mark.reference(source="nec-2023", clause="314.28(A)(2)", how="hand")
@pytest.mark.parametrize(
    ("sizes", "unit", "working"),
    [
        pytest.param([3, 2, 2], "in", "6 x 3 + 2 + 2 = 22 in", id="one-large-two-small"),
        pytest.param([2, 3, 2], "in", "6 x 3 + 2 + 2 = 22 in", id="order-does-not-matter"),
        pytest.param([53, 53], "mm", "6 x 53 + 53 = 371 mm", id="equal-sizes-count-once-each"),
        pytest.param([53], "mm", "6 x 53 = 318 mm", id="single-entry"),
        pytest.param([2.5, 1.25], "in", "6 x 2.5 + 1.25 = 16.25 in", id="halves-and-quarters"),
    ],
)
def test_angle_pull_is_six_times_the_largest_plus_the_others(sizes, unit, working):
    found = angle_pull_distance(sizes, unit=unit, rule=ANGLE)
    assert found.working == working
    assert found.value == 6 * max(sizes) + sum(sizes) - max(sizes)


@pytest.mark.parametrize("rule", [straight_pull_length, angle_pull_distance])
def test_rule_without_a_raceway_is_refused(rule):
    with pytest.raises(RuleInputError):
        rule([], unit="in", rule=ANGLE)


def test_requirement_is_converted_at_its_end_only():
    needed = Requirement.of_sum([(6, 2.0), (1, 1.0)], unit="in", rule=ANGLE)
    assert needed.working_in("in") == "6 x 2 + 1 = 13 in"
    assert needed.working_in("mm") == "6 x 2 + 1 = 13 in = 330.2 mm"
    assert needed.value_in("mm") == pytest.approx(330.2)


@pytest.mark.parametrize(
    ("length", "unit", "text"),
    [
        pytest.param(424.0, "mm", "424 mm", id="whole"),
        pytest.param(185.44, "mm", "185.4 mm", id="tenth-of-a-mm"),
        pytest.param(16.125, "in", "16.12 in", id="hundredth-of-an-inch"),
        pytest.param(-0.001, "mm", "0 mm", id="no-negative-zero"),
        pytest.param(40000.0, "mm", "40000 mm", id="no-exponent"),
    ],
)
def test_length_is_spelled_as_the_tables_round(length, unit, text):
    assert spell_length(length, unit) == text


def test_tolerance_is_inclusive():
    assert meets(1.0, 1.5, tolerance=0.5)
    assert not meets(0.99, 1.5, tolerance=0.5)


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("4 AWG", "4 AWG"),
        ("No. 4", "4 AWG"),
        ("#4/0", "4/0 AWG"),
        ("4/0", "4/0 AWG"),
        ("250 MCM", "250 kcmil"),
        ("250", "250 kcmil"),
        (" 500kcmil ", "500 kcmil"),
        ("16 mm2", None),
        ("250 AWG", None),
        ("4 kcmil", None),
        ("", None),
    ],
)
def test_conductor_size_is_known_by_the_ways_it_is_written(text, size):
    found = conductor_size(text)
    assert (found.size if found else None) == size


def test_sizes_compare_by_area_not_by_number():
    four, four_aught, big = (conductor_size(each) for each in ("4 AWG", "4/0 AWG", "250 kcmil"))
    assert four < four_aught < big
    assert largest([four_aught, big, four]) is big
    assert largest([]) is None


def test_insulation_goes_by_its_first_word():
    assert conductor("250 kcmil", "RW90 XLPE 600 V") is conductor("250 MCM", "rw90")
    assert conductor("250 kcmil", "compact XHHW").diameter_in == 0.66
    assert conductor("250 kcmil", "paper") is None
    assert conductor("250 kcmil", "") is None
    assert "RW90" in insulations()


def test_unknown_raceway_type_has_no_diameter_of_another():
    assert outside_diameter_m("", "2") is None
    assert outside_diameter_m("EMT", "2") == pytest.approx(0.0558038)
    assert by_trade_size("2.25") is None
    assert by_metric_designator(50) is None


@pytest.mark.parametrize(
    ("drawn", "taken"),
    [(22.0, 22.5), (23.0, 22.5), (23.1, 23.1), (11.75, 11.25), (12.0, 12.0), (0.5, 0.5)],
)
def test_angle_within_half_a_degree_of_an_elbow_is_taken_for_it(drawn, taken):
    assert taken_angle_deg(drawn) == taken


def test_rows_are_linked_through_neighbours_unless_all_must_be_aligned():
    offsets, diameters = [0.0, 0.02, 0.04, 0.2], [0.05, 0.05, 0.05, 0.05]
    linked = rows_of(offsets, diameters, linked=True)
    aligned = rows_of(offsets, diameters, linked=False)
    assert linked[0] == {0, 1, 2}
    assert aligned[0] == {0, 1}
    assert linked[3] == aligned[3] == {3}


@pytest.mark.parametrize(
    ("name", "volume"),
    [
        ("4 x 1-1/2 square", 21.0),
        ('Square box 4" x 1-1/2" deep', 21.0),
        ("4 x 1-1/2 round", 15.5),
        ("FS 1-3/4", 13.5),
        ("4 x 1-1/2", None),
        ("9 x 9 square", None),
        ("", None),
    ],
)
def test_listed_box_is_found_by_size_and_shape(name, volume):
    found = find_listed_box(name, [row for row in listed_boxes() if row.code == "nec"])
    assert (found.volume if found else None) == volume


@pytest.mark.parametrize(("round_up_from", "count"), [(0.8, 6), (None, 5)])
def test_large_fraction_is_rounded_up_only_where_the_code_allows(round_up_from, count):
    assert most_of_one_size(0.1256, 0.0211, round_up_from=round_up_from) == count


def test_no_standard_box_is_found_past_the_largest():
    assert smallest_standard_box((9.0, 9.0), 9.0, tolerance_m=0.0) is None


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        pytest.param({"code": "iec"}, "must be one of cec, nec", id="code"),
        pytest.param({"edition": "2011"}, "must be one of 2018, 2021, 2024", id="edition"),
    ],
)
def test_unknown_code_or_edition_says_what_is_allowed(changes, told):
    with pytest.raises(RuleInputError) as error:
        rulebook(replace(CEC, **changes))
    assert told in str(error.value)


def amendment(**changes):
    given = {
        "check": "entry-spacing",
        "code": "nec",
        "value": 7.0,
        "clause": "L-1",
        "source": "by-law 1",
        "adopted_by": "town",
    }
    return Amendment(**{**given, **changes})


def test_amendment_of_the_other_code_changes_nothing():
    book = rulebook(replace(CEC, amendments=(amendment(),)))
    assert book.factor("entry-spacing").factor == 6
    assert book.amendment_notes("entry-spacing") == ()


def test_stricter_amendment_is_told_without_the_word_laxer():
    book = rulebook(replace(NEC, amendments=(amendment(),)))
    assert book.factor("entry-spacing").factor == 7
    (note,) = book.amendment_notes("entry-spacing")
    assert note == "local amendment L-1: 7 in place of 6, adopted by town (by-law 1)"


def test_share_of_a_raceway_can_be_amended_for_more_than_two_conductors():
    book = rulebook(replace(NEC, amendments=(amendment(check="conduit-fill", value=45.0),)))
    assert [row.percent for row in book.fill_percents] == [53, 31, 45, 60]
    assert "laxer" in book.amendment_notes("conduit-fill")[0]


@pytest.mark.parametrize("check", ["box-volume", "cover-depth"])
def test_what_has_a_table_and_no_factor_can_not_be_amended(check):
    with pytest.raises(RuleInputError):
        rulebook(replace(NEC, amendments=(amendment(check=check),)))
