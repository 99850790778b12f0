import pytest

from modelcheck.network.entries import entered
from tests.unit.network.drawn import (
    block,
    box,
    elbow,
    ends,
    fitting,
    names,
    pipe,
    tee,
    told,
    traced,
)

AT = (0.1, 0.05)
PAIR = (box("A", (0.0, 0.0, 0.0)), box("B", (4.0, 0.0, 0.0)))


def at(x):
    return (x, *AT)


def entries(network):
    return [
        (e.box.guid, e.conduit.guid, e.wall, round(e.u_m, 6), round(e.v_m, 6))
        for e in network.entries
    ]


@pytest.mark.parametrize(
    ("start", "end"),
    [
        pytest.param(0.3, 3.7, id="inner-face"),
        pytest.param(0.302, 3.698, id="outer-face"),
        pytest.param(0.301, 3.699, id="middle-of-the-wall"),
        pytest.param(0.312, 3.688, id="10-mm-short"),
        pytest.param(0.0, 4.0, id="middle-of-the-box"),
        pytest.param(-0.3, 4.3, id="inner-face-of-the-far-wall"),
        pytest.param(-0.302, 4.302, id="outer-face-of-the-far-wall"),
        pytest.param(-0.311, 4.311, id="9-mm-past-the-far-wall"),
    ],
)
def test_a_conduit_that_reaches_a_wall_has_one_entry_in_the_near_wall(start, end):
    network = traced([pipe("c", at(start), at(end))], PAIR)
    assert entries(network) == [("A", "c", "+x", *AT), ("B", "c", "-x", *AT)]
    (run,) = network.runs
    assert ends(run) == (("box", "A"), ("box", "B"))
    assert run.length_m == pytest.approx(min(end, 3.7) - max(start, 0.3))
    assert network.loose_ends == ()


def test_a_conduit_that_goes_on_past_both_walls_has_two_entries_and_is_in_both_runs():
    network = traced([pipe("c", at(-1.0), at(3.7))], PAIR)
    assert entries(network) == [
        ("A", "c", "+x", *AT),
        ("A", "c", "-x", *AT),
        ("B", "c", "-x", *AT),
    ]
    assert [(names(run), ends(run)) for run in network.runs] == [
        (["c"], (("open", ""), ("box", "A"))),
        (["c"], (("box", "A"), ("box", "B"))),
    ]
    assert [run.length_m for run in network.runs] == pytest.approx([0.7, 3.4])
    assert len({run.name for run in network.runs}) == 2


def test_the_run_of_each_entry_is_the_one_on_its_side_of_the_box():
    network = traced([pipe("c", at(-1.0), at(3.7))], PAIR)
    by_name = {run.name: run for run in network.runs}
    assert {(e.wall, ends(by_name[e.run])[0][0]) for e in network.entries if e.box.guid == "A"} == {
        ("-x", "open"),
        ("+x", "box"),
    }


def test_ends_that_meet_in_the_middle_of_a_box_are_not_joined():
    network = traced([pipe("a", at(-2.0), at(0.0)), pipe("b", at(0.0), at(3.7))], PAIR)
    assert len(network.runs) == 2
    assert [entry[2] for entry in entries(network) if entry[0] == "A"] == ["-x", "+x"]


@pytest.mark.parametrize(
    ("gap_mm", "near"),
    [
        pytest.param(11, True, id="11"),
        pytest.param(50, True, id="50"),
        pytest.param(51, False, id="51"),
    ],
)
def test_an_end_short_of_a_box_by_more_than_10_mm_is_no_entry(gap_mm, near):
    network = traced([pipe("c", at(0.302 + gap_mm / 1000), at(2.0))], PAIR)
    assert network.entries == ()
    rows = [(row.other.guid, row.gap_m) for row in network.loose_ends if row.other]
    assert rows == ([("A", pytest.approx(gap_mm / 1000))] if near else [])
    assert len(network.loose_ends) == 2


def test_an_end_beside_a_box_and_along_its_wall_does_not_enter_it():
    along = pipe("c", (-2.0, 0.307, 0.0), (0.1, 0.307, 0.0))
    assert traced([along], PAIR[:1]).entries == ()


