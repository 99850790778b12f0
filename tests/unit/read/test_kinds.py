import pytest

from modelcheck.model.settings import Select, Settings
from modelcheck.read.kinds import Recogniser
from modelcheck.read.properties import Properties
from modelcheck.read.recognised import Kind
from tests.unit.read.small_model import SCHEMAS, SmallModel

NEW_SCHEMAS = ("IFC4", "IFC4X3")


def kind_of(model: SmallModel, element, **select: str):
    settings = Settings(select=Select(**select))
    return Recogniser(model.file, Properties(model.file), settings).kind_of(element)


@pytest.mark.parametrize("schema", NEW_SCHEMAS)
def test_a_conduit_segment_is_told_by_the_predefined_type_of_the_occurrence(schema):
    model = SmallModel(schema)
    element = model.element("IfcCableCarrierSegment", "X", PredefinedType="CONDUITSEGMENT")
    found = kind_of(model, element)
    assert (found.kind, found.evidence, found.only_if) == (Kind.SEGMENT, "predefined type", "")


@pytest.mark.parametrize("predefined", [None, "NOTDEFINED"])
@pytest.mark.parametrize("schema", NEW_SCHEMAS)
def test_or_by_that_of_the_type(schema, predefined):
    model = SmallModel(schema)
    element = model.element("IfcCableCarrierSegment", "X", PredefinedType=predefined)
    model.typed(element, "IfcCableCarrierSegmentType", "Y", PredefinedType="CONDUITSEGMENT")
    found = kind_of(model, element)
    assert (found.kind, found.evidence) == (Kind.SEGMENT, "type")


@pytest.mark.parametrize("schema", SCHEMAS)
@pytest.mark.parametrize(
    ("ifc_class", "type_class", "predefined", "kind"),
    [
        ("IfcFlowSegment", "IfcCableCarrierSegmentType", "CONDUITSEGMENT", Kind.SEGMENT),
        ("IfcFlowFitting", "IfcCableCarrierFittingType", "BEND", Kind.FITTING),
        ("IfcFlowFitting", "IfcJunctionBoxType", "NOTDEFINED", Kind.BOX),
        ("IfcFlowController", "IfcJunctionBoxType", "NOTDEFINED", Kind.BOX),
        ("IfcFlowTerminal", "IfcJunctionBoxType", "NOTDEFINED", Kind.BOX),
        ("IfcFlowSegment", "IfcCableSegmentType", "CABLESEGMENT", Kind.CABLE),
        ("IfcFlowSegment", "IfcCableCarrierSegmentType", "CABLETRAYSEGMENT", Kind.NOT_CONDUIT),
        ("IfcFlowSegment", "IfcPipeSegmentType", "RIGIDSEGMENT", Kind.NOT_CONDUIT),
        ("IfcFlowFitting", "IfcDuctFittingType", "BEND", Kind.NOT_CONDUIT),
    ],
)
def test_the_class_of_the_type_tells_what_a_generic_occurrence_is(
    schema, ifc_class, type_class, predefined, kind
):
    model = SmallModel(schema)
    element = model.element(ifc_class, "X-1")
    model.typed(element, type_class, "Y", PredefinedType=predefined)
    found = kind_of(model, element)
    assert (found.kind, found.evidence) == (kind, "type")


