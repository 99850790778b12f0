"""Plans of pull points against trying every set of places."""

from itertools import pairwise
from random import Random

import pytest

from modelcheck.layout.covering import Line, Place, Stuck, Window, even_places, fewest_places


def random_line(seed):
    """Bends at whole metres, windows that stop short of them, on a grid that brute force tries."""
    random = Random(seed)
    count = random.randint(2, 9)
    stretches_m = [random.randint(1, 4) for _ in range(count + 1)]
    box_m = random.choice([0, 1, 2])
    windows, at_m = [], 0
    for number, stretch_m in enumerate(stretches_m):
        low_m, high_m = at_m + box_m / 2, at_m + stretch_m - box_m / 2
        if low_m <= high_m:
            windows.append(Window(low_m, high_m, number))
        at_m += stretch_m
    return Line(
        length_m=float(at_m),
        angles_deg=tuple(random.choice([15.0, 30.0, 45.0, 90.0, 90.0]) for _ in range(count)),
        windows=tuple(windows),
        limit_deg=random.choice([90.0, 180.0, 270.0, 360.0]),
        limit_m=random.choice([float("inf"), 4.0, 7.0, 10.0]),
    )


def holds(line, places):
    start, end = line.ends
    stops = [start, *places, end]
    return all(line.is_within(a, b) for a, b in pairwise(stops))


def by_brute_force(line):
    """Fewest places of the half-metre grid, by following every plan; None if there is none."""
    start, end = line.ends
    grid = [
        Place(window, step / 2)
        for window in line.windows
        for step in range(round(2 * window.low_m), round(2 * window.high_m) + 1)
    ]
    plans = {start}
    for count in range(len(grid) + 1):
        if any(line.is_within(place, end) for place in plans):
            return count
        plans = {
            after
            for place in plans
            for after in grid
            if after.at_m > place.at_m and line.is_within(place, after)
        }
    return None


LINES = [random_line(seed) for seed in range(500)]


def test_plans_are_as_short_as_any_on_500_random_runs():
    counts = []
    for line in LINES:
        plan = fewest_places(line)
        counts.append(None if isinstance(plan, Stuck) else len(plan))
        assert counts[-1] == by_brute_force(line)
    assert {None, 0, 1, 2, 3} <= set(counts)


@pytest.mark.parametrize("plan_of", [fewest_places, even_places])
def test_every_section_of_a_plan_keeps_both_limits_and_every_point_its_window(plan_of):
    for line in LINES:
        places = plan_of(line)
        if isinstance(places, Stuck):
            continue
        assert holds(line, places)
        assert all(each.window.low_m - 1e-6 <= each.at_m <= each.window.high_m for each in places)


def test_even_places_are_no_more_than_the_fewest():
    for line in LINES:
        few, even = fewest_places(line), even_places(line)
        assert isinstance(few, Stuck) == isinstance(even, Stuck)
        if not isinstance(few, Stuck):
            assert len(few) == len(even)


def test_the_bends_are_parted_evenly_before_room_is_looked_for():
    line = Line(
        length_m=20.0,
        angles_deg=(90.0,) * 5,
        windows=(Window(3.0, 9.0, 1), Window(10.0, 12.0, 2), Window(13.0, 14.0, 3)),
        limit_deg=360.0,
    )
    (place,) = even_places(line)
    assert place.at_m == 11.0


def test_a_limit_of_length_parts_a_straight_line_evenly():
    line = Line(
        length_m=66.0,
        angles_deg=(),
        windows=(Window(0.0, 66.0, 0),),
        limit_deg=360.0,
        limit_m=30.0,
    )
    assert [each.at_m for each in even_places(line)] == pytest.approx([22.0, 44.0])


def test_a_run_without_room_tells_how_far_it_gets():
    line = Line(
        length_m=20.0,
        angles_deg=(90.0,) * 9,
        windows=(Window(4.0, 5.0, 4),),
        limit_deg=360.0,
    )
    assert fewest_places(line) == Stuck(5.0)
