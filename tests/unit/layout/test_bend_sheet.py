"""Bend sheets: the pieces add up, and a run built by its sheet ends where it is drawn to end."""

from dataclasses import replace
from math import cos, dist, radians, sin
from random import Random

import pytest

from modelcheck.layout.bend_sheet import bend_sheet, walk
from modelcheck.model.bend_sheet import BendSheet
from tests.unit.layout.runs import bent, drawn, straight

UP, Y = (0.0, 0.0, 1.0), (0.0, 1.0, 0.0)


def random_run(seed):
    """Run through space with arcs of every angle, corners, couplings and short stretches."""
    random = Random(seed)
    steps = [straight(random.uniform(0.0, 3.0))]
    for _ in range(random.randint(1, 8)):
        toward = tuple(random.uniform(-1, 1) for _ in range(3))
        angle_deg = random.choice([11.25, 30, 45, 90, 90, 130, 180, 270, random.uniform(1, 200)])
        radius_m = random.choice([0.1, 0.3, 0.9]) if angle_deg > 120 else random.choice([0, 0.3])
        steps.append(bent(angle_deg, radius_m, toward))
        steps.append(straight(random.choice([0.0, 0.004, 0.3, random.uniform(0.02, 6)])))
        if random.random() < 0.4:
            steps += [straight(0.06, coupling=True), straight(random.uniform(0.02, 3))]
        if not radius_m:
            steps.append(straight(0.5))
    direction = tuple(random.uniform(-1, 1) for _ in range(3))
    start = tuple(random.uniform(-100, 100) for _ in range(3))
    return drawn(straight(0.2), *steps, straight(0.2), start=start, direction=direction)


RUNS = [random_run(seed) for seed in range(200)]


def by_hand(sheet):
    """End of a run built by a sheet, by turning a frame of three axes: not as the program does."""
    point, ahead = list(sheet.start), list(sheet.direction)
    up = [0.0, 1.0, 0.0] if abs(ahead[2]) > 0.999 else [0.0, 0.0, 1.0]
    lift = sum(a * b for a, b in zip(up, ahead, strict=True))
    toward = [u - lift * a for u, a in zip(up, ahead, strict=True)]
    size = sum(t * t for t in toward) ** 0.5
    toward = [t / size for t in toward]
    for piece in sheet.pieces:
        at_m = 0.0
        for bend in piece.bends:
            point = [p + (bend.mark_m - at_m) * a for p, a in zip(point, ahead, strict=True)]
            right = [  # as one looks along the run with `toward` upward
                ahead[1] * toward[2] - ahead[2] * toward[1],
                ahead[2] * toward[0] - ahead[0] * toward[2],
                ahead[0] * toward[1] - ahead[1] * toward[0],
            ]
            turn, angle = radians(bend.rotation_deg), radians(bend.angle_deg)
            toward = [cos(turn) * t + sin(turn) * r for t, r in zip(toward, right, strict=True)]
            radius_m = bend.radius_m or 0.0
            point = [
                p + radius_m * (sin(angle) * a + (1 - cos(angle)) * t)
                for p, a, t in zip(point, ahead, toward, strict=True)
            ]
            ahead, toward = (
                [cos(angle) * a + sin(angle) * t for a, t in zip(ahead, toward, strict=True)],
                [cos(angle) * t - sin(angle) * a for a, t in zip(ahead, toward, strict=True)],
            )
            at_m = bend.mark_m + radius_m * angle
        point = [p + (piece.length_m - at_m) * a for p, a in zip(point, ahead, strict=True)]
    return point


def test_a_run_built_by_its_sheet_ends_where_it_is_drawn_to_end():
    for run in RUNS:
        sheet = bend_sheet(run)
        assert dist(by_hand(sheet), run.end.point) < 0.002
        assert dist(walk(sheet)[-1], run.end.point) < 0.002
        assert sheet.problem == ""
        assert sheet.closes_m < 0.002


def test_the_pieces_add_up_to_the_length_of_the_run():
    for run in RUNS:
        assert sum(each.length_m for each in bend_sheet(run).pieces) == pytest.approx(run.length_m)


def bends(sheet: BendSheet):
    return [bend for piece in sheet.pieces for bend in piece.bends]


def test_marks_are_where_the_bends_begin():
    run = drawn(straight(1.0), bent(90, 0.3, UP), straight(0.5), bent(90, 0.3, Y), straight(1.0))
    first, second = bends(bend_sheet(run))
    assert first.mark_m == first.from_last_mark_m == pytest.approx(1.0)
    assert second.mark_m == pytest.approx(1.0 + 0.3 * radians(90) + 0.5)
    assert second.from_last_mark_m == pytest.approx(second.mark_m - 1.0)


@pytest.mark.parametrize(
    ("toward", "rotation_deg"),
    [
        pytest.param(UP, 0, id="up"),
        pytest.param((0, -1, 0), 90, id="right-of-the-run"),
        pytest.param((0, 0, -1), 180, id="down"),
        pytest.param(Y, 270, id="left-of-the-run"),
    ],
)
def test_the_first_bend_is_turned_clockwise_from_straight_up(toward, rotation_deg):
    (bend,) = bends(bend_sheet(drawn(straight(1.0), bent(45, 0.3, toward), straight(1.0))))
    assert bend.rotation_deg % 360 == pytest.approx(rotation_deg)


def test_the_second_bend_of_an_offset_is_turned_half_round():
    steps = [straight(1.0), bent(30, 0.3, UP), straight(0.4), bent(30, 0.3, (1, 0, 0))]
    first, second = bends(bend_sheet(drawn(*steps, straight(1.0))))
    assert second.rotation_deg == pytest.approx(180)
    assert (first.angle_deg, second.angle_deg) == pytest.approx((30, 30))


def test_a_piece_goes_from_coupling_to_coupling_and_its_bends_are_marked_from_its_start():
    steps = [straight(1.0), straight(0.06, coupling=True), straight(0.5), bent(90, 0.3, Y)]
    sheet = bend_sheet(drawn(*steps, straight(0.7)))
    assert [each.is_coupling for each in sheet.pieces] == [False, True, False]
    assert [each.length_m for each in sheet.pieces] == pytest.approx(
        [1.0, 0.06, 1.2 + 0.3 * radians(90)]
    )
    assert bends(sheet)[0].mark_m == pytest.approx(0.5)


def test_raceway_that_reaches_into_a_coupling_keeps_its_length():
    run = drawn(straight(1.0), straight(0.06, coupling=True), straight(1.0))
    one, coupling, two = run.parts
    parts = (one, replace(coupling, from_m=0.98, to_m=1.04), replace(two, from_m=1.02, to_m=2.02))
    sheet = bend_sheet(replace(run, parts=parts, length_m=2.02))
    assert [each.length_m for each in sheet.pieces] == pytest.approx([1.0, 0.02, 1.0])


def test_an_elbow_whose_way_is_not_drawn_is_told():
    run = drawn(straight(1.0), bent(90, 0.3, Y, "LB-1"), straight(1.0))
    (bend,) = run.bends
    hidden = replace(bend, arc=None, radius_m=None, evidence="ends")
    parts = [replace(p, bends=(hidden,)) if p.bends else p for p in run.parts]
    sheet = bend_sheet(replace(run, parts=tuple(parts), bends=(hidden,)))
    assert sheet.problem == "it isn't drawn how LB-1 bends"
    assert sheet.closes_m is None


def test_a_run_without_parts_has_no_sheet():
    assert bend_sheet(replace(drawn(straight(1.0)), parts=())) is None
