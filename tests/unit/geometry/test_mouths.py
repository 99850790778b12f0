"""Where faceted bodies open, and how they bend between."""

import numpy as np
import pytest

from modelcheck.geometry.mouths import Mouth, parts_of, path_between
from modelcheck.geometry.path import Piece, arc_about
from modelcheck.geometry.tube import composed, swept
from modelcheck.geometry.turns import length_m, turns
from modelcheck.read.solids import Faced, Swept, box_faces, carried, faces_along

X, Y, Z = np.eye(3)
FAR = np.array([25_000_000.0, -3_000_000.0, 500.0])


def triangulated(faces):
    return [
        [np.array([f[0][0], f[0][k], f[0][k + 1]])] for f in faces for k in range(1, len(f[0]) - 1)
    ]


def rod(start, end, radius_m=0.03):
    return faces_along(Swept((Piece(start, end),), radius_m))


ELBOW = (arc_about(0 * X, 0.3 * (X + Y), 0.3 * Y, Z),)


@pytest.mark.parametrize("make", [list, triangulated], ids=["polygons", "triangles"])
@pytest.mark.parametrize("at", [0 * X, FAR], ids=["near", "far"])
def test_a_faceted_rod_opens_at_its_two_ends(make, at):
    (part,) = parts_of(make(rod(at, at + 2 * X)))
    assert sorted(float(m.point[0] - at[0]) for m in part.mouths) == pytest.approx([0.0, 2.0])
    assert length_m(part.path) == pytest.approx(2.0)
    for mouth in part.mouths:
        assert abs(mouth.direction @ X) == pytest.approx(1.0)
        assert mouth.radius_m == pytest.approx(0.03, rel=1e-6)


@pytest.mark.parametrize("make", [list, triangulated], ids=["polygons", "triangles"])
def test_a_faceted_elbow_turns_as_its_arc_does(make):
    (part,) = parts_of(make(faces_along(Swept(ELBOW, 0.03))))
    (bend,) = turns(part.path)
    assert bend.angle_deg == pytest.approx(90.0, abs=0.01)
    assert bend.radius_m == pytest.approx(0.3, rel=1e-3)
    assert length_m(part.path) == pytest.approx(0.3 * np.pi / 2, rel=1e-3)


@pytest.mark.parametrize("make", [list, triangulated], ids=["polygons", "triangles"])
def test_a_faceted_offset_whose_second_bend_begins_in_the_first_turns_as_its_arcs_do(make):
    first = Piece(0 * X, 0.3 * (X + Y), 0.3 * Y, Z, np.pi / 2)
    second = Piece(first.end, 0.6 * (X + Y), 0.3 * (2 * X + Y), -Z, np.pi / 2)
    (part,) = parts_of(make(faces_along(Swept((first, second), 0.03))))
    assert [turn.angle_deg for turn in turns(part.path)] == pytest.approx([90.0, 90.0], abs=0.01)


def test_a_shell_without_caps_opens_at_its_rims():
    faces = faces_along(Swept(ELBOW, 0.03))[:-2]
    (part,) = parts_of(faces)
    assert len(part.mouths) == 2
    assert [turn.angle_deg for turn in turns(part.path)] == pytest.approx([90.0], abs=0.01)


def test_a_bar_opens_at_its_two_square_faces():
    bar = box_faces(np.array([0.0, -0.03, -0.03]), np.array([1.5, 0.03, 0.03]))
    (part,) = parts_of(bar.faces)
    assert sorted(float(mouth.point[0]) for mouth in part.mouths) == pytest.approx([0.0, 1.5])
    assert not any(mouth.is_round for mouth in part.mouths)


def test_a_cube_has_no_direction():
    assert parts_of(box_faces(np.zeros(3), np.ones(3)).faces) == []


@pytest.mark.parametrize(
    "faces",
    [[], [[np.zeros((3, 3))]], [[np.array([0 * X, X, 2 * X])]], [[np.array([X, Y])]]],
    ids=["nothing", "a-point", "a-line", "two-points"],
)
def test_faces_without_area_open_nowhere(faces):
    assert parts_of(faces) == []


def test_a_face_without_area_changes_nothing():
    faces = rod(0 * X, 2 * X)
    (alone,), (mixed,) = parts_of(faces), parts_of([[np.array([X, X, X])], *faces])
    for one, other in zip(alone.mouths, mixed.mouths, strict=True):
        assert np.array_equal(one.point, other.point)


def test_two_rods_drawn_as_one_body_are_two_parts():
    parts = parts_of([*rod(0 * X, 2 * X), *rod(Y, Y + 2 * X)])
    assert [len(part.mouths) for part in parts] == [2, 2]
    assert [length_m(part.path) for part in parts] == pytest.approx([2.0, 2.0])


def test_bodies_of_one_piece_that_meet_make_one_way():
    line = swept((Piece(-X, 0 * X),), 0.03)
    elbow = parts_of(faces_along(Swept(ELBOW, 0.03)))[0]
    shape = composed([elbow, line])
    assert len(shape.mouths) == 2
    assert length_m(shape.path) == pytest.approx(1.0 + 0.3 * np.pi / 2, rel=1e-3)


def test_a_pipe_and_its_socket_end_at_the_sockets_mouth():
    pipe, socket = swept((Piece(0 * X, 2 * X),), 0.03), swept((Piece(1.9 * X, 2.1 * X),), 0.04)
    shape = composed([pipe, socket])
    assert sorted(float(mouth.point[0]) for mouth in shape.mouths) == pytest.approx([0.0, 2.1])
    assert length_m(shape.path) == pytest.approx(2.1)


def test_a_liner_inside_a_pipe_is_no_end_of_its_own():
    outer, inner = swept((Piece(0 * X, X),), 0.03), swept((Piece(0 * X, X),), 0.027)
    shape = composed([inner, outer])
    assert len(shape.mouths) == 2
    assert shape.mouths[0].radius_m == 0.03


def test_a_branch_from_the_side_makes_a_third_end():
    main, branch = swept((Piece(-X, X),), 0.03), swept((Piece(0 * X, Y),), 0.03)
    assert len(composed([main, branch]).mouths) == 3


def test_two_mouths_at_right_angles_are_joined_by_an_arc():
    first, second = Mouth(0 * X, -X, 0.03), Mouth(0.3 * (X + Y), Y, 0.03)
    path = path_between(first, second)
    assert [turn.angle_deg for turn in turns(path)] == pytest.approx([90.0])
    assert length_m(path) == pytest.approx(0.3 * np.pi / 2)


def test_no_way_is_made_up_between_mouths_that_face_apart_out_of_line():
    assert path_between(Mouth(0 * X, -X, 0.03), Mouth(X + 0.5 * Y, X, 0.03)) == ()


def test_a_stretched_elbow_is_read_from_its_faces():
    matrix = np.diag([1.0, 1.0, 2.0, 1.0])
    assert isinstance(carried(Swept(ELBOW, 0.03), matrix), Faced)
