import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from modelcheck.geometry.box_measure import measure_box
from tests.unit.geometry.drawn_boxes import (
    SIDES,
    block,
    circle,
    items,
    measured,
    moved,
    outline,
    pierced,
    placed,
    plates,
    prism,
    shell,
    slab,
    triangles,
    turn,
)

INSIDE = (0.9, 0.6, 0.3)
HALF = np.array(INSIDE) / 2
WALL = 0.002
OPEN = ("+z",)


def size_of(box):
    return pytest.approx(box, abs=1e-6)


def pierced_plates(open_sides, holes):
    """Walls as plates with two knock-outs or more in those across y."""
    drawn = plates(INSIDE, WALL, open_sides)
    for side in ("-y", "+y"):
        points = np.concatenate([face[0] for face in drawn[side]])
        drawn[side] = pierced(points.min(axis=0), points.max(axis=0), 1, holes)
    return drawn


def test_walls_with_thickness_are_measured_between_their_inner_faces():
    box = measured(shell(INSIDE, WALL))
    assert box.inside_m == size_of(INSIDE)
    assert box.outside_low_m == size_of(tuple(-HALF - WALL))
    assert box.outside_high_m == size_of(tuple(HALF + WALL))
    assert (box.is_hollow, box.is_boxlike, box.cover, box.assumptions) == (True, True, (), ())


def test_solid_block_is_taken_for_its_inside_and_says_so():
    box = measured(block(-HALF, HALF))
    assert box.inside_m == size_of(INSIDE)
    assert (box.is_hollow, box.is_boxlike, box.cover) == (False, True, ())
    assert box.assumptions == ("drawn solid: its size is taken as the inside size",)


def test_closed_sheet_in_six_items_has_the_size_of_its_block():
    box = measured(*([face] for face in block(-HALF, HALF)))
    assert box.inside_m == size_of(INSIDE)
    assert box.cover == ()


@pytest.mark.parametrize("side", SIDES)
def test_shell_open_at_one_side_goes_to_the_rim_and_has_its_cover_there(side):
    box = measured(shell(INSIDE, WALL, (side,)))
    assert box.inside_m == size_of(INSIDE)
    assert (box.cover, box.cover_from) == ((side,), "open side")


@pytest.mark.parametrize("side", SIDES)
def test_sheet_of_five_faces_has_its_cover_at_the_sixth(side):
    box = measured(block(-HALF, HALF, (side,)))
    assert box.inside_m == size_of(INSIDE)
    assert (box.cover, box.cover_from, box.is_hollow) == ((side,), "open side", True)


LIDS = {
    "on the rim": {"thick": 0.002},
    "overlapping the rim": {"thick": 0.006, "off": -0.003, "wider": 0.004},
    "standing off": {"thick": 0.002, "off": 0.005},
    "thin sheet": {"thick": 1e-5},
    "flanged": {"thick": 0.003, "wider": 0.03},
    "sunk in the opening": {"thick": 0.002, "off": -0.006, "wider": -0.003},
}


@pytest.mark.parametrize("lid", LIDS.values(), ids=LIDS)
@pytest.mark.parametrize("side", SIDES)
def test_lid_on_an_open_shell_is_its_cover_and_ends_the_inside(side, lid):
    box = measured(shell(INSIDE, WALL, (side,)), slab(INSIDE, WALL, side, **lid))
    inside = list(INSIDE)
    inside["xyz".index(side[1])] += lid.get("off", 0.0)
    assert box.inside_m == size_of(tuple(inside))
    assert (box.cover, box.cover_from) == ((side,), "plate")
    low, high = np.array(box.outside_low_m), np.array(box.outside_high_m)
    least, most = outline(INSIDE, WALL, (side,))
    axis = "xyz".index(side[1])
    others = [k for k in range(3) if k != axis]
    assert (high - low)[others] == size_of((most - least)[others])


@pytest.mark.parametrize("lid", [lid for lid in LIDS if "sunk" not in lid])
def test_plate_on_a_closed_shell_is_its_cover(lid):
    box = measured(shell(INSIDE, WALL), placed_over_wall("-y", **LIDS[lid]))
    assert box.inside_m == size_of(INSIDE)
    assert (box.cover, box.cover_from) == (("-y",), "plate")
    assert box.outside_high_m == size_of(tuple(HALF + WALL))
    assert box.outside_low_m == size_of(tuple(-HALF - WALL))


