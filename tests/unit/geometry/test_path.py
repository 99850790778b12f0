"""Centre lines: what counts as a bend, and how long a way is."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from modelcheck.geometry.path import (
    Piece,
    arc_about,
    arc_through,
    drawn_points,
    polyline,
    reverse,
)
from modelcheck.geometry.turns import end_directions, length_m, turns

X, Y, Z = np.eye(3)


def arc_points(radius_m: float, angle_deg: float, chords: int) -> list[np.ndarray]:
    angles = np.linspace(0.0, np.radians(angle_deg), chords + 1)
    return [radius_m * np.array([np.sin(a), 1.0 - np.cos(a), 0.0]) for a in angles]


def test_a_straight_way_has_no_bend():
    path = polyline([0 * X, X, 2 * X])
    assert turns(path) == []
    assert length_m(path) == pytest.approx(2.0)


def test_an_arc_is_one_bend_of_its_angle_and_as_long_as_its_arc():
    path = (Piece(-X, 0 * X), arc_about(0 * X, X + Y, Y, Z), Piece(X + Y, X + 2 * Y))
    (bend,) = turns(path)
    assert bend.angle_deg == pytest.approx(90.0)
    assert bend.radius_m == pytest.approx(1.0)
    assert length_m(path) == pytest.approx(2.0 + np.pi / 2)


def test_an_arc_in_two_pieces_about_one_centre_is_one_bend():
    middle = np.array([np.sqrt(0.5), 1 - np.sqrt(0.5), 0.0])
    path = (arc_about(0 * X, middle, Y, Z), arc_about(middle, X + Y, Y, Z))
    assert [turn.angle_deg for turn in turns(path)] == pytest.approx([90.0])


def test_an_offset_of_two_arcs_is_two_bends():
    first = arc_about(0 * X, X + Y, Y, Z)
    second = arc_about(X + Y, 2 * X + 2 * Y, 2 * X + Y, -Z)
    assert [turn.angle_deg for turn in turns((first, second))] == pytest.approx([90.0, 90.0])


def test_each_corner_of_a_mitred_way_is_a_bend_without_radius():
    found = turns(polyline([0 * X, X, X + Y, 2 * X + Y]))
    assert [(turn.angle_deg, turn.radius_m) for turn in found] == [(90.0, None), (90.0, None)]


@given(
    chords=st.integers(6, 40),
    angle=st.floats(15.0, 175.0),
    before=st.booleans(),
    after=st.booleans(),
)
def test_an_arc_drawn_as_chords_is_one_bend_of_the_arc(chords, angle, before, after):
    points = arc_points(0.5, angle, chords)
    if before:
        points.insert(0, points[0] - 2 * X)
    if after:
        out = np.array([np.cos(np.radians(angle)), np.sin(np.radians(angle)), 0.0])
        points.append(points[-1] + 2 * out)
    path = polyline(points)
    (bend,) = turns(path)
    straight = 2.0 * before + 2.0 * after
    assert bend.angle_deg == pytest.approx(angle, abs=1e-6)
    assert bend.radius_m == pytest.approx(0.5, rel=1e-6)
    assert length_m(path) == pytest.approx(straight + 0.5 * np.radians(angle), rel=1e-6)


def test_an_arc_of_chords_that_begins_at_the_end_looks_along_its_tangent():
    start, end = end_directions(polyline(arc_points(0.5, 90.0, 6)))
    assert start == pytest.approx(-X, abs=1e-9)
    assert end == pytest.approx(Y, abs=1e-9)


def test_a_turn_of_up_to_half_a_degree_is_drawing_noise():
    slight = np.array([np.cos(np.radians(0.4)), np.sin(np.radians(0.4)), 0.0])
    assert turns(polyline([0 * X, X, X + slight])) == []


def test_three_points_in_line_make_no_arc():
    assert arc_through(0 * X, X, 2 * X).centre is None


def test_the_way_back_has_the_same_bends_and_length():
    path = (Piece(-X, 0 * X), arc_about(0 * X, X + Y, Y, Z))
    back = reverse(path)
    assert length_m(back) == pytest.approx(length_m(path))
    assert [turn.angle_deg for turn in turns(back)] == pytest.approx([90.0])
    assert drawn_points(back)[0] == pytest.approx(X + Y)
