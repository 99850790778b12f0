from math import dist, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from modelcheck.geometry.vectors import dot, length, minus
from modelcheck.model.element import WALLS, Enclosure
from modelcheck.write.bcf_camera import ASPECT, corners, cover_side, looking_at
from tests.unit.write.reports import BOX

HALF = 1 / sqrt(2)
TURNED = ((HALF, HALF, 0.0), (-HALF, HALF, 0.0), (0.0, 0.0, 1.0))
STRAIGHT = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
sides = st.floats(0.02, 20.0)
places = st.floats(-5000.0, 5000.0)
boxes = st.builds(
    lambda size, origin, axes, cover: Enclosure(
        ref=BOX,
        origin=origin,
        axes=axes,
        outside_low_m=tuple(-side / 2 for side in size),
        outside_high_m=tuple(side / 2 for side in size),
        cover=cover,
    ),
    st.tuples(sides, sides, sides),
    st.tuples(places, places, places),
    st.sampled_from((STRAIGHT, TURNED)),
    st.sampled_from(((), *((wall,) for wall in WALLS))),
)


@given(boxes)
def test_the_camera_sees_every_corner_from_outside_the_box(box):
    camera = looking_at(corners(box), cover_side(box))
    for right, up, depth in camera.seen(corners(box)):
        assert depth > 0
        assert abs(up) < 1
        assert abs(right) < ASPECT
    radius_m = max(dist(box.origin, corner) for corner in corners(box))
    assert dist(camera.eye, box.origin) > radius_m


@given(boxes)
def test_the_camera_looks_at_the_middle_and_stands_upright(box):
    camera = looking_at(corners(box), cover_side(box))
    ((right, up, _),) = camera.seen([box.origin])
    assert (right, up) == pytest.approx((0.0, 0.0), abs=1e-6)
    assert length(camera.direction) == pytest.approx(1.0)
    assert length(camera.up) == pytest.approx(1.0)
    assert dot(camera.direction, camera.up) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("wall", WALLS)
def test_a_box_is_seen_from_the_side_of_its_cover(wall):
    box = Enclosure(ref=BOX, axes=TURNED, cover=(wall,))
    axis = TURNED["xyz".index(wall[1])]
    sign = 1 if wall[0] == "+" else -1
    toward = cover_side(box)
    assert sign * dot(toward, axis) > 0.8 * length(toward)


@pytest.mark.parametrize("toward", [(0.0, 0.0, 1.0), (0.0, 0.0, -1.0), (0.1, 0.0, 5.0)])
def test_a_look_straight_down_has_an_up_of_its_own(toward):
    camera = looking_at([(1.0, 1.0, 1.0)], toward)
    assert length(camera.up) == pytest.approx(1.0)
    assert dot(camera.up, camera.direction) == pytest.approx(0.0, abs=1e-9)


def test_a_place_to_the_right_is_seen_to_the_right():
    camera = looking_at([(0.0, 0.0, 0.0)], (0.0, -1.0, 0.0))
    to_the_right, above, here = camera.seen([(0.1, 0.0, 0.0), (0.0, 0.0, 0.1), (0.0, 0.0, 0.0)])
    assert to_the_right[0] > 0
    assert above[1] > 0
    assert minus((0.0, 0.0, 0.0), camera.eye)[1] == pytest.approx(here[2])