def placed_over_wall(side, *, off=0.0, **lid):
    """A lid over a wall instead of over an opening."""
    return slab(INSIDE, WALL, side, off=off + WALL, **lid)


@pytest.mark.parametrize("lid", LIDS.values(), ids=LIDS)
def test_plate_on_a_block_is_its_cover_and_adds_nothing_to_the_size(lid):
    box = measured(block(-HALF, HALF), slab(INSIDE, 0.0, "+x", **lid))
    assert box.inside_m == size_of(INSIDE)
    if lid.get("wider", 0) >= 0:
        assert (box.cover, box.cover_from) == (("+x",), "plate")


def test_door_with_handle_and_hinges_is_the_cover():
    handle = block((0.40, -0.02, 0.152), (0.42, 0.02, 0.19))
    hinges = [block((-0.46, y, 0.14), (-0.44, y + 0.05, 0.155)) for y in (-0.2, 0.1)]
    door = slab(INSIDE, WALL, "+z", thick=0.002)
    box = measured(shell(INSIDE, WALL, OPEN), door, handle, *hinges)
    assert (box.inside_m, box.cover) == (size_of(INSIDE), ("+z",))
    assert box.outside_low_m[0] == pytest.approx(-0.452)


def test_tray_lid_with_a_skirt_over_the_rim_is_the_cover():
    size = (0.91, 0.61, 0.03)
    tray = [[face[0] + (0, 0, 0.135)] for face in shell(size, WALL, ("-z",))]
    box = measured(shell(INSIDE, WALL, OPEN), tray)
    assert (box.inside_m, box.cover, box.cover_from) == (size_of(INSIDE), ("+z",), "plate")


def test_two_doors_side_by_side_are_one_cover():
    left = block((-0.452, -0.302, 0.15), (-0.001, 0.302, 0.153))
    right = block((0.001, -0.302, 0.15), (0.452, 0.302, 0.153))
    box = measured(shell(INSIDE, WALL, OPEN), left, right)
    assert (box.inside_m, box.cover, box.cover_from) == (size_of(INSIDE), ("+z",), "plate")


def test_plates_on_two_sides_leave_the_cover_unknown():
    over = [placed_over_wall(side, thick=0.003) for side in ("+z", "-z")]
    box = measured(shell(INSIDE, WALL), *over)
    assert (box.inside_m, box.cover) == (size_of(INSIDE), ())
    assert "plates lie on -z and +z" in box.assumptions[0]


def test_plate_behind_and_open_in_front_leave_the_cover_unknown():
    box = measured(shell(INSIDE, WALL, OPEN), placed_over_wall("-z", thick=0.003))
    assert (box.inside_m, box.cover) == (size_of(INSIDE), ())
    assert "a plate lies on -z and the body is open at +z" in box.assumptions[0]


@pytest.mark.parametrize("name", ["Cover_plate", "Lid", "Hinged_door", "Couvercle", "Porte"])
def test_part_named_as_a_cover_decides_among_plates(name):
    over = placed_over_wall("-z", thick=0.003)
    box = measured(shell(INSIDE, WALL), placed_over_wall("+z", thick=0.003), **{name: over})
    assert (box.inside_m, box.cover, box.cover_from) == (size_of(INSIDE), ("-z",), "part")


@pytest.mark.parametrize("name", ["Solid_plate", "Support", "Recovered_steel", "Back"])
def test_words_that_only_hold_a_cover_word_name_no_cover(name):
    over = placed_over_wall("-z", thick=0.003)
    box = measured(shell(INSIDE, WALL), placed_over_wall("+z", thick=0.003), **{name: over})
    assert box.cover == ()


def test_five_plates_have_their_cover_at_the_open_side():
    box = measured(*plates(INSIDE, WALL, ("-x",)).values())
    assert (box.inside_m, box.cover, box.cover_from) == (size_of(INSIDE), ("-x",), "open side")
    assert box.outside_high_m == size_of((0.452, 0.302, 0.152))


def test_six_plates_without_a_name_leave_the_cover_unknown():
    box = measured(*plates(INSIDE, WALL).values())
    assert (box.inside_m, box.cover, box.is_hollow) == (size_of(INSIDE), (), True)


@pytest.mark.parametrize("name", ["Cover", "Front_plate"])
def test_plate_named_so_is_the_cover_of_six(name):
    drawn = plates(INSIDE, WALL)
    named = {name: drawn.pop("+y")}
    box = measured(*drawn.values(), **named)
    assert (box.inside_m, box.cover, box.cover_from) == (size_of(INSIDE), ("+y",), "part")