def test_a_conduit_that_passes_a_box_close_by_does_not_enter_it():
    assert traced([pipe("c", (-2.0, 0.303, 0.0), (2.0, 0.303, 0.0))], PAIR[:1]).entries == ()


def test_a_conduit_in_the_lid_of_a_box_does_not_enter_it():
    lidded = box("A", (0.0, 0.0, 0.0), outside_high_m=(0.302, 0.302, 0.25))
    assert traced([pipe("c", (-2.0, 0.0, 0.2), (2.0, 0.0, 0.2))], [lidded]).entries == ()


def test_the_size_by_property_may_be_smaller_than_the_block():
    block_box = box("A", (0.0, 0.0, 0.0), (0.6, 0.6, 0.3), wall_m=0.05)
    network = traced([pipe("c", at(0.35), at(2.0))], [block_box])
    assert entries(network) == [("A", "c", "+x", *AT)]


def test_the_size_by_property_may_be_larger_than_the_body():
    wrong = box("A", (0.0, 0.0, 0.0), (0.6, 0.6, 0.3), wall_m=-0.02)
    network = traced([pipe("c", at(0.28), at(2.0))], [wrong])
    assert entries(network) == [("A", "c", "+x", *AT)]
    assert network.runs[0].length_m == pytest.approx(1.72)


def test_an_end_at_the_rim_of_a_thick_wall_enters_it():
    thick = box("A", (0.0, 0.0, 0.0), (0.6, 0.6, 0.3), wall_m=0.05)
    network = traced([pipe("c", (0.35, 0.32, 0.0), (2.0, 0.32, 0.0))], [thick])
    assert entries(network) == [("A", "c", "+x", 0.32, 0.0)]


def test_the_place_on_a_wall_follows_a_slanting_axis_to_the_inner_face():
    network = traced([pipe("c", (0.302, 0.0, 0.0), (2.302, 1.0, 0.0))], PAIR[:1])
    assert entries(network) == [("A", "c", "+x", -0.001, 0.0)]


@pytest.mark.parametrize(
    ("wall", "start", "end", "u_m", "v_m"),
    [
        pytest.param("+x", (0.3, 0.1, 0.05), (2.0, 0.1, 0.05), 0.1, 0.05, id="+x"),
        pytest.param("-y", (0.1, -0.3, 0.05), (0.1, -2.0, 0.05), 0.1, 0.05, id="-y"),
        pytest.param("+z", (0.1, 0.2, 0.15), (0.1, 0.2, 2.0), 0.1, 0.2, id="+z"),
    ],
)
def test_u_and_v_are_along_the_other_two_axes(wall, start, end, u_m, v_m):
    network = traced([pipe("c", start, end)], PAIR[:1])
    assert entries(network) == [("A", "c", wall, u_m, v_m)]


def test_a_connector_is_passed_through_to_the_conduit():
    pieces = [
        fitting("k1", at(0.3), at(0.33)),
        pipe("c", at(0.33), at(3.67)),
        fitting("k2", at(3.67), at(3.7)),
    ]
    network = traced(pieces, PAIR)
    assert entries(network) == [("A", "c", "+x", *AT), ("B", "c", "-x", *AT)]
    assert names(network.runs[0]) == ["k1", "c", "k2"]


@pytest.mark.parametrize("reach", [0.302, 0.308, 0.315, 0.325])
def test_a_conduit_that_stops_inside_its_connector_still_enters_by_it(reach):
    pieces = [fitting("k", at(0.3), at(0.33)), pipe("c", at(reach), at(3.7))]
    network = traced(pieces, PAIR)
    assert entries(network) == [("A", "c", "+x", *AT), ("B", "c", "-x", *AT)]
    (run,) = network.runs
    assert sorted(names(run)) == ["c", "k"]
    assert run.length_m == pytest.approx(3.4, abs=0.0021)


def test_a_locknut_round_a_conduit_at_a_wall_is_in_the_run_but_no_entry_and_no_open_end():
    network = traced([fitting("n", at(3.691), at(3.698)), pipe("c", at(0.3), at(3.7))], PAIR)
    assert entries(network) == [("A", "c", "+x", *AT), ("B", "c", "-x", *AT)]
    assert [names(run) for run in network.runs] == [["c", "n"]]
    assert network.loose_ends == ()


