"""What elements were taken for is told with its evidence, and what would help with it."""

import pytest

from modelcheck.model.settings import Select, Settings
from modelcheck.read.elements import read_elements
from modelcheck.read.ifc_file import ModelFile, open_models
from modelcheck.read.recognition import recognised_elements
from tests.builders.habits import Habit
from tests.builders.pieces import Cut
from tests.builders.scenes import first_plant
from tests.builders.write_ifc import write
from tests.unit.read.small_model import SmallModel


def rows_of(handle, *, settings=None):
    file = ModelFile(model="m.ifc", path="m.ifc", sha256="", schema=handle.schema, handle=handle)
    return recognised_elements(read_elements([file], settings or Settings()))


def only(handle, **settings):
    (row,) = rows_of(handle, settings=Settings(**settings))
    return row


def reasons(row):
    return [each.reason for each in row.shortfalls]


def drawn(tmp_path, **habit):
    path = tmp_path / "plant.ifc"
    write(first_plant(), Habit(**habit), path)
    (file,) = open_models([path])
    return file.handle


def built(tmp_path, **habit):
    return rows_of(drawn(tmp_path, **habit))


def of_kind(rows, kind):
    return [row for row in rows if row.kind == kind]


def test_conduit_and_boxes_tell_what_each_of_their_facts_rests_on(tmp_path):
    rows = built(tmp_path, cover="property")
    segments, boxes = of_kind(rows, "segment"), of_kind(rows, "box")
    assert {(row.kind_from, row.ends_from) for row in segments} == {("predefined type", "body")}
    assert {(row.size_from, row.size.known) for row in segments} == {("property", True)}
    assert {(row.ends, *row.shortfalls) for row in segments} == {(2,)}
    assert len(boxes) == 4
    evidence = {(row.kind_from, row.size_from, row.cover_from) for row in boxes}
    assert evidence == {("class", "body", "property")}


@pytest.mark.parametrize(
    ("habit", "kind", "evidence"),
    [
        pytest.param({"element_class": "carrier-typed"}, "segment", {"type"}, id="type"),
        pytest.param({"element_class": "proxy"}, "segment", {"name"}, id="name"),
        pytest.param({"box_class": "terminal"}, "box", {"type"}, id="typed-box"),
    ],
)
def test_the_evidence_is_what_the_model_says(tmp_path, habit, kind, evidence):
    assert {row.kind_from for row in of_kind(built(tmp_path, **habit), kind)} == evidence


def test_ends_that_only_an_axis_tells_are_said_to_rest_on_it(tmp_path):
    rows = built(tmp_path, segment_body="axis", cut=Cut())
    assert {row.ends_from for row in of_kind(rows, "segment")} == {"axis"}


def test_walls_are_no_rows_and_trays_are_told_to_be_no_conduit(tmp_path):
    rows = built(tmp_path, strangers=True)
    assert "IfcWall" not in {row.ref.ifc_class for row in rows}
    (tray,) = of_kind(rows, "not-conduit")
    assert (tray.kind_from, tray.is_understood) == ("predefined type", True)


def test_rows_stand_by_code_point_of_their_globalid(tmp_path):
    guids = [row.ref.guid for row in built(tmp_path, reverse=True)]
    assert guids == sorted(guids)


def test_conduit_that_is_not_drawn_is_not_understood_and_told_what_to_draw():
    model = SmallModel()
    model.element("IfcCableCarrierSegment", "C-1", PredefinedType="CONDUITSEGMENT")
    row = only(model.file)
    assert (row.kind, row.is_understood, row.ends) == ("segment", False, None)
    assert reasons(row) == ["it is drawn with no body, axis or bounding box"]
    assert "swept circle" in row.shortfalls[0].remedy


def test_a_segment_of_no_trade_is_not_understood_and_told_the_type_to_give():
    model = SmallModel("IFC2X3")
    model.element("IfcFlowSegment", "S-1")
    row = only(model.file)
    assert (row.kind, row.kind_from, row.is_understood) == ("not-conduit", "none", False)
    assert "CONDUITSEGMENT" in row.shortfalls[0].remedy


def test_fittings_of_no_trade_that_meet_no_conduit_are_told(tmp_path):
    habit = {"schema": "IFC2X3", "element_class": "flow-untyped", "box_class": "proxy"}
    handle = drawn(tmp_path, size="name", ports="relation", **habit)
    pieces = [*handle.by_type("IfcFlowFitting"), *handle.by_type("IfcFlowSegment")]
    for piece in pieces:
        piece.Name = "Item"
        for relation in piece.IsDefinedBy:
            handle.remove(relation)
    refused = [row for row in rows_of(handle) if not row.is_understood]
    assert {row.ref.guid for row in refused} == {piece.GlobalId for piece in pieces}
    assert {row.kind for row in refused} <= {"not-conduit", "equipment"}


def test_a_box_without_a_body_lacks_its_inside_size_and_its_cover():
    model = SmallModel()
    model.element("IfcJunctionBox", "PB-1")
    row = only(model.file)
    assert (row.kind, row.kind_from, row.is_understood) == ("box", "class", True)
    assert reasons(row) == ["its inside size is not known", "its cover is not known"]


def test_a_box_by_its_tag_alone_is_said_to_hang_on_its_conduit():
    model = SmallModel()
    model.element("IfcBuildingElementProxy", "PB-7")
    row = only(model.file)
    assert row.kind == "box"
    assert "it is a box only if a conduit enters it" in reasons(row)


def test_a_conduit_body_asks_for_its_marking_and_no_cover():
    model = SmallModel()
    model.element("IfcJunctionBox", "Conduit body LB 2 in")
    row = only(model.file)
    assert row.kind == "conduit-body"
    assert reasons(row) == ["the shell of a conduit body is not measured"]


def test_what_the_settings_select_is_said_to_be_selected():
    model = SmallModel()
    model.element("IfcFlowTerminal", "T-1")
    row = only(model.file, select=Select(box="IfcFlowTerminal"))
    assert (row.kind, row.kind_from) == ("box", "select")


def test_what_one_piece_of_evidence_overrules_is_said():
    model = SmallModel()
    model.element("IfcCableCarrierSegment", "Conduit C-1", PredefinedType="CABLETRAYSEGMENT")
    row = only(model.file)
    assert (row.kind, row.is_understood) == ("not-conduit", False)
    assert "CABLETRAYSEGMENT" in reasons(row)[0]


def test_a_size_that_the_body_contradicts_is_told(tmp_path):
    handle = drawn(tmp_path)
    sizes = [each for each in handle.by_type("IfcPropertySingleValue") if each.Name == "TradeSize"]
    sizes = [each.NominalValue for each in sizes if each.NominalValue.wrappedValue == '3"']
    sizes[0].wrappedValue = '4"'  # the body of one of the 3 in conduits stays
    told = [reasons(row) for row in rows_of(handle) if row.shortfalls and row.kind == "segment"]
    assert len(told) == 1
    assert "4" in told[0][0]
