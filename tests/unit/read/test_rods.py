"""Straight round bodies worked together come out as each would by itself, or are left to that."""

from __future__ import annotations

import numpy as np
import pytest

from modelcheck.read.copies import Copies
from modelcheck.read.curves import Scales
from modelcheck.read.rods import rods_of
from modelcheck.read.solids import solids_of
from tests.builders.pen import Pen
from tests.builders.space import Frame
from tests.unit.read.small_model import SmallModel

ORIGIN = (0.0, 0.0, 0.0)
TURNED = Frame.turned((7.0, -3.0, 2.0), about="zyx", degrees_=(30.0, 20.0, 10.0))
ROUND = {
    "plain": lambda pen: pen.extrusion(pen.circle(0.03), pen.axes(ORIGIN), 2.0),
    "hollow": lambda pen: pen.extrusion(pen.circle(0.03, 0.027), pen.axes(ORIGIN), 2.0),
    "named": lambda pen: pen.extrusion(pen.circle(0.03, name="EMT 53"), pen.axes(ORIGIN), 2.0),
    "turned": lambda pen: pen.extrusion(pen.circle(0.03), pen.frame(TURNED), 2.0),
    "off-its-origin": lambda pen: pen.extrusion(off_origin(pen), pen.frame(TURNED), 2.0),
    "nowhere": lambda pen: of_values(pen, pen.circle(0.03), None, (0.0, 0.0, 1.0), 1000.0),
    "down": lambda pen: of_values(pen, pen.circle(0.03), pen.frame(TURNED), (0.0, 0.0, -2.0), 7.0),
}
OTHER = {
    "square": lambda pen: pen.extrusion(pen.rectangle(0.1, 0.1), pen.axes(ORIGIN), 2.0),
    "aslant": lambda pen: of_values(pen, pen.circle(0.03), None, (0.0, 0.1, 1.0), 1000.0),
    "flat": lambda pen: of_values(pen, pen.circle(0.03), None, (1.0, 0.0, 0.0), 1000.0),
    "no-depth": lambda pen: of_values(pen, pen.circle(0.03), None, (0.0, 0.0, 1.0), 0.0),
    "beyond-any-building": lambda pen: of_values(
        pen, pen.circle(0.03), None, (0.0, 0.0, 1.0), 1e300
    ),
    "no-direction": lambda pen: of_values(pen, pen.circle(0.03), None, (0.0, 0.0, 0.0), 1000.0),
    "a-place-that-lacks-a-number": lambda pen: of_values(
        pen,
        pen.circle(0.03),
        pen.make("IfcAxis2Placement3D", pen.make("IfcCartesianPoint", [1.0, 2.0])),
        (0.0, 0.0, 1.0),
        1000.0,
    ),
    "an-axis-of-nothing": lambda pen: of_values(
        pen,
        pen.circle(0.03),
        pen.make(
            "IfcAxis2Placement3D",
            pen.make("IfcCartesianPoint", [1.0, 2.0, 3.0]),
            pen.make("IfcDirection", [0.0, 0.0, 0.0]),
        ),
        (0.0, 0.0, 1.0),
        1000.0,
    ),
    "another-form": lambda pen: pen.make("IfcSphere", pen.axes(ORIGIN), 1.0),
}


def off_origin(pen):
    at = pen.make("IfcAxis2Placement2D", pen.make("IfcCartesianPoint", [40.0, -20.0]))
    return pen.make("IfcCircleProfileDef", "AREA", None, at, 30.0)


def of_values(pen, profile, position, direction, depth):
    along = pen.make("IfcDirection", list(direction))
    return pen.make("IfcExtrudedAreaSolid", profile, position, along, depth)


@pytest.fixture
def model():
    return SmallModel()


@pytest.fixture
def copied(model):
    pen = Pen(model.file, 0.001, 1.0)
    copies = Copies(frozenset())
    return lambda drawn: copies.of(drawn(pen))


@pytest.mark.parametrize("drawn", ROUND.values(), ids=ROUND)
def test_a_rod_comes_out_as_it_does_by_itself(model, copied, drawn):
    scales = Scales.of(model.file)
    item = copied(drawn)
    (alone,) = solids_of(item, scales)
    _, rod, _ = rods_of([copied(OTHER["square"]), item, copied(ROUND["turned"])], scales.length_m)
    for ours, its in zip(rod.path, alone.path, strict=True):
        assert np.array_equal((ours.start, ours.end), (its.start, its.end))
    assert (rod.radius_m, rod.profile) == (alone.radius_m, alone.profile)


@pytest.mark.parametrize("drawn", OTHER.values(), ids=OTHER)
def test_what_is_no_sound_rod_is_left_to_be_read_by_itself(model, copied, drawn):
    scale = Scales.of(model.file).length_m
    rods = rods_of([copied(drawn), copied(ROUND["plain"]), copied(drawn)], scale)
    assert [rod is None for rod in rods] == [True, False, True]


def test_an_item_that_isnt_copied_is_left_to_be_read_by_itself(model):
    pen = Pen(model.file, 0.001, 1.0)
    assert rods_of([ROUND["plain"](pen)], 0.001) == [None]


def test_of_no_items_come_no_rods():
    assert rods_of([], 1.0) == []
