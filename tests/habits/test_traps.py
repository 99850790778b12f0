"""What exporters do to a model besides drawing it their way: one claim a trap."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.builders.compare import EXACT, differences, tables
from tests.builders.expect import expect
from tests.builders.guids import guid_of
from tests.builders.habits import Habit
from tests.builders.pieces import Cut, lay_out
from tests.builders.plant import AtBox, AtPoint, Box, Branch, Plant, Route
from tests.builders.scenes import between, facing_boxes, first_plant
from tests.builders.space import Frame
from tests.builders.write_ifc import write
from tests.run_program import check

WHOLE = first_plant()
TIDY = Habit()


def _tables(plant, habit, tmp_path, *options):
    path = tmp_path / "plant.ifc"
    write(plant, habit, path)
    check([path], tmp_path / "out", *options)
    return tables(tmp_path / "out")


def test_conduit_in_one_file_and_boxes_in_another_are_one_project(tmp_path):
    boxes, raceways = tmp_path / "boxes.ifc", tmp_path / "raceways.ifc"
    write(WHOLE, replace(TIDY, unit="ft"), boxes, part="boxes")
    write(WHOLE, TIDY, raceways, part="raceways")
    check([boxes, raceways], tmp_path / "out")
    assert differences(tmp_path / "out", expect(WHOLE, TIDY), EXACT) == []


def test_two_files_that_share_global_ids_are_told_apart(tmp_path):
    plant = Plant(name="Twins", boxes=facing_boxes(), routes=(between(),))
    here, there = tmp_path / "here.ifc", tmp_path / "there.ifc"
    write(plant, TIDY, here)
    write(plant, replace(TIDY, motion=Frame.turned((0.0, 50.0, 0.0))), there)
    check([here, there], tmp_path / "out")
    found = tables(tmp_path / "out")
    for name in ("runs", "boxes", "entries"):
        count = [row["model"] for row in found[name]]
        assert sorted(set(count)) == ["here.ifc", "there.ifc"]
        assert count.count("here.ifc") == count.count("there.ifc")
    assert len({row["finding"] for row in found["findings"]}) == len(found["findings"])


def test_a_reducer_does_not_end_a_run_and_each_box_has_its_own_size(tmp_path):
    plant = Plant(name="Reduced", boxes=facing_boxes(), routes=(between(size="3", reduced_to="2"),))
    path = tmp_path / "plant.ifc"
    write(plant, TIDY, path)
    check([path], tmp_path / "out")
    assert differences(tmp_path / "out", expect(plant, TIDY), EXACT) == []


@pytest.mark.parametrize("body", ["extrusion", "mesh"])
def test_a_size_that_contradicts_the_diameter_never_passes(body, tmp_path):
    """The property says 2, the body is as wide as trade size 4: which is right, nobody knows."""
    wide = replace(between(size="4"), raceway_type="EMT")
    plant = Plant(name="Contradiction", boxes=facing_boxes(), routes=(wide,))
    path = tmp_path / "plant.ifc"
    write(plant, replace(TIDY, segment_body=body), path)
    text = path.read_text(encoding="utf-8")
    assert text.count("IFCLABEL('4\"')") == len(lay_out(plant, TIDY.cut)["R1"])
    path.write_text(text.replace("IFCLABEL('4\"')", "IFCLABEL('2\"')"), encoding="utf-8")
    check([path], tmp_path / "out")
    boxes = tables(tmp_path / "out")["boxes"]
    found = tables(tmp_path / "out")["findings"]
    rows = [row for row in found if row["check"] == "straight-pull-length"]
    assert boxes
    assert [row["outcome"] for row in rows if row["outcome"] == "pass"] == []


def test_box_sizes_that_contradict_the_body_leave_the_distances_open(tmp_path):
    boxes = tuple(replace(box, wall_m=0.05) for box in facing_boxes())
    plant = Plant(name="Thick", boxes=boxes, routes=(between(size="2"),))
    habit = replace(TIDY, box_body="block-outer", cover="property")
    found = _tables(plant, habit, tmp_path)["findings"]
    rows = [row for row in found if row["check"] == "straight-pull-length"]
    assert [row["outcome"] for row in rows] == ["needs-input"] * len(rows)
    assert all("600" in row["message"] and "700" in row["message"] for row in rows)


def test_a_tee_ends_a_run_and_a_conduit_body_is_a_pull_point(tmp_path):
    """Both are drawn as plain fittings; only the name tells the conduit body."""
    at = (3.0, 0.0, 0.0)
    body = Branch(
        id="LB-1",
        centre=at,
        arms=((-1.0, 0.0, 0.0), (0.0, 0.0, -1.0)),
        trade_size_in="2",
        name="Conduit body LB",
    )
    box = facing_boxes()[0]
    routes = (
        Route(
            id="R1",
            trade_size_in="2",
            start=AtBox("PB-1", "+x"),
            end=AtPoint(body.mouth(0), meets=body.id),
        ),
        Route(
            id="R2",
            trade_size_in="2",
            start=AtPoint(body.mouth(1), meets=body.id),
            end=AtPoint((3.0, 0.0, -2.0), cap=True),
        ),
    )
    plant = Plant(name="LB", boxes=(box,), routes=routes, branches=(body,))
    found = _tables(plant, TIDY, tmp_path)
    lb = guid_of("LB-1")
    assert lb in {row["box_guid"] for row in found["boxes"]}
    ends = {row["element_guids"]: (row["start_guid"], row["end_guid"]) for row in found["runs"]}
    assert len(ends) == 2
    assert all(lb in pair for pair in ends.values())
    rows = [row for row in found["findings"] if row["subject_guid"] == lb]
    assert {row["outcome"] for row in rows} == {"needs-input"}


def test_a_box_inside_another_is_a_box_of_its_own(tmp_path):
    outer, far = facing_boxes(first=(1.2, 1.2, 0.6))
    inner = Box(id="PB-3", inside_m=(0.2, 0.2, 0.1), frame=Frame.turned((0.2, 0.3, 0.0)))
    plant = Plant(name="Nested", boxes=(outer, far, inner), routes=(between(),))
    path = tmp_path / "plant.ifc"
    write(plant, TIDY, path)
    check([path], tmp_path / "out")
    assert differences(tmp_path / "out", expect(plant, TIDY), EXACT) == []


def test_ports_alone_join_nothing_that_the_geometry_keeps_apart(tmp_path):
    """R7 and R8 end 30 mm apart; phantom connections say that they meet."""
    habit = replace(TIDY, port_links="phantom")
    path = tmp_path / "plant.ifc"
    write(WHOLE, habit, path)
    check([path], tmp_path / "out")
    assert differences(tmp_path / "out", expect(WHOLE, habit), EXACT) == []


def test_a_conduit_through_a_box_belongs_to_both_runs(tmp_path):
    habit = replace(TIDY, cut=Cut(through=True))
    found = _tables(WHOLE, habit, tmp_path)
    shared = guid_of("R1/S2")
    runs = [row for row in found["runs"] if shared in row["element_guids"].split(";")]
    assert len(runs) == 2
    assert [row["wall"] for row in found["entries"] if row["conduit_guid"] == shared] != []


@pytest.mark.parametrize(
    ("name", "size", "raceway"),
    [
        ('Conduit EMT 3/4"', "3/4", "EMT"),
        ('1-1/4" RMC Conduit', "1-1/4", "RMC"),
        ('PVC Schedule 40 2"', "2", "PVC40"),
        ('PVC Sch 40 3/4"', "3/4", "PVC40"),
        ('Conduit PVC40 1/2"', "1/2", "PVC40"),
    ],
)
def test_a_name_alone_tells_size_and_raceway_type(name, size, raceway, tmp_path):
    route = replace(between(size=size), raceway_type=raceway)
    plant = Plant(name="Names", boxes=facing_boxes(), routes=(route,))
    path = tmp_path / "plant.ifc"
    habit = replace(TIDY, size="name", segment_body="axis")  # no diameter to help
    write(plant, habit, path)
    drawn = f'Conduit {raceway} {size}"'
    text = path.read_text(encoding="utf-8")
    assert drawn in text
    path.write_text(text.replace(drawn, name), encoding="utf-8")
    check([path], tmp_path / "out")
    assert differences(tmp_path / "out", expect(plant, habit), EXACT) == []
