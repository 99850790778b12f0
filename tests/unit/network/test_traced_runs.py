from dataclasses import replace
from math import pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from modelcheck.model.element import RacewaySize, Role
from tests.unit.network.drawn import (
    TWO_INCH,
    box,
    elbow,
    ends,
    fitting,
    motion,
    names,
    pipe,
    tee,
    told,
    traced,
    turned,
)

PAIR = (box("A", (0.0, 0.0, 0.0)), box("B", (4.0, 0.0, 0.0)))
R = 0.25


def at(x, y=0.0, z=0.0):
    return (x, y, z)


def round_the_corner(*, drawn_deg=None):
    """A box, a straight, a quarter bend, a straight up, open."""
    return [
        pipe("a", at(0.3), at(1.0)),
        elbow("e", at(1.0), at(1.0 + R), at(1.0 + R, R), drawn_deg=drawn_deg),
        pipe("c", at(1.0 + R, R), at(1.0 + R, 1.0)),
    ]


def test_an_elbow_counts_with_its_angle_radius_and_arc():
    (run,) = traced(round_the_corner(), PAIR[:1]).runs
    assert names(run) == ["a", "e", "c"]
    assert [(round(b.angle_deg, 6), round(b.radius_m, 6)) for b in run.bends] == [(90.0, R)]
    assert run.length_m == pytest.approx(0.7 + R * pi / 2 + 0.75)
    assert run.bend_conflict == ""


def test_an_elbow_whose_body_says_another_angle_than_its_neighbours_is_a_conflict():
    (run,) = traced(round_the_corner(drawn_deg=45.0), PAIR[:1]).runs
    assert "Piece e turns 45.0 degrees" in run.bend_conflict
    assert "90.0" in run.bend_conflict


def test_an_elbow_within_a_degree_of_its_neighbours_agrees():
    (run,) = traced(round_the_corner(drawn_deg=89.2), PAIR[:1]).runs
    assert run.bend_conflict == ""


def test_an_elbow_that_is_turned_about_the_run_is_a_conflict():
    pieces = round_the_corner()
    pieces[2] = pipe("c", at(1.0 + R, R), at(1.0 + R, R, 1.0))
    (run,) = traced(pieces, PAIR[:1]).runs
    assert run.bend_conflict != ""


def test_an_offset_in_one_fitting_is_two_bends_and_no_conflict():
    first = elbow("o", at(1.0), at(1.1), at(1.1 + 0.1 * 0.5**0.5, 0.1 * 0.5**0.5))
    start, corner = at(1.3, 0.3), at(1.3 + 0.1 * 0.5**0.5, 0.3 + 0.1 * 0.5**0.5)
    second = elbow("o", start, corner, (corner[0] + 0.1, corner[1], 0.0))
    offset = replace(
        first,
        ends=(first.ends[0], second.ends[1]),
        bends=first.bends + second.bends,
        centreline=first.centreline + second.centreline,
        length_m=1.0,
    )
    end = offset.ends[1].point
    (run,) = traced([pipe("a", at(0.3), at(1.0)), offset, pipe("c", end, (3.0, end[1], 0.0))]).runs
    assert [round(bend.angle_deg, 6) for bend in run.bends] == [45.0, 45.0]
    assert run.bend_conflict == ""


def test_a_long_piece_whose_ends_turn_without_a_bend_is_a_conflict():
    bent = elbow("e", at(0.3), at(1.0), at(1.0, 0.7), role=Role.SEGMENT)
    (run,) = traced([replace(bent, bends=())], PAIR[:1]).runs
    assert "the course of Piece e" in run.bend_conflict


def test_a_piece_whose_ends_are_out_of_line_without_a_bend_is_a_conflict():
    first, second = pipe("a", at(0.3), at(1.0)), pipe("a", at(2.0, 0.5), at(3.0, 0.5))
    jump = replace(first, ends=(first.ends[0], second.ends[1]), centreline=())
    (run,) = traced([jump], PAIR[:1]).runs
    assert "the course of Piece a" in run.bend_conflict


def test_an_elbow_without_a_drawn_arc_turns_as_its_ends_do():
    pieces = round_the_corner()
    pieces[1] = replace(pieces[1], bends=())
    (run,) = traced(pieces, PAIR[:1]).runs
    assert [round(bend.angle_deg, 6) for bend in run.bends] == [90.0]
    assert run.bend_conflict == ""


