from itertools import product
from math import dist, prod
from random import Random

import pytest

from modelcheck.layout.moved_entries import moving_fixes
from modelcheck.layout.placement import Placement, place_entries
from modelcheck.rules.locknuts import locknut
from modelcheck.rules.raceways import outside_diameter_m
from tests.box_cases import CEC, NEC, box, case, entry, pull
from tests.unit.layout.random_boxes import means_for, outcomes, random_box

LARGE = (900, 900, 200)


def placed(the_case, settings=CEC):
    means = means_for(settings)
    return place_entries(means.stand(the_case), means.unit), means


def moving(the_case, *, pairing="x"):
    means = means_for(CEC)
    return moving_fixes(means.stand(the_case), means, pairing=pairing)


def in_mm(lengths_m):
    return [round(each * 1000, 3) for each in lengths_m]


def test_straight_pull_stands_in_a_box_of_its_length_and_its_locknuts():
    ends = (entry("A", "-x", "2"), entry("B", "+x", "2"))
    found, _ = placed(case(box(LARGE), *ends, pulls=(pull("F1", 0, 1),)))
    assert in_mm(found.inside_m) == [424.0, 76.0, 76.0]  # 8 x 53; locknut 75.4 in steps of 2
    assert found.excess == 0.0


def test_u_pull_needs_its_spacing_and_a_locknut_on_either_side():
    ends = (entry("A", "-x", "2", (-9.0, 0.0)), entry("B", "-x", "2", (9.0, 0.0)))
    found, _ = placed(case(box(LARGE), *ends, pulls=(pull("F1", 0, 1),)))
    apart = 318 + outside_diameter_m("EMT", "2") * 1000
    wall = apart + 2 * locknut("2").radius_m * 1000
    depth, length = sorted(in_mm(found.inside_m)[1:])
    assert in_mm(found.inside_m)[0] == 371.0 + 1  # 6 x 53 + 53, in steps of 2
    assert depth == 76.0
    assert wall - 0.1 <= length <= wall + 4
    assert 0.0 <= found.excess < 0.01


def test_entries_move_no_further_than_they_must():
    ends = (entry("A", "-x", "2", (-30.0, 11.0)), entry("B", "+x", "2", (20.0, -6.0)))
    pulls = (pull("F1", 0, 1), pull("F2", 2))
    found, _ = placed(case(box((424, 300, 200)), *ends, entry("C", "-y", "4", (0, 0)), pulls=pulls))
    assert found.centres_m[0][0] == pytest.approx(-0.030)
    assert found.centres_m[1][0] == pytest.approx(0.020)
    assert found.centres_m[0][1] == pytest.approx(0.011)
    assert found.centres_m[1][1] == pytest.approx(-0.006)


@pytest.mark.parametrize("settings", [CEC, NEC], ids=["cec", "nec"])
@pytest.mark.parametrize("seed", range(10))
def test_placed_entries_pass_clear_each_other_and_are_the_same_each_time(settings, seed):
    the_case = random_box(Random(seed), most=6)
    the_case = case(
        the_case.enclosure,
        *the_case.entries,
        pulls=tuple(pull(f"F{n}", n, n + 1) for n in range(0, len(the_case.entries) - 1, 2))
        + ((pull("last", len(the_case.entries) - 1),) if len(the_case.entries) % 2 else ()),
    )
    found, means = placed(the_case, settings)
    assert outcomes(found.of(the_case), settings) == {"pass"}
    assert prod(found.inside_m) >= found.least_volume_m3 * (1 - 1e-9)
    stand = means.stand(the_case)
    for one, other in product(range(len(the_case.entries)), repeat=2):
        same_wall = the_case.entries[one].wall == the_case.entries[other].wall
        if one < other and same_wall:
            clear_m = stand.clearance_m(one) + stand.clearance_m(other)
            assert dist(found.centres_m[one], found.centres_m[other]) >= clear_m - 1e-9
    again, _ = placed(the_case, settings)
    assert again == found


@pytest.mark.parametrize("settings", [CEC, NEC], ids=["cec", "nec"])
@pytest.mark.parametrize(
    "walls", [("-x", "-x"), ("-x", "-y"), ("-x", "+y")], ids=["u-pull", "corner", "other-corner"]
)
def test_no_box_of_a_coarse_grid_is_below_the_bound_or_the_placement(settings, walls):
    ends = tuple(entry(name, wall, "1") for name, wall in zip("AB", walls, strict=True))
    the_case = case(box(LARGE), *ends, pulls=(pull("F1", 0, 1),))
    found, means = placed(the_case, settings)
    best_m3 = min(coarse_volumes(the_case, means, settings))
    assert found.least_volume_m3 <= best_m3 * (1 + 1e-9)
    assert prod(found.inside_m) <= best_m3 * (1 + 1e-9)


