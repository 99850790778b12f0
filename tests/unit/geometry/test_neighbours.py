"""What is found by an index is what a look at everything finds."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from modelcheck.geometry.neighbours import blocks_holding, bodies_at, body_gap_m

COORDINATE = st.integers(-8, 8).map(lambda step: step / 4.0)
POINT = st.tuples(COORDINATE, COORDINATE, COORDINATE)
HAIR_M = 1e-9
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
    told = {(place, number): gap_m for place, number, gap_m in bodies_at(points, bodies, reach_m)}
    for place, point in enumerate(points):
        for number, body in enumerate(bodies):
            key, gap_m = (place, number), _gap_near_m(point, body, reach_m)
            if abs(gap_m - reach_m) > HAIR_M:  # of what lies at the very limit either is right
                assert (key in told) == (gap_m < reach_m)
            if key in told:
                assert told[key] == pytest.approx(gap_m, abs=HAIR_M)


def _gap_near_m(point, body, reach_m):
    """Gap of a point within reach of the block around a body; infinite elsewhere."""
    corners = np.array(body).reshape(-1, 3)
    if not len(corners):
        return np.inf
    low, high = corners.min(axis=0) - reach_m, corners.max(axis=0) + reach_m
    return body_gap_m(point, body) if (low <= point).all() and (point <= high).all() else np.inf
