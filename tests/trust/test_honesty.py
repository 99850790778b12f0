"""What is spoilt or taken away never makes anything pass that did not pass before."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path
from random import Random

import ifcopenshell
import pytest

from modelcheck.errors import InputFileError
from tests.builders.guids import guid_of
from tests.builders.habits import OLD_TYPED, SOLID, TIDY
from tests.builders.plant import AtBox, AtPoint, Box, Plant, Route
from tests.builders.scenes import first_plant
from tests.builders.space import Frame
from tests.builders.write_ifc import write
from tests.trust.evidence import evidence_in
from tests.trust.verdicts import checked, new_passes, outcomes

SAMPLES = Path(__file__).parents[2] / "sample_models"
SHED, PULLS = SAMPLES / "generator-shed.ifc", SAMPLES / "PULLS.csv"
PLANT = first_plant()
GAP_MM = 30.0  # past the tolerance of joints, within that of near pairs
PIECES_A_KIND = 2


@pytest.fixture(scope="module")
def plant(tmp_path_factory):
    """A plant in the tidy habit, and its report."""
    path = tmp_path_factory.mktemp("plant") / "plant.ifc"
    write(PLANT, TIDY, path)
    return path, checked(path)


def spoilt(path, tmp_path, spoil):
    """Report on a model after `spoil` was done to it."""
    file = ifcopenshell.open(path)
    spoil(file)
    file.write(str(tmp_path / "spoilt.ifc"))
    return checked(tmp_path / "spoilt.ifc")


def element(file, tag):
    return next(each for each in file.by_type("IfcElement") if each.Tag == tag)


def properties_of(file, tag, name):
    for relation in element(file, tag).IsDefinedBy:
        if relation.is_a("IfcRelDefinesByProperties"):
            for each in relation.RelatingPropertyDefinition.HasProperties:
                if each.Name == name:
                    yield each


def without_property(tag, *names):
    def spoil(file):
        for name in names:
            for each in list(properties_of(file, tag, name)):
                each.Name = "Remark"
                each.NominalValue = file.create_entity("IfcLabel", "as built")

    return spoil


def with_property(tag, name, value):
    def spoil(file):
        for each in properties_of(file, tag, name):
            each.NominalValue = file.create_entity("IfcLabel", value)

    return spoil


def without_units(kind):
    def spoil(file):
        (units,) = file.by_type("IfcUnitAssignment")
        units.Units = [each for each in units.Units if each.UnitType != kind]

    return spoil


STRAIGHT = Plant(
    name="Straight pull",
    boxes=(Box(id="PB-1", inside_m=(0.3, 0.3, 0.2), frame=Frame.turned((0.0, 0.0, 0.0))),),
    routes=tuple(
        Route(
            id=run,
            trade_size_in="2",
            start=AtBox("PB-1", wall),
            end=AtPoint((at_m, 0.0, 0.0), cap=True),
        )
        for run, wall, at_m in (("R1", "-x", -2.0), ("R2", "+x", 2.0))
    ),
)  # 8 x 53 = 424 mm are more than the 300 mm there are


@pytest.mark.parametrize(
    ("spoil", "outcome"),
    [
        pytest.param(lambda _: None, "fail", id="as-it-was"),
        pytest.param(without_property("R1/S1", "TradeSize"), "fail", id="size-gone-but-drawn"),
        pytest.param(
            without_property("R1/S1", "TradeSize", "RacewayType"),
            "fail",
            id="type-gone-too-but-drawn",
        ),
        pytest.param(with_property("R1/S1", "TradeSize", '1"'), "needs-input", id="contradicted"),
        pytest.param(with_property("R1/S1", "TradeSize", "new"), "fail", id="no-size-but-drawn"),
    ],
)
def test_a_size_that_is_gone_or_contradicts_the_diameter_passes_nothing(tmp_path, spoil, outcome):
    write(STRAIGHT, TIDY, tmp_path / "whole.ifc")
    after = spoilt(tmp_path / "whole.ifc", tmp_path, spoil)
    assert outcomes(after, "straight-pull-length") == [outcome]
    assert new_passes(checked(tmp_path / "whole.ifc"), after) == []


def test_a_model_without_a_length_unit_passes_nothing(plant, tmp_path):
    path, before = plant
    after = spoilt(path, tmp_path, without_units("LENGTHUNIT"))
    assert len(after.findings) > 0
    assert [each.id for each in after.findings if each.outcome == "pass"] == []
    assert new_passes(before, after) == []


@pytest.mark.parametrize("cover", ["open", "plate", "property", "part"])
def test_a_cover_that_is_gone_passes_nothing(tmp_path, cover):
    body = {"open": "boolean", "plate": "mesh", "property": "block", "part": "assembly"}[cover]
    reports = []
    for shown in (cover, "none"):
        path = tmp_path / f"{shown}.ifc"
        write(PLANT, replace(TIDY, cover=shown, box_body=body), path)
        reports.append(checked(path))
    assert {row.enclosure.cover for row in reports[0].boxes} != {()}
    assert {row.enclosure.cover for row in reports[1].boxes} == {()}
    assert new_passes(*reports) == []


@pytest.mark.parametrize("wall", ["-x", "+x", "-y", "+y", "-z", "+z"])
def test_a_wall_that_is_gone_passes_nothing(tmp_path, wall):
    """Of boxes drawn as facets, each without the facets that look out by one of its walls."""
    path = tmp_path / "plant.ifc"
    write(PLANT, replace(TIDY, box_body="block", cover="property", unit="m"), path)
    before = checked(path)

    def spoil(file):
        for box in file.by_type("IfcJunctionBox"):
            _open_wall(file, box, wall)

    assert new_passes(before, spoilt(path, tmp_path, spoil)) == []


def _open_wall(file, box, wall):
    """Draw a block anew as five faces."""
    (solid,) = box.Representation.Representations[0].Items
    assert solid.is_a("IfcExtrudedAreaSolid")
    inside = next(each.inside_m for each in PLANT.boxes if each.id == box.Tag)
    corners = [
        tuple((-1, 1)[number >> axis & 1] * inside[axis] / 2 for axis in range(3))
        for number in range(8)
    ]
    faces = []
    for axis in range(3):
        for side in (0, 1):
            if wall == ("-", "+")[side] + "xyz"[axis]:
                continue
            own = [number for number in range(8) if number >> axis & 1 == side]
            loop = [own[0], own[1], own[3], own[2]]
            points = [file.create_entity("IfcCartesianPoint", corners[number]) for number in loop]
            bound = file.create_entity(
                "IfcFaceOuterBound",
                Bound=file.create_entity("IfcPolyLoop", points),
                Orientation=True,
            )
            faces.append(file.create_entity("IfcFace", [bound]))
    shell = file.create_entity("IfcOpenShell", faces)
    model = file.create_entity("IfcShellBasedSurfaceModel", [shell])
    box.Representation.Representations[0].Items = [model]


@pytest.mark.parametrize("tag", ["R1/S1", "R2/S1", "R3/S1", "R4/S1", "R5/S1", "R6/S1", "R9/S1"])
@pytest.mark.parametrize("by_mm", [GAP_MM, -GAP_MM])
def test_a_conduit_moved_along_itself_joins_nothing_that_it_left(plant, tmp_path, tag, by_mm):
    path, before = plant

    def move(file):
        placement = element(file, tag).ObjectPlacement.RelativePlacement
        along = placement.Axis.DirectionRatios if placement.Axis else (0.0, 0.0, 1.0)
        at = placement.Location.Coordinates
        moved = [a + by_mm * b for a, b in zip(at, along, strict=True)]
        placement.Location = file.create_entity("IfcCartesianPoint", moved)

    after = spoilt(path, tmp_path, move)
    assert new_passes(before, after) == []
    guid = guid_of(tag)
    loose = [each for each in after.findings if each.check == "run-continuity"]
    assert guid in {ref.guid for each in loose for ref in (each.subject, *each.elements)}
    for row in after.runs:
        if guid in {ref.guid for ref in row.run.elements}:
            assert row.outcome != "pass"


def test_a_conduit_that_stops_short_of_a_box_leaves_its_rows_open(tmp_path):
    """Handhole HH-10 needs input with three entries; with two of them seen it would pass."""
    path, before = SAMPLES / "yard.ifc", checked(SAMPLES / "yard.ifc")
    assert _box_outcome(before, "HH-10") == "needs-input"

    def move(file):
        conduit = element(file, "Y-11/S3")
        box = element(file, "HH-10")
        for each in (conduit, box):
            assert each.ObjectPlacement.PlacementRelTo == box.ObjectPlacement.PlacementRelTo
        placement = conduit.ObjectPlacement.RelativePlacement
        along = placement.Axis.DirectionRatios if placement.Axis else (0.0, 0.0, 1.0)
        at = placement.Location.Coordinates
        away = sum(
            (a - b) * c
            for a, b, c in zip(
                at, box.ObjectPlacement.RelativePlacement.Location.Coordinates, along, strict=True
            )
        )
        by = GAP_MM / 1000 * (1 if away > 0 else -1)
        moved = [a + by * b for a, b in zip(at, along, strict=True)]
        placement.Location = file.create_entity("IfcCartesianPoint", moved)

    after = spoilt(path, tmp_path, move)
    told = [each for each in after.findings if each.subject.tag == "HH-10"]
    assert told
    # the wall is 3 mm thick
    assert all("27.0 mm short of it" in " ".join(each.assumptions) for each in told)
    assert _box_outcome(after, "HH-10") == "needs-input"
    assert new_passes(before, after) == []


@pytest.mark.parametrize("arm", [0, 1, 2])
@pytest.mark.parametrize("is_named", [True, False], ids=["named-a-tee", "by-its-ports"])
def test_a_tee_that_lost_an_arm_lets_no_run_through(tmp_path, arm, is_named):
    """With two arms it looks like an elbow or a coupling."""

    def spoil(file):
        tee = element(file, "TEE-1")
        (body,) = tee.Representation.Representations
        assert len(body.Items) == 3
        body.Items = [each for number, each in enumerate(body.Items) if number != arm]
        if not is_named:
            tee.Name = "Conduit fitting"

    path = SAMPLES / "dome.ifc"
    before, after = checked(path), spoilt(path, tmp_path, spoil)
    through = [row for row in after.runs if "TEE-1" in {ref.tag for ref in row.run.elements}]
    assert [row.outcome for row in through] == ["needs-input"] * len(through)
    assert new_passes(before, after) == []


@pytest.mark.parametrize("ports", ["nested", "none"])
def test_a_conduit_without_a_shape_leaves_the_rows_of_its_box_open(tmp_path, ports):
    """Its ports say where it is connected; without them its placement says where it begins."""
    ends = (("R1", "-x", -2.0), ("R2", "+x", 2.0))
    three = Plant(
        name="Three entries",
        boxes=(Box(id="PB-1", inside_m=(0.6, 0.6, 0.3), frame=Frame.turned((0.0, 0.0, 0.0))),),
        routes=(
            *(
                Route(
                    id=run,
                    trade_size_in="2",
                    start=AtBox("PB-1", wall),
                    end=AtPoint((at_m, 0.0, 0.0), cap=True),
                )
                for run, wall, at_m in ends
            ),
            Route(
                id="R3",
                trade_size_in="4",
                start=AtBox("PB-1", "+y"),
                end=AtPoint((0.0, 2.0, 0.0), cap=True),
            ),
        ),
    )
    write(three, replace(TIDY, ports=ports), tmp_path / "whole.ifc")
    before = checked(tmp_path / "whole.ifc")

    def undraw(file):
        element(file, "R3/S1").Representation = None

    after = spoilt(tmp_path / "whole.ifc", tmp_path, undraw)
    assert _box_outcome(before, "PB-1") != "pass"
    assert _box_outcome(after, "PB-1") == "needs-input"
    assert new_passes(before, after) == []


def _box_outcome(report, tag):
    return next(row.outcome for row in report.boxes if row.enclosure.ref.tag == tag)


def test_no_port_connection_is_needed_and_none_that_is_gone_passes_anything(plant, tmp_path):
    path, before = plant
    relations = ifcopenshell.open(path).by_type("IfcRelConnectsPorts")
    assert len(relations) > 10
    for number in range(0, len(relations), 4):

        def cut(file, number=number):
            file.remove(file.by_type("IfcRelConnectsPorts")[number])

        after = spoilt(path, tmp_path, cut)
        assert {each.id: each.outcome for each in after.findings} == {
            each.id: each.outcome for each in before.findings
        }


def schedule_without(row, column):
    """The sample's schedule without a row, or with an empty cell in it."""
    with PULLS.open(encoding="utf-8", newline="") as handle:
        rows = list(csv.reader(handle))
    if column is None:
        del rows[row]
    else:
        rows[row][rows[0].index(column)] = ""
    return "".join(",".join(each) + "\n" for each in rows)