def test_part_named_as_cover_that_holds_the_whole_box_tells_no_cover():
    box = measured(slab(INSIDE, WALL, "-z", thick=0.003), Cover_hood=shell(INSIDE, WALL, ("-z",)))
    assert (box.cover, box.inside_m) == ((), size_of(INSIDE))
    assert "Cover hood" in box.assumptions[0]


def test_hollow_profile_is_open_at_both_ends_and_leaves_the_cover_unknown():
    box = measured(shell(INSIDE, WALL, ("-z", "+z")))
    assert (box.inside_m, box.cover, box.is_boxlike) == (size_of(INSIDE), (), True)
    assert "open at -z and +z" in box.assumptions[0]


def test_hollow_profile_with_a_plate_at_one_end_may_have_its_cover_at_either():
    profile = shell(INSIDE, WALL, ("-z", "+z"))
    box = measured(profile, slab(INSIDE, WALL, "-z", thick=0.003))
    assert (box.inside_m, box.cover) == (size_of(INSIDE), ())
    assert "a plate lies on -z and the body is open at +z" in box.assumptions[0]


def test_hollow_profile_with_plates_at_both_ends_has_the_one_named_so():
    profile, back = shell(INSIDE, WALL, ("-z", "+z")), slab(INSIDE, WALL, "-z", thick=0.003)
    box = measured(profile, back, Door=slab(INSIDE, WALL, "+z", thick=0.003))
    assert (box.inside_m, box.cover, box.cover_from) == (size_of(INSIDE), ("+z",), "part")


def test_folded_sheet_with_two_end_plates_has_its_cover_where_it_stays_open():
    folded = shell(INSIDE, WALL, ("-x", "+x", "+z"))
    ends = [slab(INSIDE, WALL, side, thick=0.002) for side in ("-x", "+x")]
    box = measured(folded, *ends)
    assert (box.inside_m, box.cover, box.cover_from) == (size_of(INSIDE), ("+z",), "open side")


@pytest.mark.parametrize("rim_m", [0.025, 0.1], ids=["narrow", "wide"])
def test_flange_is_neither_outside_size_nor_cover(rim_m):
    low, high = outline(INSIDE, WALL, OPEN)
    strips = []
    for side in ("-x", "+x", "-y", "+y"):
        axis = "xyz".index(side[1])
        start, end = low.copy(), high.copy()
        start[2] = high[2] - WALL
        if side[0] == "+":
            start[axis], end[axis] = high[axis], high[axis] + rim_m
        else:
            start[axis], end[axis] = low[axis] - rim_m, low[axis]
        strips.append(block(start, end))
    box = measured(*plates(INSIDE, WALL, OPEN).values(), *strips)
    assert (box.inside_m, box.cover, box.cover_from) == (size_of(INSIDE), OPEN, "open side")
    assert box.outside_high_m == size_of((0.452, 0.302, 0.15))


def ring(outer, inner, low, high):
    """A frame round an opening, as one body."""
    frame = block((*-np.array(outer) / 2, low), (*np.array(outer) / 2, high))
    hole = block((*-np.array(inner) / 2, low), (*np.array(inner) / 2, high))
    caps = [[*frame[k], *hole[k]] for k in (4, 5)]
    return [*frame[:4], *hole[:4], *caps]


def test_frame_round_the_opening_is_no_cover():
    frame = ring((0.96, 0.66), (0.9, 0.6), 0.148, 0.15)
    box = measured(shell(INSIDE, WALL, OPEN), frame)
    assert (box.inside_m, box.cover, box.cover_from) == (size_of(INSIDE), OPEN, "open side")
    assert box.outside_high_m == size_of((0.452, 0.302, 0.15))


def test_lip_turned_in_at_the_opening_leaves_it_open():
    lip = ring((0.9, 0.6), (0.86, 0.56), 0.148, 0.15)
    box = measured([*shell(INSIDE, WALL, OPEN), *lip])
    assert (box.inside_m, box.cover, box.cover_from) == (size_of(INSIDE), OPEN, "open side")


HOLES = [((x, 0, z), 0.045) for x in (-0.3, -0.15, 0.0, 0.15, 0.3) for z in (-0.06, 0.06)]