@pytest.mark.parametrize("schema", SCHEMAS)
@pytest.mark.parametrize(
    ("ifc_class", "name", "kind"),
    [
        ("IfcFlowSegment", "Conduit C-101", Kind.SEGMENT),
        ("IfcFlowFitting", "Conduit elbow E-1", Kind.FITTING),
        ("IfcFlowFitting", 'EMT 2"', Kind.FITTING),
        ("IfcFlowFitting", "Conduit Body - LB", Kind.CONDUIT_BODY),
        ("IfcFlowFitting", "LB", Kind.CONDUIT_BODY),
        ("IfcFlowFitting", "Conduit cap", Kind.CAP),
        ("IfcFlowFitting", "Pull box PB-1", Kind.BOX),
        ("IfcFlowTerminal", "Junction Box 4x4", Kind.BOX),
        ("IfcBuildingElementProxy", "Conduit C-101", Kind.SEGMENT),
        ("IfcBuildingElementProxy", "EMT coupling", Kind.FITTING),
        ("IfcBuildingElementProxy", "Conduit support", Kind.OTHER),
        ("IfcBuildingElementProxy", "Junction box cover", Kind.OTHER),
        ("IfcBuildingElementProxy", "Pull box for conduit", Kind.BOX),
        ("IfcBuildingElementProxy", "Cable tray", Kind.NOT_CONDUIT),
        ("IfcBuildingElementProxy", "Wireway 6x6", Kind.WIREWAY),
        ("IfcBuildingElementProxy", "Air handler", Kind.EQUIPMENT),
        ("IfcBuildingElementProxy", "Elbow", Kind.EQUIPMENT),
        ("IfcFlowSegment", "Pipe Types:Standard", Kind.NOT_CONDUIT),
        ("IfcFlowTerminal", "Sink", Kind.EQUIPMENT),
        ("IfcEnergyConversionDevice", "Transformer", Kind.EQUIPMENT),
        ("IfcDiscreteAccessory", "Conduit locknut", Kind.FITTING),
        ("IfcDiscreteAccessory", "Base plate", Kind.OTHER),
        ("IfcElementAssembly", "Pull Box PB-1", Kind.BOX),
        ("IfcElementAssembly", "Conduit rack", Kind.OTHER),
        ("IfcWallStandardCase", "Wall", Kind.OTHER),
    ],
)
def test_names_tell_where_no_class_does(schema, ifc_class, name, kind):
    model = SmallModel(schema)
    found = kind_of(model, model.element(ifc_class, name))
    assert found.kind == kind
    assert found.only_if == ""


@pytest.mark.parametrize("schema", NEW_SCHEMAS)
@pytest.mark.parametrize(
    ("ifc_class", "name", "kind"),
    [
        ("IfcJunctionBox", "X", Kind.BOX),
        ("IfcJunctionBox", "Junction Box - Screw Cover", Kind.BOX),
        ("IfcJunctionBox", "Conduit Body LB", Kind.CONDUIT_BODY),
        ("IfcCableCarrierFitting", "X", Kind.FITTING),
        ("IfcCableCarrierFitting", 'Conduit Body - Type T 2"', Kind.CONDUIT_BODY),
        ("IfcCableCarrierFitting", "LL-EMT", Kind.CONDUIT_BODY),
        ("IfcCableCarrierFitting", "Junction Box", Kind.BOX),
        ("IfcCableCarrierFitting", "Conduit plug", Kind.CAP),
        ("IfcCableCarrierFitting", "C-101", Kind.FITTING),
        ("IfcCableCarrierFitting", "Conduit strap", Kind.OTHER),
        ("IfcCableCarrierFitting", "Cable tray elbow", Kind.NOT_CONDUIT),
        ("IfcCableSegment", "Feeder", Kind.CABLE),
        ("IfcCableFitting", "Connector", Kind.FITTING),
        ("IfcElectricDistributionBoard", "LP-1", Kind.EQUIPMENT),
        ("IfcTransformer", "T-1", Kind.EQUIPMENT),
        ("IfcOutlet", "Duplex Receptacle", Kind.EQUIPMENT),
        ("IfcOutlet", "Floor box", Kind.BOX),
        ("IfcPipeSegment", "Copper pipe", Kind.NOT_CONDUIT),
        ("IfcPipeSegment", "EMT conduit", Kind.SEGMENT),
        ("IfcPipeFitting", "EMT conduit elbow", Kind.FITTING),
        ("IfcPipeSegment", "Conduit d'eau", Kind.NOT_CONDUIT),
        ("IfcDuctSegment", "Conduit rectangulaire", Kind.NOT_CONDUIT),
        ("IfcAirTerminal", "Diffuser", Kind.EQUIPMENT),
        ("IfcDistributionChamberElement", "Handhole HH-1", Kind.BOX),
    ],
)
def test_classes_and_names_together_tell_the_kind(schema, ifc_class, name, kind):
    model = SmallModel(schema)
    found = kind_of(model, model.element(ifc_class, name))
    assert found.kind == kind
    assert found.only_if == ""