def test_a_locknut_at_a_wall_without_a_conduit_is_told_and_no_entry():
    network = traced([fitting("n", at(0.302), at(0.309))], PAIR)
    assert (network.runs, network.entries, network.loose_ends) == ((), (), ())
    assert network.assumptions == ("Piece n: in no run (in or at a box, joining nothing)",)


def test_a_bushing_that_stands_out_past_a_conduit_inside_the_box_is_one_entry():
    network = traced([fitting("n", at(0.285), at(0.302)), pipe("c", at(0.29), at(3.7))], PAIR)
    assert [entry[:3] for entry in entries(network)] == [("A", "c", "+x"), ("B", "c", "-x")]
    assert network.loose_ends == ()


def test_a_run_of_a_connector_alone_enters_by_the_connector():
    near = (box("A", (0.0, 0.0, 0.0)), box("B", (0.7, 0.0, 0.0)))
    network = traced([fitting("k", at(0.3), at(0.4))], near)
    assert entries(network) == [("A", "k", "+x", *AT), ("B", "k", "-x", *AT)]


def test_a_nipple_between_boxes_that_touch_enters_both():
    near = (box("A", (0.0, 0.0, 0.0)), box("B", (0.604, 0.0, 0.0)))
    network = traced([pipe("n", at(0.28), at(0.33))], near)
    assert entries(network) == [("A", "n", "+x", *AT), ("B", "n", "-x", *AT)]
    assert network.runs[0].length_m == pytest.approx(0.004)


def test_a_bend_that_enters_is_the_conduit_of_the_entry():
    bent = elbow("e", (0.33, 0.0, 0.0), (0.63, 0.0, 0.0), (0.63, 0.3, 0.0))
    network = traced([fitting("k", (0.3, 0.0, 0.0), (0.33, 0.0, 0.0)), bent], PAIR[:1])
    assert entries(network) == [("A", "e", "+x", 0.0, 0.0)]


def test_a_conduit_into_a_box_inside_a_box_enters_both():
    inner = box("I", (0.1, 0.1, 0.05), (0.2, 0.2, 0.1))
    network = traced([pipe("c", at(0.1), at(3.7))], [*PAIR, inner])
    assert entries(network) == [
        ("A", "c", "+x", *AT),
        ("B", "c", "-x", *AT),
        ("I", "c", "+x", 0.0, 0.0),
    ]
    assert [ends(run) for run in network.runs] == [(("box", "A"), ("box", "B"))]
    assert {e.run for e in network.entries} == {network.runs[0].name}


def test_pieces_that_lie_in_a_box_altogether_are_no_run():
    network = traced([pipe("c", at(-0.1), at(0.1))], PAIR[:1])
    assert (network.runs, network.entries, network.loose_ends) == ((), (), ())
    assert len(network.assumptions) == 1


def test_conduit_between_two_boxes_that_stand_in_a_vault_is_a_run():
    vault = box("V", (2.0, 0.0, 0.0), (8.0, 3.0, 3.0))
    network = traced([pipe("c", at(0.3), at(3.7))], [*PAIR, vault])
    assert [ends(run) for run in network.runs] == [(("box", "A"), ("box", "B"))]
    assert {e.box.guid for e in network.entries} == {"A", "B"}


LB = {
    "inside_m": (None, None, None),
    "outside_low_m": (-0.1, -0.03, -0.1),
    "outside_high_m": (0.03, 0.03, 0.03),
    "is_conduit_body": True,
}


@pytest.mark.parametrize("into_m", [0.0, 0.009, -0.02])
def test_a_conduit_body_is_entered_by_its_hubs(into_m):
    body = box("LB", (3.0, 0.0, 0.0), **{**LB, "inside_m": (0.0, 0.0, 0.0)})
    body = type(body)(ref=body.ref, origin=body.origin, **LB)
    pieces = [
        pipe("a", (0.3, 0.0, 0.0), (2.9 - into_m, 0.0, 0.0)),
        pipe("b", (3.0, 0.0, -0.1 - into_m), (3.0, 0.0, -2.0)),
    ]
    network = traced(pieces, [PAIR[0], body])
    assert [e.wall for e in network.entries if e.box.guid == "LB"] == ["-x", "-z"]
    assert [ends(run) for run in network.runs] == [
        (("box", "A"), ("box", "LB")),
        (("open", ""), ("box", "LB")),
    ]


