from dataclasses import replace
from random import Random

import pytest

from modelcheck.layout.least import Scale, least_lengths
from modelcheck.layout.smallest_box import size_fixes
from tests.box_cases import CEC, NEC, box, case, entry, pull
from tests.unit.layout.random_boxes import means_for, outcomes, random_box, resized, smaller


def proposed(the_case, settings=CEC, **more):
    means = replace(means_for(settings), **more)
    fixes = size_fixes(means.stand(the_case), means, pairing="as scheduled")
    return {each.change: each for each in fixes}


def in_mm(fix):
    return tuple(round(each * 1000, 3) for each in fix.after_m)


CORNER = (entry("A", "-x", "2", (0.0, 0.0)), entry("B", "-y", "2", (0.0, 0.0)))


def test_box_too_short_for_an_angle_pull_is_enlarged_to_what_its_rows_ask():
    the_case = case(box((300, 300, 100)), *CORNER, pulls=(pull("F1", 0, 1),))
    found = proposed(the_case)
    # 6 x 53 = 318 along both; the gap of the two in 558 x 318: see the next test
    (along_x, along_y, depth) = in_mm(found["enlarged"])
    assert min(along_x, along_y) == 318.0
    assert depth == 100.0
    assert "entry-spacing of A and B" in found["enlarged"].governing
    assert "6 x 53 = 318 mm" in found["enlarged"].working


def test_spacing_round_a_corner_grows_the_axis_that_makes_the_least_box():
    the_case = case(box((318, 318, 100)), *CORNER, pulls=(pull("F1", 0, 1),))
    sides = sorted(in_mm(proposed(the_case)["enlarged"]))[1:]
    # nearest points: (a - r, b - r) from the corner lines, r half of 55.8 mm EMT: 318 apart
    radius = 2.197 * 25.4 / 2
    assert sides[0] == 318.0
    other = (317.9**2 - (159 - radius) ** 2) ** 0.5 + radius
    assert sides[1] == pytest.approx(2 * other, abs=1.0)
    assert sides[1] >= 2 * other


def test_entries_of_one_wall_too_near_to_each_other_are_told_that_no_size_helps():
    ends = (entry("A", "-x", "2", (0.0, 0.0)), entry("B", "-x", "2", (100.0, 0.0)))
    found = proposed(case(box((900, 900, 100)), *ends, pulls=(pull("F1", 0, 1),)))
    assert list(found) == ["enlarged"]
    assert found["enlarged"].after_m is None
    assert "move A and B (6 x 53 = 318 mm) apart" in found["enlarged"].message


def test_next_standard_size_is_one_of_the_list_and_the_users_own_list_goes_first():
    ends = (entry("A", "-x", "2"), entry("B", "+x", "2"))
    the_case = case(box((300, 300, 100)), *ends, pulls=(pull("F1", 0, 1),))
    assert in_mm(proposed(the_case)["next standard"]) == (457.2, 304.8, 101.6)  # 8 x 53 = 424
    own = ((0.2, 0.424, 0.1), (0.5, 0.5, 0.1), (0.6, 0.6, 0.2))
    assert in_mm(proposed(the_case, sizes_m=own)["next standard"]) == (424.0, 200.0, 100.0)


def test_least_square_has_two_equal_sides_round_the_depth():
    the_case = case(box((300, 300, 100)), *CORNER, pulls=(pull("F1", 0, 1),))
    along_x, along_y, _ = in_mm(proposed(the_case)["least square"])
    assert along_x == along_y


def test_box_of_unknown_size_is_told_what_is_missing():
    found = proposed(case(box((None, 300, 100)), *CORNER, pulls=(pull("F1", 0, 1),)))
    assert found["enlarged"].message == "no size can be proposed: give the inside size of the box"


def test_volume_that_is_short_is_made_up_by_depth():
    ends = (entry("A", "-x", "1/2"), entry("B", "+x", "1/2"))
    pulls = (pull("F1", 0, 1, conductor="12 AWG", count=40),)
    found = proposed(case(box((100, 100, 40)), *ends, pulls=pulls))
    assert in_mm(found["enlarged"])[:2] == (100.0, 100.0)
    assert found["enlarged"].governing == ("box-volume",)


@pytest.mark.parametrize("settings", [CEC, NEC], ids=["cec", "nec"])
@pytest.mark.parametrize("seed", range(8))
def test_proposed_size_passes_and_a_millimetre_less_along_an_axis_that_governs_fails(
    settings, seed
):
    the_case = random_box(Random(seed))
    for change, fix in proposed(the_case, settings).items():
        if fix.after_m is None:
            assert fix.message
            continue
        assert "fail" not in outcomes(resized(the_case, fix.after_m), settings)
        if fix.governing and change != "next standard":
            less = [
                outcomes(resized(the_case, smaller(fix.after_m, axis)), settings)
                for axis in range(3)
            ]
            assert any({"fail", "needs-input"} & each for each in less)


def test_least_lengths_are_those_of_every_size_tried():
    scale = Scale(first_m=(1.0, 1.0, 1.0), step_m=1.0)

    def meets(size):
        x, y, z = size
        return (x - 0.3) ** 2 + y**2 >= 90 and x + 2 * z >= 9 and y * z >= 7

    tried = [
        (x * y * z)
        for x in range(1, 17)
        for y in range(1, 17)
        for z in range(1, 17)
        if meets((x, y, z))
    ]
    x, y, z = least_lengths(scale, (15, 15, 15), meets)
    assert meets((x, y, z))
    assert x * y * z == min(tried)