@pytest.mark.parametrize("column", [None, "conductor_size", "insulation", "count", "role"])
def test_what_a_schedule_no_longer_says_passes_nothing(tmp_path, column):
    before = checked(SHED, pulls=PULLS)
    lines = PULLS.read_text(encoding="utf-8").splitlines()
    for row in range(1, len(lines)):
        path = tmp_path / f"{row}.csv"
        path.write_text(schedule_without(row, column), encoding="utf-8")
        assert new_passes(before, checked(SHED, pulls=path)) == [], lines[row]


def test_without_a_schedule_nothing_passes_that_it_left_open():
    assert new_passes(checked(SHED, pulls=PULLS), checked(SHED)) == []


def pieces(text, lot):
    """Some pieces of evidence of every kind that a model holds."""
    file = ifcopenshell.file.from_string(text)
    kinds = {}
    for piece in evidence_in(file):
        kinds.setdefault((file.by_id(piece.step_id).is_a(), piece.attribute), []).append(piece)
    return [each for of_kind in kinds.values()
            for each in lot.sample(of_kind, min(len(of_kind), PIECES_A_KIND))]  # fmt: skip


def without_evidence(path, tmp_path, *, lot, pulls=None):
    """What passes wrongly when a piece of evidence is taken out of a model, for some pieces."""
    text = path.read_text(encoding="utf-8")
    before, told = checked(path, pulls=pulls), []
    chosen = pieces(text, lot)
    assert len(chosen) > 20
    for piece in chosen:
        file = ifcopenshell.file.from_string(text)
        name = piece.told(file)
        piece.take_from(file)
        spoilt_path = tmp_path / "without.ifc"
        spoilt_path.write_text(file.to_string(), encoding="utf-8")
        try:
            after = checked(spoilt_path, pulls=pulls)
        except InputFileError:
            continue  # a route of the schedule that leads nowhere is told, and nothing is checked
        told += [f"{name}: {each}" for each in new_passes(before, after)]
    return told


