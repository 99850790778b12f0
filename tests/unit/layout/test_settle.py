from itertools import combinations
from math import dist

import pytest

from modelcheck.geometry.walls import circle_gap_m, mouth
from modelcheck.layout.settle import Placed, Settler
from modelcheck.layout.stand import TOLERANCE_M
from tests.box_cases import CEC, NEC, box, case, entry, pull
from tests.unit.layout.random_boxes import means_for

STEP_M = 0.001
LARGE = (900, 900, 200)


def settler_of(the_case, settings=CEC):
    return Settler.of(means_for(settings).stand(the_case), STEP_M)


def corner_box():
    ends = (entry("A", "-x", "2", (0, 0)), entry("B", "-y", "2", (0, 0)))
    return case(box(LARGE), *ends, pulls=(pull("F1", 0, 1),))


def test_entries_that_have_room_stay_where_they_are_drawn():
    ends = (entry("A", "-x", "2", (-30.0, 11.0)), entry("B", "+x", "2", (20.0, -6.0)))
    settler = settler_of(case(box(LARGE), *ends, pulls=(pull("F1", 0, 1),)))
    found = settler.settled((424, 200, 100))
    assert found.centres == ({1: -30, 2: 11}, {1: 20, 2: -6})


def test_entries_on_each_other_are_pushed_apart_by_no_less_than_is_asked():
    ends = [entry(f"C{n}", "-x", "2", (0.0, 0.0)) for n in range(4)]
    settler = settler_of(case(box(LARGE), *ends, pulls=tuple(pull(f"F{n}", n) for n in range(4))))
    found = settler.settled((530, 400, 100))
    clear = 2 * settler.stand.clearance_m(0) / STEP_M
    for one, other in combinations(found.centres, 2):
        assert dist((one[1], one[2]), (other[1], other[2])) >= clear - 1e-6


def test_spacing_round_a_corner_is_that_of_the_circles_and_no_more_than_is_asked_by_much():
    settler = settler_of(corner_box())
    found = settler.settled((400, 400, 80))
    size_m = tuple(length * STEP_M for length in found.size)
    radius_m = settler.stand.demands.radii_m[0]
    ends = [
        mouth(
            wall,
            u_m=centre[min(centre)] * STEP_M,
            v_m=centre[max(centre)] * STEP_M,
            radius_m=radius_m,
            inside_m=size_m,
        )
        for wall, centre in zip(("-x", "-y"), found.centres, strict=True)
    ]
    asked_m = 6 * 0.053 - TOLERANCE_M
    assert asked_m - 1e-9 <= circle_gap_m(*ends)
    assert settler.passes(found)


def test_box_that_is_too_small_holds_nothing():
    settler = settler_of(corner_box())
    assert settler.settled((70, 400, 80)) is None
    assert settler.settled((200, 200, 80)) is None


def test_where_places_are_too_near_less_of_their_distance_along_the_corner_counts():
    settler = settler_of(corner_box())
    near = Placed(size=(330, 330, 300), centres=({1: 40, 2: -100}, {0: 40, 2: 100}))
    assert not settler.passes(near)
    (share,) = settler.counted_along(near, {}).values()
    assert 0 < share < 20
    assert settler.counted_along(near, {(0, 1): 3}) == {(0, 1): 2}


@pytest.mark.parametrize(
    ("length", "is_held"), [(304, False), (306, True)], ids=["a-row-of-both", "long-enough"]
)
def test_rows_of_a_wall_are_added_up_where_the_entries_stand(length, is_held):
    ends = [entry("A", "-x", "2", (0.0, -20.0)), entry("B", "-x", "2", (0.0, 20.0))]
    the_case = case(box((400, 100, 200)), *ends, pulls=(pull("F1", 0), pull("F2", 1)))
    settler = settler_of(the_case, NEC)
    rows = 25.4 * (6 * 2 + 2)  # both in one row: 14 in
    shift = round(rows) - 305
    assert (settler.settled((length + shift - shift % 2, 76, 300)) is not None) is is_held
