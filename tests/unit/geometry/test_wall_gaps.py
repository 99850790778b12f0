"""Whether mouths keep a distance is told as the distance itself tells it, in a box of any size."""

from itertools import combinations
from random import Random

import pytest

from modelcheck.geometry.wall_gaps import Mouth, OnOneWall, RoundCorner
from modelcheck.geometry.walls import circle_gap_m, mouth
from modelcheck.model.element import WALLS, opposite

HAIR_M = 1e-6
CORNERS = [pair for pair in combinations(WALLS, 2) if pair[1] != opposite(pair[0])]


def drawn_by_lot(lot, wall):
    return Mouth(
        wall=wall,
        u_m=lot.uniform(-0.15, 0.15),
        v_m=lot.uniform(-0.15, 0.15),
        radius_m=lot.uniform(0.01, 0.06),
    )


def distance_m(ends, inside_m):
    circles = [
        mouth(e.wall, u_m=e.u_m, v_m=e.v_m, radius_m=e.radius_m, inside_m=inside_m) for e in ends
    ]
    return circle_gap_m(*circles)


@pytest.mark.parametrize("walls", CORNERS, ids="".join)
def test_round_a_corner_it_is_told_as_by_the_distance_in_boxes_of_any_size(walls):
    lot = Random("".join(walls))
    ends = [drawn_by_lot(lot, wall) for wall in walls]
    gap = RoundCorner.of(*(ends if lot.random() < 0.5 else reversed(ends)))
    for _ in range(40):
        inside_m = tuple(lot.uniform(0.1, 0.6) for _ in range(3))  # some past the edge of a wall
        reached_m = distance_m(ends, inside_m)
        assert gap.reaches(reached_m - HAIR_M, inside_m)
        assert not gap.reaches(reached_m + HAIR_M, inside_m)


@pytest.mark.parametrize("walls", CORNERS, ids="".join)
def test_lengths_outside_the_bounds_need_not_be_tried(walls):
    lot = Random("".join(walls))
    gap = RoundCorner.of(*(drawn_by_lot(lot, wall) for wall in walls))
    told = 0
    for _ in range(40):
        inside_m = [lot.uniform(0.1, 0.9) for _ in range(3)]
        axis, distance_m = lot.choice((gap.one_axis, gap.other_axis)), lot.uniform(0.05, 0.4)
        too_short_m, enough_m = gap.bounds_m(distance_m, axis, inside_m)
        least_m = 2 * max(0.0, gap.other_from_m if axis == gap.one_axis else gap.one_from_m)
        for part in range(20):
            if too_short_m > least_m:  # in which the centre lies on its wall
                inside_m[axis] = least_m + (too_short_m - least_m) * part / 20
                assert not gap.reaches(distance_m, inside_m)
                told += 1
            inside_m[axis] = max(0.0, enough_m) + 0.02 * part
            assert gap.reaches(distance_m, inside_m)
    assert told


@pytest.mark.parametrize("wall", WALLS)
def test_on_one_wall_the_distance_is_that_of_every_box(wall):
    ends = [drawn_by_lot(Random(f"{wall}{n}"), wall) for n in range(2)]
    inside_m = (0.5, 0.6, 0.7)
    reached_m = distance_m(ends, inside_m)
    assert OnOneWall.of(*ends).gap_m == pytest.approx(reached_m, abs=1e-12)
    assert OnOneWall.of(*ends).reaches(reached_m - HAIR_M, inside_m)
    assert not OnOneWall.of(*ends).reaches(reached_m + HAIR_M, inside_m)