def test_bends_inside_a_long_piece_count():
    bent = elbow("e", at(0.3), at(1.0), at(1.0, 0.7))
    (run,) = traced([replace(bent, role=Role.SEGMENT)], PAIR[:1]).runs
    assert [round(bend.angle_deg, 6) for bend in run.bends] == [90.0]


def test_segments_that_meet_at_an_angle_are_a_bend_without_a_radius():
    (run,) = traced([pipe("a", at(0.3), at(2.0)), pipe("b", at(2.0), at(2.0, 1.0))], PAIR[:1]).runs
    assert [(bend.angle_deg, bend.radius_m) for bend in run.bends] == [(pytest.approx(90.0), None)]
    assert run.bends[0].at == pytest.approx(at(2.0))


def test_the_length_of_a_mitre_goes_to_the_corner():
    pieces = [pipe("a", at(0.3), at(1.999)), pipe("b", at(2.0, 0.001), at(2.0, 1.0))]
    (run,) = traced(pieces, PAIR[:1]).runs
    assert run.length_m == pytest.approx(1.7 + 1.0)


@pytest.mark.parametrize(("rise", "count"), [(0.008, 0), (0.02, 1)])
def test_a_joint_of_two_segments_bends_from_half_a_degree(rise, count):
    pieces = [pipe("a", at(0.3), at(2.0)), pipe("b", at(2.0), at(3.0, rise))]
    (run,) = traced(pieces, PAIR[:1]).runs
    assert len(run.bends) == count


def test_the_smallest_size_is_that_of_the_run_and_said():
    one_inch = RacewaySize(raceway_type="RMC", trade_size_in="1", metric_designator=27)
    pieces = [
        pipe("a", at(0.3), at(1.0)),
        fitting("r", at(1.0), at(1.1)),
        pipe("b", at(1.1), at(3.7), size=one_inch),
    ]
    network = traced(pieces, PAIR)
    (run,) = network.runs
    assert run.size == one_inch
    assert run.raceway_types == ("EMT", "RMC")
    assert run.assumptions == ("trade sizes 1, 2 in the run, the smallest is taken for it",)
    assert [e.size for e in network.entries] == [TWO_INCH, one_inch]


def test_sizes_of_fittings_count_where_no_segment_has_one():
    unknown = RacewaySize()
    pieces = [pipe("a", at(0.3), at(1.0), size=unknown), fitting("k", at(1.0), at(1.1))]
    (run,) = traced(pieces, PAIR[:1]).runs
    assert run.size == TWO_INCH
    assert len(run.assumptions) == 1


def test_a_run_is_read_from_the_end_whose_outermost_global_id_sorts_first():
    names_of = ("z", "m", "b")
    spots = (0.3, 1.0, 2.0, 3.7)
    pieces = [pipe(n, at(a), at(b)) for n, a, b in zip(names_of, spots, spots[1:], strict=False)]
    (run,) = traced(pieces, PAIR).runs
    assert names(run) == ["b", "m", "z"]
    assert ends(run) == (("box", "B"), ("box", "A"))


def test_one_element_is_read_from_the_end_whose_start_sorts_first():
    assert ends(traced([pipe("c", at(0.3), at(2.0))], PAIR).runs[0]) == (("open", ""), ("box", "A"))
    swapped = traced([pipe("c", at(3.7), at(0.3))], PAIR).runs[0]
    assert ends(swapped) == (("box", "A"), ("box", "B"))


def test_a_ring_is_one_run_and_said():
    corners = [at(0), at(1), at(1, 1), at(0, 1)]
    pieces = [
        pipe(n, a, b) for n, a, b in zip("dacb", corners, [*corners[1:], corners[0]], strict=True)
    ]
    network = traced(pieces)
    (run,) = network.runs
    assert names(run) == ["a", "c", "b", "d"]
    assert [round(bend.angle_deg) for bend in run.bends] == [90] * 4
    assert run.length_m == pytest.approx(4.0)
    assert "ring" in run.assumptions[0]
    assert ends(run) == (("open", ""), ("open", ""))


