"""A mirrored wall is the costliest error of a shop drawing: each is looked at from outside."""

from itertools import product

import numpy as np
import pytest

from modelcheck.model.element import WALLS, axis_of, opposite
from modelcheck.write.drawing_net import clashes, outward, unfold
from tests.box_cases import box, case, entry

INSIDE_MM = (600.0, 450.0, 200.0)
SIDES = np.array(INSIDE_MM) / 2


def whole_net(cover, *entries):
    """Net of a box with an entry in each wall, so that every wall is drawn."""
    ends = [entry(wall, wall, "1", (30, 20)) for wall in WALLS]
    return unfold(case(box(INSIDE_MM, cover=(cover,)), *entries, *ends))


def corner(wall, at):
    """Point on a wall in the axes of the box, from the middle. [mm]"""
    place = list(at)
    place.insert(axis_of(wall), np.sign(sum(outward(wall))) * SIDES[axis_of(wall)])
    return np.array(place)


def on_picture(panel, point):
    """Where a pinhole camera far outside the wall, held upright as drawn, shows `point`."""
    ahead = -np.array(outward(panel.wall))
    eye = -10_000.0 * ahead
    to_the_right = np.cross(ahead, np.array(panel.up))  # of one who looks ahead, head up
    ray = point - eye
    depth = ray @ ahead
    return np.array([ray @ to_the_right, ray @ np.array(panel.up)]) / depth


@pytest.mark.parametrize(("cover", "wall"), list(product(WALLS, WALLS)))
def test_a_hole_at_plus_u_and_plus_v_is_drawn_where_a_person_outside_sees_it(cover, wall):
    middle, at_u, at_v = (
        entry("M", wall, "1", (0, 0)),
        entry("U", wall, "1", (40, 0)),
        entry("V", wall, "1", (0, 40)),
    )
    net = whole_net(cover, middle, at_u, at_v)
    (panel,) = (each for each in net.panels if each.wall == wall)
    drawn = {hole.entry.conduit.name: (hole.left_mm, hole.below_mm) for hole in panel.holes}
    for name, at in (("U", (40.0, 0.0)), ("V", (0.0, 40.0))):
        seen = on_picture(panel, corner(wall, at)) - on_picture(panel, corner(wall, (0.0, 0.0)))
        moved = np.subtract(drawn[name], drawn["M"])
        assert moved == pytest.approx(40 * seen / np.linalg.norm(seen), abs=1e-9)


@pytest.mark.parametrize(
    ("wall", "toward"),
    [
        # worked by hand: stand outside, z up; of the z walls y is up
        pytest.param("+x", "right", id="before-plus-x-the-y-axis-runs-to-the-right"),
        pytest.param("-x", "left", id="before-minus-x-the-y-axis-runs-to-the-left"),
        pytest.param("+y", "left", id="before-plus-y-the-x-axis-runs-to-the-left"),
        pytest.param("-y", "right", id="before-minus-y-the-x-axis-runs-to-the-right"),
        pytest.param("+z", "right", id="above-plus-z-the-x-axis-runs-to-the-right"),
        pytest.param("-z", "left", id="below-minus-z-the-x-axis-runs-to-the-left"),
    ],
)
def test_plus_u_of_each_wall_lies_on_the_side_that_was_worked_by_hand(wall, toward):
    net = unfold(case(box(INSIDE_MM, cover=(wall,)), entry("A", wall, "1", (50, 0))))
    (panel,) = net.panels
    (hole,) = panel.holes
    assert hole.left_mm - panel.width_mm / 2 == pytest.approx(50 if toward == "right" else -50)


@pytest.mark.parametrize("cover", WALLS)
def test_walls_that_fold_on_each_other_meet_at_the_same_corners(cover):
    """A wall that fits its neighbour's edge, and lies beside it, can't be mirrored."""
    net = whole_net(cover)
    panels = {panel.slot: panel for panel in net.panels}
    centre = panels["centre"]
    width, height = centre.width_mm, centre.height_mm
    right = panels["right"].width_mm
    lower_left = {
        "centre": (0.0, 0.0),
        "left": (-panels["left"].width_mm, 0.0),
        "right": (width, 0.0),
        "above": (0.0, height),
        "below": (0.0, -panels["below"].height_mm),
        "back": (width + right, 0.0),
    }
    places = {}
    for slot, panel in panels.items():
        for signs in product((-1, 1), repeat=2):
            point = (
                SIDES * np.array(outward(panel.wall))
                + signs[0] * SIDES * np.array(panel.right)
                + signs[1] * SIDES * np.array(panel.up)
            )
            flat = np.add(
                lower_left[slot],
                ((signs[0] + 1) * panel.width_mm / 2, (signs[1] + 1) * panel.height_mm / 2),
            )
            places.setdefault(slot, {})[tuple(point)] = flat
    for one, other in (
        ("centre", "left"),
        ("centre", "right"),
        ("centre", "above"),
        ("centre", "below"),
        ("right", "back"),
    ):
        shared = places[one].keys() & places[other].keys()
        assert len(shared) == 2
        for point in shared:
            assert places[one][point] == pytest.approx(places[other][point])
    assert panels["back"].wall == opposite(net.centre)


def test_datum_edges_are_named_by_the_walls_that_they_meet():
    net = whole_net("+z")
    named = {panel.wall: (panel.left_wall, panel.lower_wall) for panel in net.panels}
    assert named["+z"] == ("-x", "-y")
    assert named["+x"] == ("+z", "-y")
    assert named["-x"] == ("-z", "-y")
    assert named["+y"] == ("-x", "+z")


def test_only_walls_with_entries_and_the_cover_are_drawn():
    net = unfold(case(box(INSIDE_MM), entry("A", "-x", "2")))
    assert [(panel.wall, panel.is_cover) for panel in net.panels] == [("+z", True), ("-x", False)]


def test_a_box_without_a_size_has_no_wall_to_draw():
    assert unfold(case(box(), entry("A", "-x", "2"))).panels == ()


def test_hole_has_the_diameter_of_its_trade_size_and_none_if_that_is_not_known():
    ends = (entry("A", "-x", "2", (10, 0)), entry("B", "-x", None, (90, 0)))
    holes = unfold(case(box(INSIDE_MM), *ends)).panels[1].holes
    # NEMA knockout diameters as in knockouts.csv: 2.469 in
    assert [hole.diameter_mm for hole in holes] == [pytest.approx(2.469 * 25.4), None]


def test_holes_that_can_t_be_cut_are_told():
    # a hole for trade size 2 is 62.7 mm wide: 31.4 mm to its rim
    ends = (
        entry("A", "-x", "2", (0, 0)),
        entry("B", "-x", "2", (62.0, 0)),
        entry("C", "-x", "2", (-63.5, 0)),
        entry("D", "+y", "2", (0, 70.0)),
        entry("E", "+y", "2", (100, 68.0)),
    )
    assert clashes(unfold(case(box(INSIDE_MM), *ends))) == [
        "holes 1 and 2 of wall -x overlap",
        "hole 4 reaches past the edge of wall +y",
    ]