@pytest.mark.parametrize("schema", NEW_SCHEMAS)
@pytest.mark.parametrize(
    "predefined", ["CABLETRAYSEGMENT", "CABLELADDERSEGMENT", "CABLETRUNKINGSEGMENT"]
)
def test_tray_ladder_and_trunking_are_no_conduit_whatever_their_name(schema, predefined):
    model = SmallModel(schema)
    element = model.element("IfcCableCarrierSegment", "EMT conduit", PredefinedType=predefined)
    found = kind_of(model, element)
    assert found.kind == Kind.NOT_CONDUIT
    assert predefined in found.reason
    assert found.remedy


def test_trunking_that_is_named_a_wireway_is_one():
    model = SmallModel()
    element = model.element(
        "IfcCableCarrierSegment", "Wireway 6x6", PredefinedType="CABLETRUNKINGSEGMENT"
    )
    assert kind_of(model, element).kind == Kind.WIREWAY


@pytest.mark.parametrize(
    ("name", "kind", "only_if"),
    [
        pytest.param("Conduit 12", Kind.SEGMENT, "", id="conduit"),
        pytest.param("Cable tray 300", Kind.NOT_CONDUIT, "", id="tray"),
        pytest.param("Pull box", Kind.BOX, "", id="box"),
        pytest.param("CC-101", Kind.SEGMENT, "round", id="tag"),
        pytest.param(None, Kind.SEGMENT, "round", id="no name"),
    ],
)
def test_a_carrier_without_predefined_type_is_told_by_its_name_or_left_to_its_shape(
    name, kind, only_if
):
    model = SmallModel()
    element = model.element("IfcCableCarrierSegment", name, PredefinedType="NOTDEFINED")
    found = kind_of(model, element)
    assert (found.kind, found.only_if) == (kind, only_if)
    assert found.otherwise == (Kind.NOT_CONDUIT if only_if else Kind.EQUIPMENT)


def test_a_user_defined_carrier_is_told_by_its_object_type():
    model = SmallModel()
    element = model.element(
        "IfcCableCarrierSegment", "S-1", PredefinedType="USERDEFINED", ObjectType="CONDUIT"
    )
    assert kind_of(model, element).kind == Kind.SEGMENT


def test_a_user_defined_type_is_told_by_its_element_type():
    model = SmallModel()
    element = model.element("IfcCableCarrierSegment", "S-1")
    model.typed(
        element,
        "IfcCableCarrierSegmentType",
        "Standard",
        PredefinedType="USERDEFINED",
        ElementType="EMT CONDUIT",
    )
    assert kind_of(model, element).kind == Kind.SEGMENT


def test_the_predefined_type_of_a_conduit_stands_before_its_name():
    model = SmallModel()
    element = model.element(
        "IfcCableCarrierSegment", "Pull box 3 - pull box 4", PredefinedType="CONDUITSEGMENT"
    )
    assert kind_of(model, element).kind == Kind.SEGMENT


def test_the_description_tells_only_where_no_name_does():
    model = SmallModel()
    bare = model.element("IfcBuildingElementProxy", "X-1", Description="Junction box")
    named = model.element("IfcBuildingElementProxy", "Conduit", Description="Junction box")
    assert kind_of(model, bare).kind == Kind.BOX
    assert kind_of(model, named).kind == Kind.SEGMENT


def test_a_connector_that_is_classed_a_junction_box_is_no_pull_point():
    model = SmallModel()
    found = kind_of(model, model.element("IfcJunctionBox", "Junction box connector"))
    assert found.kind == Kind.FITTING
    assert "connector" in found.reason


def test_a_cover_that_is_classed_a_junction_box_is_a_box_only_if_conduit_enters_it():
    model = SmallModel()
    found = kind_of(model, model.element("IfcJunctionBox", "Junction box cover"))
    assert (found.kind, found.only_if, found.otherwise) == (Kind.BOX, "entered", Kind.OTHER)


