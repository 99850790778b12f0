"""A box that lacks a face of its walls or its cover is measured as before, or said to lack one."""

import numpy as np
import pytest

from modelcheck.geometry.box_measure import measure_box
from tests.unit.geometry.drawn_boxes import (
    block,
    measured,
    outline,
    pierced,
    plates,
    shell,
    slab,
    triangles,
)
from tests.unit.geometry.test_box_measure import HALF, HOLES, INSIDE, LIDS, WAYS

OPEN = ("+z",)
SLACK_M = 2e-5
OPENINGS = {"closed": (), "open": OPEN, "profile": ("-z", "+z")}


def in_quarters(faces):
    """The same faces of four corners in four parts each."""
    drawn = []
    for (loop,) in faces:
        first, second, third, fourth = loop
        side = [(a + b) / 2 for a, b in zip(loop, np.roll(loop, -1, axis=0), strict=True)]
        middle = loop.mean(axis=0)
        drawn += [
            [np.array([first, side[0], middle, side[3]])],
            [np.array([side[0], second, side[1], middle])],
            [np.array([middle, side[1], third, side[2]])],
            [np.array([side[3], middle, side[2], fourth])],
        ]
    return drawn


def without_a_wall_face(whole, bodies):
    """How many of the losses were told; those that aren't leave inside and outside as they were."""
    told = 0
    for place, faces in enumerate(bodies):
        for number in range(len(faces)):
            less = [*faces[:number], *faces[number + 1 :]]
            box = measured(*bodies[:place], less, *bodies[place + 1 :])
            told += bool(box.doubt)
            if not box.doubt:
                for one, two in (
                    (box.inside_m, whole.inside_m),
                    (box.outside_low_m, whole.outside_low_m),
                    (box.outside_high_m, whole.outside_high_m),
                ):
                    assert one == pytest.approx(two, abs=SLACK_M)
    return told


@pytest.mark.parametrize("draw", [list, triangles, in_quarters], ids=lambda each: each.__name__)
@pytest.mark.parametrize("wall", [0.0015, 0.1], ids=["sheet-metal", "concrete"])
@pytest.mark.parametrize("openings", OPENINGS.values(), ids=OPENINGS)
def test_a_skin_without_a_face_is_measured_as_before_or_told(openings, wall, draw):
    skin = draw(shell(INSIDE, wall, openings))
    whole = measured(skin)
    assert whole.doubt == ""
    told = without_a_wall_face(whole, [skin])
    if draw is list:  # an inner and an outer face a wall; rims and edges tell nothing
        assert told == 2 * (6 - len(openings))


@pytest.mark.parametrize("openings", OPENINGS.values(), ids=OPENINGS)
def test_plates_without_a_face_are_measured_as_before_or_told(openings):
    bodies = list(plates(INSIDE, 0.003, openings).values())
    whole = measured(*bodies)
    assert whole.doubt == ""
    assert without_a_wall_face(whole, bodies) == 2 * len(bodies)


@pytest.mark.parametrize("lid", LIDS.values(), ids=LIDS)
@pytest.mark.parametrize("body", ["skin", "sheet"])
def test_a_lid_without_a_face_is_measured_as_before_or_told(body, lid):
    drawn = shell(INSIDE, 0.002, OPEN) if body == "skin" else block(-HALF, HALF, OPEN)
    plate = slab(INSIDE, 0.002, "+z", **lid)
    whole = measured(drawn, plate)
    assert whole.doubt == ""
    for number in range(len(plate)):
        box = measured(drawn, [*plate[:number], *plate[number + 1 :]])
        assert box.doubt or box.inside_m == pytest.approx(whole.inside_m, abs=SLACK_M)


@pytest.mark.parametrize("way", WAYS.values(), ids=WAYS)
def test_nothing_is_missing_of_a_sound_box(way):
    assert measure_box(way("+y"), np.eye(3)).doubt == ""


def test_a_sheet_with_one_thick_plate_lacks_nothing():
    sheets = [[face] for face in block(-HALF, HALF, OPEN)]
    assert measured(*sheets, slab(INSIDE, 0.0, "+z", thick=0.003)).doubt == ""


def test_neither_t_junctions_nor_holes_nor_faces_drawn_twice_are_missing_faces():
    skin = shell(INSIDE, 0.003, OPEN)
    mixed = [*in_quarters(skin[:3]), *triangles(skin[3:7]), *skin[7:]]
    assert measured(mixed).doubt == ""
    assert measured([*skin, *skin]).doubt == ""
    apart = [[loop + 4e-6 * (k % 2) for loop in face] for k, face in enumerate(triangles(skin))]
    assert measured(apart).doubt == ""
    drawn = plates(INSIDE, 0.003, OPEN)
    points = np.concatenate([face[0] for face in drawn["+y"]])
    drawn["+y"] = pierced(points.min(axis=0), points.max(axis=0), 1, HOLES)
    assert measured(*drawn.values()).doubt == ""


def test_which_wall_lacks_a_face_is_told():
    low, high = outline(INSIDE, 0.003)
    box = measured([*block(low, high), *block(-HALF, HALF, ("-y",))])
    assert box.inside_m == pytest.approx((0.9, 0.603, 0.3))  # too large by the wall
    assert box.doubt == "only one face is drawn of wall -y, two of the others"
    lid = slab(INSIDE, 0.003, "+z", thick=0.004)
    box = measured(shell(INSIDE, 0.003, OPEN), [*lid[:4], *lid[5:]])
    assert box.doubt == "only one face and the edges are drawn of the cover on +z"