def test_knockouts_change_nothing():
    box = measured(*pierced_plates(OPEN, HOLES).values())
    assert (box.inside_m, box.cover, box.is_boxlike) == (size_of(INSIDE), OPEN, True)


def test_knockout_in_the_middle_of_a_wall_does_not_open_it():
    box = measured(*pierced_plates(OPEN, [((0, 0, 0), 0.12)]).values())
    assert (box.inside_m, box.cover, box.is_boxlike) == (size_of(INSIDE), OPEN, True)


def test_bosses_on_the_walls_change_nothing():
    bosses = [block((x, 0.302, -0.02), (x + 0.04, 0.34, 0.02)) for x in (-0.3, 0.0, 0.3)]
    screws = [prism(0.004, 0.14, 0.16)]
    box = measured(shell(INSIDE, WALL, OPEN), *bosses, *screws)
    assert (box.inside_m, box.cover) == (size_of(INSIDE), OPEN)
    assert box.outside_high_m == size_of((0.452, 0.302, 0.15))


def test_mounting_plate_inside_is_neither_wall_nor_cover():
    plate = block((-0.42, -0.27, -0.135), (0.42, 0.27, -0.132))
    box = measured(shell(INSIDE, WALL), plate)
    assert (box.inside_m, box.cover) == (size_of(INSIDE), ())
    box = measured(shell(INSIDE, WALL, OPEN), plate, slab(INSIDE, WALL, "+z", thick=0.002))
    assert (box.inside_m, box.cover, box.cover_from) == (size_of(INSIDE), OPEN, "plate")


def test_thick_walls_are_believed():
    inside, wall = (0.4, 0.3, 0.5), 0.1
    box = measured(shell(inside, wall, OPEN), slab(inside, wall, "+z", thick=0.05))
    assert (box.inside_m, box.cover, box.is_hollow) == (size_of(inside), OPEN, True)
    box = measured(shell(inside, 0.18))
    assert (box.inside_m, box.is_hollow) == (size_of(inside), True)


def test_one_wall_may_be_thicker_than_the_others():
    low, high = moved(*outline(INSIDE, WALL), "-y", 0.1)
    box = measured([*block(low, high), *block(-HALF, HALF)])
    assert (box.inside_m, box.origin) == (size_of(INSIDE), size_of((0, 0, 0)))
    assert box.outside_low_m == size_of((-0.452, -0.402, -0.152))


def test_round_can_is_told_from_a_box():
    can = prism(0.05, 0.0, 0.04)
    box = measured(can)
    assert not box.is_boxlike
    assert box.inside_m[2] == pytest.approx(0.04)
    assert "bounding box" in box.assumptions[0]
    assert not measured([*prism(0.052, -0.002, 0.042), *can]).is_boxlike


def test_octagon_is_told_from_a_box():
    assert not measured(prism(0.05, 0.0, 0.04, count=8)).is_boxlike


def test_rounded_corners_are_still_a_box():
    def rounded(half, radius, low, high):
        turns = np.arange(24) * 2 * np.pi / 24 + 0.13
        at = np.column_stack([np.cos(turns), np.sin(turns)])
        flat = np.sign(at) * (np.array(half) - radius) + radius * at
        loops = [np.column_stack([flat, np.full(24, z)]) for z in (low, high)]
        sides = [
            [np.array([loops[0][k - 1], loops[0][k], loops[1][k], loops[1][k - 1]])]
            for k in range(24)
        ]
        return [[loops[0]], [loops[1]], *sides]

    box = measured(
        [*rounded((0.062, 0.052), 0.014, -0.002, 0.062), *rounded((0.06, 0.05), 0.012, 0.0, 0.06)]
    )
    assert box.is_boxlike
    assert box.inside_m == pytest.approx((0.12, 0.1, 0.06), abs=3e-4)


def test_l_shaped_body_is_no_box():
    outline_ = np.array([(0, 0), (0.6, 0), (0.6, 0.2), (0.2, 0.2), (0.2, 0.6), (0, 0.6)])
    low, high = (np.column_stack([outline_, np.full(6, z)]) for z in (0, 0.2))
    sides = [[np.array([low[k - 1], low[k], high[k], high[k - 1]])] for k in range(6)]
    assert not measured([[low], [high], *sides]).is_boxlike