def coarse_volumes(the_case, means, settings):
    """Volumes of the boxes on a grid in which some places on a grid pass, by the checks."""
    stand = means.stand(the_case)
    clear_m = stand.clearance_m(0)
    lengths = [0.0508 * n for n in range(1, 8)]
    for size in product(lengths, lengths, [0.0508]):
        if any(size[each.axis] < each.length_m - 1e-4 for each in stand.demands.lengths):
            continue
        for u, other_u in product(range(-6, 7), repeat=2):
            centres = ((0.0254 * u, 0.0), (0.0254 * other_u, 0.0))
            walls = [each.wall for each in the_case.entries]
            across = [size[1] if wall[1] == "x" else size[0] for wall in walls]
            if any(abs(c[0]) + clear_m > a / 2 for c, a in zip(centres, across, strict=True)):
                continue
            tried = Placement(inside_m=size, centres_m=centres, least_volume_m3=1.0).of(the_case)
            if outcomes(tried, settings) <= {"pass"}:
                yield prod(size)
                break


def test_twelve_entries_on_four_walls_are_placed():
    walls = ("-x", "+x", "-y", "+y")
    ends = [entry(f"C{n}", walls[n % 4], ("2", "3")[n % 2], (30.0 * n, 0.0)) for n in range(12)]
    pulls = [pull(f"F{n}", n, n + 2) for n in (0, 1, 4, 5, 8, 9)]
    the_case = case(box(LARGE), *ends, pulls=tuple(pulls))
    fixes = moving(the_case, pairing="as scheduled")
    assert fixes[0].after_m is not None
    assert len(fixes) == 13
    assert "smaller inside volume" in fixes[0].message or "lower bound" in fixes[0].message


@pytest.mark.parametrize("settings", [CEC, NEC], ids=["cec", "nec"])
def test_thirty_entries_are_placed_and_pass(settings):
    walls = ("-x", "+x", "-y", "+y")
    ends = [entry(f"C{n}", walls[n % 4], ("1", "2", "3")[n % 3], (9.0 * n, 0.0)) for n in range(30)]
    pulls = [pull(f"F{n}", n, n + 2) for n in range(30) if n % 4 < 2 and n < 28]
    pulls += [pull("F28", 28), pull("F29", 29)]
    the_case = case(box(LARGE), *ends, pulls=tuple(pulls))
    found, _ = placed(the_case, settings)
    assert outcomes(found.of(the_case), settings) == {"pass"}


@pytest.mark.parametrize("seed", range(8))
def test_places_round_corners_come_within_a_tenth_of_what_no_placement_is_below(seed):
    lot = Random(seed)
    ends = [entry(f"C{n}", lot.choice(("-x", "-y", "-z")), "2", (0.0, 0.0)) for n in range(4)]
    the_case = case(box(LARGE), *ends, pulls=(pull("F1", 0, 1), pull("F2", 2, 3)))
    found, _ = placed(the_case)
    assert outcomes(found.of(the_case), CEC) == {"pass"}
    assert 0.0 <= found.excess < 0.1


def test_box_whose_rows_lack_a_size_is_told():
    ends = (entry("A", "-x", None), entry("B", "+x", "2"))
    (fix,) = moving(case(box(LARGE), *ends, pulls=(pull("F1", 0, 1),)))
    assert fix.message == "no place can be proposed: give the trade size of A"


def test_axis_that_nothing_bears_on_stays_as_drawn():
    ends = (entry("A", "-x", "1/2"), entry("B", "+x", "1/2"))
    pulls = (pull("F1", 0, 1, conductor="12 AWG", count=20),)
    found, _ = placed(case(box((100, 100, 40)), *ends, pulls=pulls))
    assert in_mm(found.inside_m)[0] >= 100.0
    assert found.excess >= 0.0


def test_box_of_which_no_row_knows_a_size_yet_is_told():
    ends = (entry("A", "-x", "1/2"), entry("B", "+x", "1/2"))
    (fix,) = moving(case(box((100, 100, 40)), *ends))
    assert "no row says yet how large it must be" in fix.message
