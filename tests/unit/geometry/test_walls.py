from math import hypot

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from modelcheck.geometry.walls import Circle, circle_gap_m, mouth

INSIDE = (0.6, 0.5, 0.2)


def project_by_turns(first, second, rounds=20000):
    """Least distance of two discs by projecting a point onto each in turn (second method)."""
    point = np.asarray(second.centre, dtype=float)
    for _ in range(rounds):
        onto_first = onto_disc(point, first)
        point = onto_disc(onto_first, second)
    return float(np.linalg.norm(point - onto_first))


def onto_disc(point, disc):
    normal = np.eye(3)[disc.axis]
    offset = point - np.asarray(disc.centre)
    flat = offset - (offset @ normal) * normal
    reach = np.linalg.norm(flat)
    scale = 1.0 if reach <= disc.radius_m else disc.radius_m / reach
    return np.asarray(disc.centre) + scale * flat


def test_circles_of_one_wall_are_centre_distance_less_radii_apart():
    first = mouth("-x", u_m=-0.1, v_m=0.02, radius_m=0.028, inside_m=INSIDE)
    second = mouth("-x", u_m=0.2, v_m=-0.02, radius_m=0.015, inside_m=INSIDE)
    assert circle_gap_m(first, second) == pytest.approx(hypot(0.3, 0.04) - 0.043, abs=1e-12)


def test_overlapping_circles_have_no_gap():
    first = mouth("+z", u_m=0.0, v_m=0.0, radius_m=0.05, inside_m=INSIDE)
    second = mouth("+z", u_m=0.01, v_m=0.0, radius_m=0.01, inside_m=INSIDE)
    assert circle_gap_m(first, second) == 0.0


def test_circles_round_a_corner_at_one_height_are_nearest_at_their_near_edges():
    first = mouth("-x", u_m=0.05, v_m=0.0, radius_m=0.03, inside_m=INSIDE)
    second = mouth("-y", u_m=0.1, v_m=0.0, radius_m=0.02, inside_m=INSIDE)
    along_x, along_y = 0.3 + 0.1 - 0.02, 0.25 + 0.05 - 0.03
    assert circle_gap_m(first, second) == pytest.approx(hypot(along_x, along_y), abs=1e-9)


def test_walls_are_placed_by_their_own_axes():
    circle = mouth("+y", u_m=0.1, v_m=-0.05, radius_m=0.02, inside_m=INSIDE)
    assert circle == Circle(centre=(0.1, 0.25, -0.05), axis=1, radius_m=0.02)


offsets = st.floats(-0.3, 0.3)  # some of them past the edge of their wall
mouths = st.tuples(offsets, offsets, st.floats(0.005, 0.09))


@given(mouths, mouths)
def test_gap_round_a_corner_agrees_with_projection_by_turns(on_x, on_y):
    first, second = (
        mouth(wall, u_m=u_m, v_m=v_m, radius_m=radius_m, inside_m=INSIDE)
        for wall, (u_m, v_m, radius_m) in (("-x", on_x), ("+y", on_y))
    )
    gap, projected = circle_gap_m(first, second), project_by_turns(first, second, rounds=500)
    assert gap <= projected + 1e-7  # turns come down to the least distance from above
    assert gap == pytest.approx(projected, abs=1e-3)
    assert gap == circle_gap_m(second, first)
