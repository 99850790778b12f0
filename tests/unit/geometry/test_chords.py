"""Arcs drawn as chords: each is one bend of its arc, whatever it begins and ends in."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from modelcheck.geometry.path import polyline, reverse, turned
from modelcheck.geometry.turns import end_directions, length_m, turns

X, Y, Z = np.eye(3)
STRAIGHT_M = 2.0


class Bender:
    """Draws a centre line as a polyline: straight on, and round arcs of given chords."""

    def __init__(self) -> None:
        self.points = [np.zeros(3)]
        self.along, self.axis = X, Z

    def straight(self, length_m: float = STRAIGHT_M) -> "Bender":
        self.points.append(self.points[-1] + length_m * self.along)
        return self

    def roll(self, angle_deg: float) -> "Bender":
        self.axis = turned(self.axis, self.along, np.radians(angle_deg))
        return self

    def arc(self, angle_deg: float, radius_m: float, shares: list[float]) -> "Bender":
        """Bend by chords that end at these shares of the arc, the last at 1."""
        start, angle = self.points[-1], np.radians(angle_deg)
        out = start + radius_m * np.cross(self.axis, self.along)
        self.points += [out + turned(start - out, self.axis, share * angle) for share in shares[1:]]
        self.along = turned(self.along, self.axis, angle)
        return self


def even(chords: int) -> list[float]:
    return list(np.linspace(0.0, 1.0, chords + 1))


UNEVEN = [0.0, 0.1, 0.2, 0.27, 0.45, 0.58, 0.7, 0.85, 1.0]


def angles(path) -> list[float]:
    return [turn.angle_deg for turn in turns(path)]


@given(
    step=st.floats(2.0, 20.0),
    angle=st.tuples(st.floats(60.0, 130.0), st.floats(60.0, 130.0)),
    roll=st.sampled_from([30.0, 90.0, 135.0, 180.0]),
    legs=st.booleans(),
)
def test_an_arc_that_begins_in_another_keeps_its_whole_angle(step, angle, roll, legs):
    chords = [even(int(np.ceil(each / step))) for each in angle]
    line = Bender()
    line = line.straight() if legs else line
    line = line.arc(angle[0], 0.5, chords[0]).roll(roll).arc(angle[1], 0.4, chords[1])
    line = line.straight() if legs else line
    path = polyline(line.points)
    assert angles(path) == pytest.approx(angle, abs=1e-3)
    assert angles(reverse(path)) == pytest.approx(angle[::-1], abs=1e-3)
    arcs_m = 0.5 * np.radians(angle[0]) + 0.4 * np.radians(angle[1])
    assert length_m(path) == pytest.approx(2 * STRAIGHT_M * legs + arcs_m, rel=1e-4)


@pytest.mark.parametrize("legs", [True, False], ids=["with-tangents", "from-end-to-end"])
def test_chords_of_unequal_length_are_one_bend(legs):
    line = Bender()
    line = line.straight() if legs else line
    line = line.arc(90.0, 0.5, UNEVEN)
    line = line.straight() if legs else line
    path = polyline(line.points)
    assert angles(path) == pytest.approx([90.0], abs=0.05)
    start, end = end_directions(path)
    assert start == pytest.approx(-X, abs=1e-3)
    assert end == pytest.approx(Y, abs=1e-3)


@pytest.mark.parametrize("legs", [True, False], ids=["with-tangents", "from-end-to-end"])
def test_points_in_the_middle_of_chords_make_no_bends(legs):
    line = Bender()
    line = line.straight() if legs else line
    line = line.arc(90.0, 0.5, even(9))
    line = line.straight() if legs else line
    points = [line.points[0]]
    for before, after in pairwise(line.points):
        points += [before + share * (after - before) for share in (0.37, 0.64, 1.0)]
    assert angles(polyline(points)) == pytest.approx([90.0], abs=1e-6)


@given(chords=st.integers(30, 60), angle=st.floats(8.0, 14.0))
def test_an_arc_of_chords_that_hardly_turn_is_a_bend_all_the_same(chords, angle):
    line = Bender().straight().arc(angle, 0.5, even(chords)).straight()
    assert angles(polyline(line.points)) == pytest.approx([angle], abs=1e-6)


def test_a_mitre_in_the_tangent_of_an_arc_stays_a_bend_of_its_own():
    line = Bender().straight()
    line.along = turned(line.along, Z, np.radians(30.0))
    line = line.arc(60.0, 0.5, even(8)).straight()
    assert sum(angles(polyline(line.points))) == pytest.approx(90.0, abs=1e-3)


@given(seed=st.integers(0, 10_000), noise_mm=st.floats(0.0, 0.3))
def test_what_an_arc_turns_between_its_tangents_does_not_hang_on_its_points(seed, noise_mm):
    line = Bender().straight().arc(90.0, 0.5, even(10)).straight()
    lots = np.random.default_rng(seed)
    inner = line.points[2:-2]
    moved = [point + lots.normal(0.0, noise_mm / 3e3, 3) * (X + Y) for point in inner]
    path = polyline([*line.points[:2], *moved, *line.points[-2:]])
    assert sum(angles(path)) == pytest.approx(90.0, abs=0.5)


@pytest.mark.parametrize("chords", [60, 200, 600, 2000])
@pytest.mark.parametrize("shape", ["wave", "spiral"])
def test_fine_chords_of_a_curve_that_is_no_circle_lose_hardly_any_of_its_turn(shape, chords):
    along = np.linspace(0.0, 1.0, chords + 1)
    if shape == "wave":
        points = np.stack([3 * along, 0.3 * np.sin(2 * np.pi * along), 0 * along], axis=1)
        turn = 4 * np.degrees(np.arctan(0.2 * np.pi))
    else:
        angle = 3 * along**2
        points = np.cumsum(np.stack([np.cos(angle), np.sin(angle), 0 * along], axis=1), axis=0)
        points *= 2.0 / chords
        turn = np.degrees(3.0)
    assert sum(angles(polyline(list(points)))) == pytest.approx(turn, rel=0.015)
