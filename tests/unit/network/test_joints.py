from dataclasses import replace

import pytest

from modelcheck.model.element import Conduit, Role
from modelcheck.model.settings import Settings, Tolerances
from tests.unit.network.drawn import (
    block,
    box,
    cap,
    ends,
    equipment,
    fitting,
    names,
    pipe,
    ref,
    tee,
    traced,
)

PAIR = (box("A", (0.0, 0.0, 0.0)), box("B", (4.0, 0.0, 0.0)))


def at(x, y=0.0):
    return (x, y, 0.0)


def between(*pieces):
    """Trace pieces between the two boxes, 3.4 m apart."""
    return traced(pieces, PAIR)


def only_run(network):
    (run,) = network.runs
    assert network.loose_ends == ()
    assert ends(run) == (("box", "A"), ("box", "B"))
    return run


@pytest.mark.parametrize("gap_mm", [0.0, 1.0, 3.0])
def test_ends_up_to_3_mm_apart_are_joined(gap_mm):
    run = only_run(
        between(pipe("a", at(0.3), at(2.0)), pipe("b", at(2.0 + gap_mm / 1000), at(3.7)))
    )
    assert names(run) == ["a", "b"]
    assert run.length_m == pytest.approx(3.4)


@pytest.mark.parametrize("overlap_mm", [2.0, 20.0, 75.0, 300.0])
def test_a_spigot_in_a_socket_meets_and_the_overlap_counts_once(overlap_mm):
    run = only_run(
        between(pipe("a", at(0.3), at(2.0 + overlap_mm / 1000)), pipe("b", at(2.0), at(3.7)))
    )
    assert names(run) == ["a", "b"]
    assert run.length_m == pytest.approx(3.4)


def test_bodies_side_by_side_do_not_meet():
    network = traced([pipe("a", at(0.0), at(2.0)), pipe("b", at(1.9, 0.02), at(3.7, 0.02))])
    assert len(network.runs) == 2


@pytest.mark.parametrize(
    ("to_m", "from_m"),
    [
        pytest.param(1.97, 2.03, id="stop-at-its-faces"),
        pytest.param(2.0, 2.0, id="meet-in-its-middle"),
        pytest.param(2.01, 2.01, id="meet-off-its-middle"),
        pytest.param(1.985, 2.015, id="go-into-it-in-part"),
        pytest.param(2.02, 2.03, id="one-goes-nearly-through"),
    ],
)
def test_a_coupling_comes_between_the_conduits_that_it_joins(to_m, from_m):
    run = only_run(
        between(
            pipe("a", at(0.3), at(to_m)),
            pipe("b", at(from_m), at(3.7)),
            fitting("k", at(1.97), at(2.03)),
        )
    )
    assert names(run) == ["a", "k", "b"]
    assert run.length_m == pytest.approx(3.4)
    assert run.bends == ()


def test_a_coupling_that_a_conduit_goes_through_is_still_in_the_run():
    run = only_run(
        between(
            pipe("a", at(0.3), at(2.03)),
            pipe("b", at(2.03), at(3.7)),
            fitting("k", at(1.97), at(2.03)),
        )
    )
    assert names(run) == ["a", "k", "b"]


def test_a_sleeve_round_one_conduit_has_no_open_ends():
    run = only_run(between(pipe("a", at(0.3), at(3.7)), fitting("s", at(2.5), at(2.7))))
    assert names(run) == ["a", "s"]


def test_a_strap_round_a_joint_has_no_open_ends():
    run = only_run(
        between(
            pipe("a", at(0.3), at(2.0)),
            pipe("b", at(2.0), at(3.7)),
            fitting("k", at(1.97), at(2.03)),
            fitting("s", at(1.96), at(2.04)),
        )
    )
    assert sorted(names(run)) == ["a", "b", "k", "s"]


def test_three_ends_at_one_point_are_a_branch_that_no_fitting_shows():
    network = between(
        pipe("a", at(0.3), at(2.0)), pipe("b", at(2.0), at(3.7)), pipe("c", at(2.0), at(2.0, 1.0))
    )
    assert [ends(run) for run in network.runs] == [
        (("branch", ""), ("box", "A")),
        (("branch", ""), ("box", "B")),
        (("branch", ""), ("open", "")),
    ]


def test_a_conduit_that_is_drawn_twice_never_makes_a_sound_run():
    network = between(
        pipe("a", at(0.3), at(2.0)), pipe("a2", at(0.3), at(2.0)), pipe("b", at(2.0), at(3.7))
    )
    assert all(kind != "box" for run in network.runs for kind, _ in ends(run)[:1])