@pytest.mark.parametrize("schema", SCHEMAS)
def test_a_manhole_is_a_box_only_if_conduit_enters_it(schema):
    model = SmallModel(schema)
    chamber = model.element("IfcDistributionChamberElement", "MH-3")
    named = model.element("IfcBuildingElementProxy", "Manhole 3")
    assembly = model.element("IfcElementAssembly", "Sewer manhole")
    for element in (chamber, named, assembly):
        found = kind_of(model, element)
        assert (found.kind, found.only_if) == (Kind.BOX, "entered")


def test_a_sump_is_no_box():
    model = SmallModel()
    sump = model.element("IfcDistributionChamberElement", "S-1", PredefinedType="SUMP")
    assert kind_of(model, sump).kind == Kind.EQUIPMENT


def test_a_bare_tag_makes_a_box_only_if_conduit_enters_it():
    model = SmallModel()
    found = kind_of(model, model.element("IfcBuildingElementProxy", "PB-3"))
    assert (found.kind, found.only_if, found.otherwise) == (Kind.BOX, "entered", Kind.EQUIPMENT)


@pytest.mark.parametrize("schema", SCHEMAS)
def test_a_segment_that_nothing_names_is_told_with_a_remedy(schema):
    model = SmallModel(schema)
    found = kind_of(model, model.element("IfcFlowSegment", "C-101"))
    assert (found.kind, found.evidence) == (Kind.NOT_CONDUIT, "none")
    assert found.reason
    assert "[select]" in found.remedy


@pytest.mark.parametrize("schema", SCHEMAS)
def test_a_fitting_that_nothing_names_is_one_only_if_joined_to_conduit(schema):
    model = SmallModel(schema)
    found = kind_of(model, model.element("IfcFlowFitting", "E-101"))
    assert (found.kind, found.only_if) == (Kind.FITTING, "joined")


@pytest.mark.parametrize("schema", SCHEMAS)
@pytest.mark.parametrize(
    ("ifc_class", "kind"),
    [
        ("IfcFlowSegment", Kind.SEGMENT),
        ("IfcFlowFitting", Kind.FITTING),
        ("IfcBuildingElementProxy", Kind.SEGMENT),
    ],
)
def test_a_property_set_of_conduit_tells_what_no_name_does(schema, ifc_class, kind):
    model = SmallModel(schema)
    element = model.element(ifc_class, "X-101")
    model.pset(element, "Conduit data", {"TradeSize": ("IfcLabel", '2"')})
    found = kind_of(model, element)
    assert (found.kind, found.evidence) == (kind, "set")
    assert found.only_if == ("round" if ifc_class == "IfcBuildingElementProxy" else "")


def test_an_unnamed_carrier_fitting_is_doubted_only_where_there_are_trays():
    model = SmallModel()
    fitting = model.element("IfcCableCarrierFitting", "F-1", PredefinedType="BEND")
    assert kind_of(model, fitting).only_if == ""
    model.element("IfcCableCarrierSegment", "T-1", PredefinedType="CABLETRAYSEGMENT")
    assert kind_of(model, fitting).only_if == "joined"


@pytest.mark.parametrize("schema", SCHEMAS)
def test_parts_of_a_box_are_neither_boxes_nor_fittings(schema):
    model = SmallModel(schema)
    box = model.element("IfcElementAssembly", "Pull box PB-1")
    plate = model.element("IfcPlate", "Back")
    inner = model.element("IfcBuildingElementProxy", "Junction box shell")
    nested = model.element("IfcElementAssembly", "Door")
    knob = model.element("IfcBuildingElementProxy", "Conduit locknut")
    model.aggregate(box, [plate, inner, nested])
    model.aggregate(nested, [knob])
    assert kind_of(model, box).kind == Kind.BOX
    assert {kind_of(model, part).kind for part in (plate, inner, nested, knob)} == {Kind.PART}


def test_an_assembly_of_conduits_leaves_them_conduits():
    model = SmallModel()
    rack = model.element("IfcElementAssembly", "Module 3")
    conduit = model.element("IfcCableCarrierSegment", PredefinedType="CONDUITSEGMENT")
    box = model.element("IfcJunctionBox", "JB")
    model.aggregate(rack, [conduit, box])
    assert kind_of(model, rack).kind == Kind.OTHER
    assert kind_of(model, conduit).kind == Kind.SEGMENT
    assert kind_of(model, box).kind == Kind.BOX