WAYS = {
    "skin": lambda side: items(shell(INSIDE, WALL, (side,))),
    "triangles": lambda side: items(triangles(shell(INSIDE, WALL, (side,)))),
    "plates": lambda side: items(*plates(INSIDE, WALL, (side,)).values()),
    "plates in one item": lambda side: items(
        [face for plate in plates(INSIDE, WALL, (side,)).values() for face in plate]
    ),
    "sheet": lambda side: items(block(-HALF, HALF, (side,))),
    "sheet in five items": lambda side: items(*([f] for f in block(-HALF, HALF, (side,)))),
    "skin and lid": lambda side: items(
        shell(INSIDE, WALL, (side,)), slab(INSIDE, WALL, side, thick=0.003, wider=0.01)
    ),
    "block and lid": lambda side: items(
        block(-HALF, HALF), slab(INSIDE, WALL, side, thick=0.003, wider=0.01)
    ),
    "triangles and lid": lambda side: items(
        triangles(shell(INSIDE, WALL, (side,))), triangles(slab(INSIDE, WALL, side, thick=0.003))
    ),
    "skin and named part": lambda side: items(
        shell(INSIDE, WALL, (side,)), Cover=slab(INSIDE, WALL, side, thick=0.003, wider=0.01)
    ),
}
directions = st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda v: np.linalg.norm(v) > 0.1)
angles = st.floats(-180, 180)
places = st.sampled_from([(0, 0, 0), (12.3, -4.5, 6.7), (24_525_601.237, 6_876_903.119, 37.4)])


@pytest.mark.parametrize("way", WAYS.values(), ids=WAYS)
@settings(max_examples=12)
@given(side=st.sampled_from(SIDES), about=directions, angle=angles, shift=places)
def test_every_way_of_drawing_gives_one_answer_wherever_and_however_turned(
    way, side, about, angle, shift
):
    matrix = turn(about, angle)
    box = measure_box(placed(way(side), matrix, shift), matrix.T)
    assert box.inside_m == pytest.approx(INSIDE, abs=1e-6)
    assert box.origin == pytest.approx(shift, abs=1e-6)
    assert box.axes == pytest.approx(matrix.T, abs=1e-6)
    assert (box.cover, box.is_boxlike) == ((side,), True)


@pytest.mark.parametrize("way", WAYS.values(), ids=WAYS)
@settings(max_examples=12)
@given(about=directions, angle=angles)
def test_turned_body_in_an_unturned_placement_finds_its_own_axes(way, about, angle):
    matrix = turn(about, angle)
    box = measure_box(placed(way("+z"), matrix), np.eye(3))
    axes = np.array(box.axes)
    assert np.linalg.det(axes) == pytest.approx(1)
    assert sorted(box.inside_m) == pytest.approx(sorted(INSIDE), abs=3e-5)
    which = np.abs(axes @ matrix)
    assert np.sort(which, axis=1)[:, 2] == pytest.approx([1, 1, 1], abs=3e-5)
    assert box.inside_m == pytest.approx(np.array(INSIDE)[which.argmax(axis=1)], abs=3e-5)
    (side,) = box.cover
    out = axes["xyz".index(side[1])] * (1 if side[0] == "+" else -1)
    assert out == pytest.approx(matrix[:, 2], abs=3e-5)


@settings(max_examples=20)
@given(st.randoms(use_true_random=False))
def test_the_order_and_sense_of_faces_and_loops_do_not_matter(random):
    faces = [face for plate in pierced_plates(OPEN, HOLES).values() for face in plate]
    random.shuffle(faces)
    drawn = [[loop[:: random.choice((1, -1))] for loop in face] for face in faces]
    box = measured(drawn)
    assert (box.inside_m, box.cover) == (size_of(INSIDE), OPEN)


def test_vertices_a_hair_apart_are_one_piece():
    faces = [
        [loop + 4e-6 * (k % 2) for loop in face]
        for k, face in enumerate(triangles(shell(INSIDE, WALL, OPEN)))
    ]
    box = measured(faces)
    assert box.inside_m == pytest.approx(INSIDE, abs=1e-4)
    assert box.cover == OPEN


def test_body_without_any_area_is_refused():
    flat = [[np.array([(0, 0, 0), (1, 0, 0), (2, 0, 0)])]]
    for faces in ([], flat, [[circle((0, 0, 0), 1, 2)[:2]]]):
        with pytest.raises(ValueError, match="no face with an area"):
            measured(faces)


def test_single_plate_is_no_box_made_of_walls():
    box = measured(block((0, 0, 0), (0.5, 0.5, 0.002)))
    assert box.cover == ()
    assert not box.is_hollow