def test_a_branching_fitting_ends_runs_and_belongs_to_none():
    branch = tee("t", at(2.0), (-1.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    network = between(pipe("a", at(0.3), at(1.9)), pipe("b", at(2.08), at(3.7)), branch)
    assert [(names(run), ends(run)) for run in network.runs] == [
        (["a"], (("box", "A"), ("branch", "t"))),
        (["b"], (("box", "B"), ("branch", "t"))),
    ]
    assert [(row.element.guid, row.point) for row in network.loose_ends] == [("t", at(2.0, 0.1))]


@pytest.mark.parametrize("gap_mm", [4.0, 30.0, 50.0])
def test_ends_in_line_further_apart_are_a_near_pair_told_once(gap_mm):
    network = between(pipe("a", at(0.3), at(2.0)), pipe("b", at(2.0 + gap_mm / 1000), at(3.7)))
    assert [ends(run)[0] for run in network.runs] == [("open", ""), ("open", "")]
    (row,) = network.loose_ends
    assert (row.element.guid, row.other.guid) == ("a", "b")
    assert row.gap_m == pytest.approx(gap_mm / 1000)


@pytest.mark.parametrize(
    "second",
    [
        pytest.param(pipe("b", at(2.06), at(3.7)), id="too-far"),
        pytest.param(pipe("b", at(2.03, 0.02), at(3.7, 0.02)), id="out-of-line"),
        pytest.param(pipe("b", at(2.03), at(2.03, 2.0)), id="not-facing"),
    ],
)
def test_other_ends_near_by_are_two_open_ends(second):
    network = traced([pipe("a", at(0.3), at(2.0)), second], PAIR[:1])
    assert all(row.other is None for row in network.loose_ends)
    assert {row.element.guid for row in network.loose_ends} == {"a", "b"}


def test_tolerances_come_from_the_settings():
    settings = Settings(tolerances=Tolerances(join_m=0.02, enter_m=0.03, near_m=0.1))
    pieces = [pipe("a", at(0.33), at(2.0)), pipe("b", at(2.02), at(3.7))]
    assert ends(traced(pieces, PAIR, settings=settings).runs[0]) == (("box", "A"), ("box", "B"))


def test_ports_alone_join_nothing_and_what_they_say_is_told():
    first = pipe("a", at(0.3), at(2.0))
    second = pipe("b", at(2.5), at(3.7))
    network = between(replace(first, ported_to=(second.ref.key,)), second)
    assert len(network.runs) == 2
    assert all("500.0 mm apart" in run.assumptions[0] for run in network.runs)


def test_a_port_connection_to_a_box_out_of_reach_is_told_and_no_entry():
    piece = pipe("a", at(0.802), at(3.7))
    network = traced([piece], [replace(PAIR[0], ported_to=(piece.ref.key,)), PAIR[1]])
    assert [entry.box.guid for entry in network.entries] == ["B"]
    assert "500.0 mm from it" in network.runs[0].assumptions[0]


def test_ports_that_agree_say_nothing():
    first, second = pipe("a", at(0.3), at(2.0)), pipe("b", at(2.0), at(3.7))
    run = only_run(between(replace(first, ported_to=(second.ref.key,)), second))
    assert run.assumptions == ()


def test_a_cap_closes_an_end_and_belongs_to_the_run():
    network = traced([pipe("a", at(0.3), at(2.0)), cap("x", at(2.0), at(2.02))], PAIR[:1])
    assert [(names(run), ends(run)) for run in network.runs] == [
        (["a", "x"], (("box", "A"), ("cap", "")))
    ]
    assert network.loose_ends == ()


def test_a_cap_over_the_end_of_a_conduit_closes_it():
    network = traced([pipe("a", at(0.3), at(2.0)), cap("x", at(1.98), at(2.002))], PAIR[:1])
    assert [ends(run) for run in network.runs] == [(("box", "A"), ("cap", ""))]
    assert network.loose_ends == ()


def test_an_end_at_equipment_is_sound():
    panel = equipment("P", (2.005, -0.2, -0.2), (2.4, 0.2, 0.2))
    network = traced([pipe("a", at(0.3), at(2.0))], PAIR[:1], met=[panel])
    assert [ends(run) for run in network.runs] == [(("box", "A"), ("equipment", "P"))]
    assert network.loose_ends == ()


def test_an_end_inside_equipment_is_sound_and_one_beside_it_is_open():
    panel = equipment("P", (1.7, -0.2, -0.2), (2.4, 0.2, 0.2))
    inside = traced([pipe("a", at(0.3), at(2.0))], PAIR[:1], met=[panel])
    assert ends(inside.runs[0])[1] == ("equipment", "P")
    beside = traced([pipe("a", at(0.3, 0.25), at(2.0, 0.25))], PAIR[:1], met=[panel])
    assert [ends(run)[0] for run in beside.runs] == [("open", "")]


def test_a_slim_body_between_two_ends_in_line_is_a_coupling_nobody_named_not_equipment():
    pieces = [pipe("a", at(0.3), at(1.9)), pipe("b", at(2.0), at(3.7))]
    slim = equipment("P", (1.88, -0.04, -0.04), (2.02, 0.04, 0.04))
    panel = equipment("P", (1.9, -0.2, -0.2), (2.0, 0.2, 0.2))
    assert {ends(run)[0][0] for run in traced(pieces, PAIR, met=[slim]).runs} == {"open"}
    beside = traced(pieces, PAIR, met=[panel]).runs
    assert [ends(run)[1] for run in beside] == [("equipment", "P")] * 2


@pytest.mark.parametrize("name", ["a", "Piece a", "tag-a"])
def test_an_end_that_the_settings_mean_is_sound(name):
    settings = Settings(meant_ends=(name,))
    network = traced([pipe("a", at(0.3), at(2.0))], PAIR[:1], settings=settings)
    assert [ends(run) for run in network.runs] == [(("meant", ""), ("box", "A"))]
    assert network.loose_ends == ()


def shapeless(name, low, high, role=Role.FITTING):
    return Conduit(
        ref=ref(name), role=role, size=pipe("p", at(0), at(1)).size, ends=(), body=block(low, high)
    )


def test_a_body_without_ends_turns_as_its_neighbours_do():
    body = shapeless("e", (2.0, -0.03, -0.03), (2.13, 0.1, 0.03))
    network = traced(
        [pipe("a", at(0.3), at(2.0)), body, pipe("c", at(2.1, 0.1), at(2.1, 2.0))], PAIR[:1]
    )
    (run,) = network.runs
    assert names(run) == ["a", "e", "c"]
    assert [(round(bend.angle_deg, 6), bend.radius_m) for bend in run.bends] == [(90.0, None)]
    assert run.bend_conflict == ""
    assert run.length_m == pytest.approx(1.7 + 0.2 + 1.9)


def test_a_long_body_without_ends_is_a_conflict_because_its_bends_are_not_known():
    body = shapeless("s", (2.0, -0.03, -0.03), (2.13, 0.1, 0.03), role=Role.SEGMENT)
    pieces = [pipe("a", at(0.3), at(2.0)), pipe("c", at(2.1, 0.1), at(2.1, 2.0))]
    (run,) = traced([*pieces, body], PAIR[:1]).runs
    assert "the course of Piece s" in run.bend_conflict


def test_a_body_without_ends_enters_the_box_that_it_reaches():
    low, high = (0.3, -0.03, -0.03), (2.0, 0.03, 0.03)
    body = replace(shapeless("s", low, high, role=Role.SEGMENT))
    network = traced([body, pipe("c", at(2.0), at(3.0))], PAIR[:1])
    (entry,) = network.entries
    assert (entry.conduit.guid, entry.wall) == ("s", "+x")
    assert (entry.u_m, entry.v_m) == pytest.approx((0.0, 0.0))
    assert "the course of Piece s" in network.runs[0].bend_conflict


def test_a_body_without_ends_beside_a_box_does_not_enter_it():
    body = shapeless("s", (-0.2, 0.305, -0.03), (0.2, 0.365, 0.03), role=Role.SEGMENT)
    pieces = [
        pipe("b", at(-2.0, 0.335), at(-0.2, 0.335)),
        pipe("c", at(0.2, 0.335), at(2.0, 0.335)),
    ]
    assert traced([body, *pieces], PAIR[:1]).entries == ()


def test_a_body_without_ends_between_three_conduits_is_a_branch():
    body = shapeless("t", (2.0, -0.03, -0.03), (2.2, 0.1, 0.03))
    pieces = [
        pipe("a", at(0.3), at(2.0)),
        pipe("b", at(2.2), at(3.7)),
        pipe("c", at(2.1, 0.1), at(2.1, 2.0)),
    ]
    network = traced([*pieces, body], PAIR)
    assert {ends(run)[1] for run in network.runs} | {ends(run)[0] for run in network.runs} >= {
        ("branch", "t")
    }
    assert [names(run) for run in network.runs] == [["a"], ["b"], ["c"]]


def test_a_body_without_ends_that_nothing_touches_is_told():
    network = traced([shapeless("t", (2.0, -0.03, -0.03), (2.2, 0.1, 0.03))], PAIR)
    assert network.runs == ()
    assert "Piece t" in network.assumptions[0]
