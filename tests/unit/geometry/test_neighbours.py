"""What is found by an index is what a look at everything finds."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from modelcheck.geometry.neighbours import blocks_holding, bodies_at, body_gap_m

COORDINATE = st.integers(-8, 8).map(lambda step: step / 4.0)
POINT = st.tuples(COORDINATE, COORDINATE, COORDINATE)
TRIANGLE = st.tuples(POINT, POINT, POINT)


@given(points=st.lists(POINT, max_size=12), corners=st.lists(st.tuples(POINT, POINT), max_size=6))
def test_a_block_holds_the_points_between_its_corners(points, corners):
    low = np.array([np.minimum(*pair) for pair in corners]).reshape(-1, 3)
    high = np.array([np.maximum(*pair) for pair in corners]).reshape(-1, 3)
    expected = [
        number
        for number in range(len(corners))
        if any((low[number] <= point).all() and (point <= high[number]).all() for point in points)
    ]
    if points and corners:
        assert list(blocks_holding(points, low, high)) == expected


@pytest.mark.filterwarnings("ignore:invalid value")  # triangles without area
@given(
    points=st.lists(POINT, max_size=8),
    bodies=st.lists(st.lists(TRIANGLE, max_size=3), max_size=4),
    reach_m=st.sampled_from([0.0, 0.25, 1.0]),
)
def test_bodies_are_those_within_reach(points, bodies, reach_m):
    found = bodies_at(points, bodies, reach_m)
    boxes = [np.array(body).reshape(-1, 3) for body in bodies]
    assert found == tuple(
        (place, number, gap_m)
        for place, point in enumerate(points)
        for number, (body, box) in enumerate(zip(bodies, boxes, strict=True))
        if len(box)
        if (box.min(axis=0) - reach_m <= point).all() and (point <= box.max(axis=0) + reach_m).all()
        if (gap_m := body_gap_m(point, body)) <= reach_m
    )