def test_an_end_in_the_empty_corner_of_a_conduit_body_does_not_enter_it():
    arms = (
        *block((-0.1, -0.03, -0.03), (0.03, 0.03, 0.03)),
        *block((-0.03, -0.03, -0.1), (0.03, 0.03, 0.0)),
    )
    body = type(PAIR[0])(ref=PAIR[0].ref, origin=(0.0, 0.0, 0.0), triangles=arms, **LB)
    beside = pipe("c", (-0.08, 0.0, -2.0), (-0.08, 0.0, -0.09))
    into = pipe("c", (-2.0, 0.0, 0.0), (-0.1, 0.0, 0.0))
    assert traced([beside], [body]).entries == ()
    assert [e.wall for e in traced([into], [body]).entries] == ["-x"]


def test_an_end_at_a_hub_that_stands_out_of_a_box_enters_its_wall():
    hub = block((0.302, 0.07, 0.02), (0.342, 0.13, 0.08))
    hubbed = box(
        "A",
        (0.0, 0.0, 0.0),
        triangles=(*block((-0.302,) * 2 + (-0.152,), (0.302, 0.302, 0.152)), *hub),
    )
    network = traced([pipe("c", at(0.342), at(2.0))], [hubbed])
    assert entries(network) == [("A", "c", "+x", *AT)]


@pytest.mark.parametrize("flat", [True, False], ids=["flat-walls", "irregular"])
def test_an_end_in_a_hole_of_a_flat_wall_enters_it(flat):
    rest = block((-0.302, -0.302, -0.152), (-0.3, 0.302, 0.152))  # nothing of the wall is near
    pierced = box("A", (0.0, 0.0, 0.0), triangles=rest, has_flat_walls=flat)
    network = traced([pipe("c", at(0.302), at(2.0))], [pierced])
    assert entries(network) == ([("A", "c", "+x", *AT)] if flat else [])


def test_a_branch_on_a_box_is_an_entry_of_the_conduit_in_line_with_it():
    branch = tee("t", (0.4, 0.0, 0.0), (-1.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    pieces = [
        pipe("b", (0.4, 0.1, 0.0), (0.4, 2.0, 0.0)),
        pipe("c", (0.5, 0.0, 0.0), (2.0, 0.0, 0.0)),
    ]
    network = traced([branch, *pieces], PAIR[:1])
    assert entries(network) == [("A", "c", "+x", 0.0, 0.0)]
    by_name = {run.name: names(run) for run in network.runs}
    assert by_name[network.entries[0].run] == ["c"]
    assert [ends(run) for run in network.runs] == [(("open", ""), ("branch", "t"))] * 2


def test_a_branch_on_a_box_without_a_conduit_is_told():
    branch = tee("t", (0.4, 0.0, 0.0), (-1.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    network = traced([branch], PAIR[:1])
    assert network.entries == ()
    assert len(network.assumptions) == 1


def test_a_box_that_is_one_only_if_entered_goes_when_nothing_enters_it():
    boxes = [
        box("A", (0.0, 0.0, 0.0), only_if_entered=True),
        box("B", (9.0, 0.0, 0.0), only_if_entered=True),
    ]
    network = traced([pipe("c", at(0.3), at(2.0))], boxes)
    assert [each.ref.guid for each in entered(boxes, network)] == ["A"]


def test_a_far_place_changes_nothing():
    far = (25_000_000.0, 7_000_000.0, 100.0)

    def shifted(point):
        return tuple(a + b for a, b in zip(point, far, strict=True))

    here = traced([pipe("c", at(0.3), at(3.7))], PAIR)
    boxes = [type(each)(**{**_fields(each), "origin": shifted(each.origin)}) for each in PAIR]
    there = traced([pipe("c", shifted(at(0.3)), shifted(at(3.7)))], boxes)
    assert told(here) == told(there)


def _fields(record):
    return {name: getattr(record, name) for name in record.__slots__}