def test_an_unnamed_assembly_of_one_box_and_its_plates_is_the_box():
    model = SmallModel()
    whole = model.element("IfcElementAssembly", "A-7")
    box, lid = model.element("IfcJunctionBox", "JB"), model.element("IfcPlate", "Lid")
    model.aggregate(whole, [box, lid])
    assert kind_of(model, whole).kind == Kind.BOX
    assert kind_of(model, box).kind == Kind.PART
    assert kind_of(model, lid).kind == Kind.PART


def test_assemblies_in_a_circle_end():
    model = SmallModel()
    one, other = model.element("IfcElementAssembly", "A"), model.element("IfcElementAssembly", "B")
    model.aggregate(one, [other])
    model.aggregate(other, [one])
    assert kind_of(model, one).kind == Kind.OTHER


@pytest.mark.parametrize("schema", SCHEMAS)
def test_a_beam_that_is_named_conduit_is_told_and_left_out(schema):
    model = SmallModel(schema)
    found = kind_of(model, model.element("IfcBeam", "EMT Conduit"))
    assert found.kind == Kind.OTHER
    assert "IfcBeam" in found.reason


@pytest.mark.parametrize("schema", SCHEMAS)
def test_openings_spaces_and_ports_are_nothing_to_conduit(schema):
    model = SmallModel(schema)
    for ifc_class in ("IfcOpeningElement", "IfcSpace", "IfcDistributionPort", "IfcAnnotation"):
        assert kind_of(model, model.element(ifc_class, "Conduit")).kind == Kind.OTHER


@pytest.mark.parametrize("schema", SCHEMAS)
def test_a_selection_replaces_the_recognition_of_its_kind_and_of_no_other(schema):
    model = SmallModel(schema)
    pipe, sink = model.element("IfcFlowSegment", "Pipe"), model.element("IfcFlowTerminal", "Sink")
    elbow = model.element("IfcFlowFitting", "Conduit elbow")
    chosen = {"conduit": 'IfcFlowSegment, Name="Pipe"', "box": "IfcFlowTerminal"}
    other = model.element("IfcFlowSegment", "EMT conduit")
    kinds = [kind_of(model, each, **chosen) for each in (pipe, sink, elbow, other)]
    assert [found.kind for found in kinds] == [
        Kind.SEGMENT,
        Kind.BOX,
        Kind.FITTING,
        Kind.EQUIPMENT,
    ]
    assert [found.evidence for found in kinds] == ["select", "select", "name", "select"]


def test_an_element_that_two_selections_name_is_the_box():
    model = SmallModel()
    element = model.element("IfcFlowFitting", "X")
    assert kind_of(model, element, fitting="IfcFlowFitting", box="IfcFlowFitting").kind == Kind.BOX


def test_a_selected_fitting_that_is_named_a_cap_is_one():
    model = SmallModel()
    element = model.element("IfcFlowFitting", "Cap - Generic")
    assert kind_of(model, element, fitting="IfcFlowFitting").kind == Kind.CAP


def test_a_selected_box_that_is_named_a_conduit_body_is_one():
    model = SmallModel()
    element = model.element("IfcFlowFitting", "Conduit Body - LB")
    assert kind_of(model, element, box="IfcFlowFitting").kind == Kind.CONDUIT_BODY


def test_a_selection_that_finds_nothing_leaves_nothing_of_its_kind():
    model = SmallModel()
    element = model.element("IfcCableCarrierSegment", PredefinedType="CONDUITSEGMENT")
    assert kind_of(model, element, conduit="IfcPump").kind == Kind.EQUIPMENT


def test_a_wireway_is_a_box_if_the_settings_select_it():
    model = SmallModel()
    element = model.element(
        "IfcCableCarrierSegment", "Wireway", PredefinedType="CABLETRUNKINGSEGMENT"
    )
    found = kind_of(model, element, box="IfcCableCarrierSegment")
    assert (found.kind, found.is_wireway) == (Kind.BOX, True)