def test_runs_of_equal_elements_are_numbered_and_others_named_by_their_elements():
    def name(*pieces):
        return [run.name for run in traced(pieces, PAIR).runs]

    alone = name(pipe("a", at(0.3), at(3.7)))
    moved = name(pipe("a", at(0.3, 0.1), at(3.7, 0.1)))
    other = name(pipe("b", at(0.3), at(3.7)))
    assert alone == moved != other
    twice = traced(
        [pipe("a", at(0.3), at(3.7)), pipe("a", at(0.3, 0.1), at(3.7, 0.1), model="n.ifc")], PAIR
    )
    assert [run.name for run in twice.runs] == [alone[0], f"{alone[0]}-2"]


def test_elements_of_two_files_with_one_global_id_are_told_apart():
    pieces = [pipe("a", at(0.3), at(2.0)), pipe("a", at(2.0), at(3.7), model="n.ifc")]
    (run,) = traced(pieces, PAIR).runs
    assert [each.model for each in run.elements] == ["m.ifc", "n.ifc"]


def plant():
    """Elbow, couplings, tee, near pair, mitre, sleeve, and a conduit right through a box."""
    boxes = [*PAIR, box("C", at(2.0, 3.0), (0.4, 0.4, 0.2))]
    pieces = [
        *round_the_corner(),
        fitting("k1", at(0.3, 0.2), at(0.33, 0.2)),
        pipe("l", at(0.31, 0.2), at(1.5, 0.2)),
        fitting("k2", at(1.47, 0.2), at(1.53, 0.2)),
        pipe("m", at(1.5, 0.2), at(3.7, 0.2)),
        pipe("t", at(2.0, 1.5), at(2.0, 5.0)),
        pipe("n1", at(2.0, 5.02), at(2.0, 6.0)),
        pipe("n2", at(2.0, 6.0), at(3.0, 6.0)),
        fitting("s", at(2.0, 2.0), at(2.0, 2.2)),
        tee("y", at(2.0, 1.4), (0.0, 1.0, 0.0), (0.0, -1.0, 0.0), (0.6, 0.0, 0.8)),
        pipe("v", at(-0.3, 0.1), at(-2.0, 0.1)),
    ]
    return pieces, boxes


def test_the_plant_has_all_it_should():
    runs, entries, loose, _ = told(traced(*plant()))
    assert len(runs) == 6
    assert [entry[:3] for entry in entries] == [
        ("A", "a", "+x"),
        ("A", "l", "+x"),
        ("A", "v", "-x"),
        ("B", "m", "-x"),
        ("C", "t", "+y"),
        ("C", "t", "-y"),
    ]
    assert [row[:2] for row in loose] == [
        ("c", None),
        ("n1", "t"),
        ("n2", None),
        ("v", None),
        ("y", None),
        ("y", None),
    ]


@given(
    shuffle=st.randoms(use_true_random=False),
    angles_deg=st.tuples(*[st.floats(-180, 180)] * 3),
    by=st.tuples(*[st.floats(-1e7, 1e7)] * 3),
)
@settings(max_examples=40)
def test_order_turning_and_moving_change_nothing(shuffle, angles_deg, by):
    pieces, boxes = turned(*plant(), motion(angles_deg, by))
    shuffle.shuffle(pieces)
    shuffle.shuffle(boxes)
    assert told(traced(pieces, boxes)) == told(traced(*plant()))


@given(flips=st.sets(st.sampled_from(["a", "c", "l", "m", "t", "n1", "n2", "v", "k1", "k2", "s"])))
@settings(max_examples=40)
def test_the_sense_in_which_a_piece_is_drawn_changes_nothing(flips):
    pieces, boxes = plant()
    drawn = [
        replace(each, ends=each.ends[::-1], centreline=each.centreline[::-1])
        if each.ref.guid in flips
        else each
        for each in pieces
    ]
    assert told(traced(drawn, boxes)) == told(traced(pieces, boxes))


@given(mm=st.floats(2.9, 60.0))
@settings(max_examples=40)
def test_two_ends_in_line_are_joined_or_a_near_pair_or_two_open_ends(mm):
    network = traced([pipe("a", at(0.3), at(2.0)), pipe("b", at(2.0 + mm / 1000), at(3.7))], PAIR)
    rows = [row.other is not None for row in network.loose_ends]
    assert (len(network.runs), rows) in [(1, []), (2, [True]), (2, [False, False])]
    assert (len(network.runs) == 1) == (mm <= 3.001)