@pytest.mark.parametrize("habit", [TIDY, SOLID, OLD_TYPED], ids=lambda habit: habit.name)
def test_a_plant_without_a_piece_of_evidence_passes_no_more_than_with_it(habit, tmp_path):
    write(PLANT, habit, tmp_path / "plant.ifc")
    assert without_evidence(tmp_path / "plant.ifc", tmp_path, lot=Random(habit.name)) == []


@pytest.mark.parametrize(
    ("name", "pulls"),
    [
        pytest.param("yard.ifc", None, id="yard"),
        pytest.param("control-house.ifc", None, id="control-house"),
        pytest.param("dome.ifc", None, id="dome"),
        pytest.param("generator-shed.ifc", PULLS, id="shed-with-its-schedule"),
    ],
)
def test_a_sample_without_a_piece_of_evidence_passes_no_more_than_with_it(name, pulls, tmp_path):
    assert without_evidence(SAMPLES / name, tmp_path, lot=Random(name), pulls=pulls) == []


@pytest.mark.parametrize(
    ("name", "pulls", "step_id", "attribute"),
    [
        pytest.param("control-house.ifc", None, 588, "CfsFaces", id="an-inner-face-of-a-shell"),
        pytest.param("generator-shed.ifc", PULLS, 1323, "Items", id="the-body-of-a-conduit"),
    ],
)
def test_a_loss_that_leaves_little_trace_passes_nothing(name, pulls, step_id, attribute, tmp_path):
    before = checked(SAMPLES / name, pulls=pulls)
    text = (SAMPLES / name).read_text(encoding="utf-8")
    first, *others = [  # an error if none is there any more
        piece
        for piece in evidence_in(ifcopenshell.file.from_string(text))
        if (piece.step_id, piece.attribute) == (step_id, attribute)
    ]
    told = []
    for piece in (first, *others):
        file = ifcopenshell.file.from_string(text)
        piece.take_from(file)
        file.write(str(tmp_path / name))
        told += new_passes(before, checked(tmp_path / name, pulls=pulls))
    assert told == []
