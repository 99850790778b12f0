import ifcopenshell
import pytest

from modelcheck.read.properties import Properties, setting_of
from tests.unit.read.small_model import SCHEMAS, UNITS_M, SmallModel

LENGTH = "IfcPositiveLengthMeasure"


def segment(model: SmallModel, name: str = "C-1"):
    return model.element("IfcFlowSegment", name)


def only(model: SmallModel, element, name: str):
    values = [
        value for (_, key), value in Properties(model.file).of(element).items() if key == name
    ]
    assert len(values) == 1
    return values[0]


@pytest.mark.parametrize("schema", SCHEMAS)
@pytest.mark.parametrize("unit", UNITS_M)
def test_a_length_is_read_in_metres_whatever_the_unit_of_the_project(schema, unit):
    model = SmallModel(schema, unit)
    element = segment(model)
    model.pset(element, "Conduit", {"Size": (LENGTH, 0.053 / UNITS_M[unit])})
    value = only(model, element, "Size")
    assert value.kind == "length"
    assert value.value == pytest.approx(0.053)
    assert value.label == "Conduit.Size"


@pytest.mark.parametrize("schema", SCHEMAS)
def test_the_unit_of_a_property_stands_before_that_of_the_project(schema):
    model = SmallModel(schema, "m")
    element = segment(model)
    inch = model.unit("in")
    model.pset(element, "Conduit", [model.value("Size", (LENGTH, 2.0), inch)])
    assert only(model, element, "Size").value == pytest.approx(0.0508)


def test_a_plain_number_with_a_length_unit_is_a_length():
    model = SmallModel("IFC4", "m")
    element = segment(model)
    model.pset(element, "Conduit", [model.value("Size", ("IfcReal", 2.0), model.unit("in"))])
    value = only(model, element, "Size")
    assert (value.kind, value.value) == ("length", pytest.approx(0.0508))


@pytest.mark.parametrize("unit", UNITS_M)
@pytest.mark.parametrize(
    ("name", "measure"),
    [
        pytest.param("Nominal Diameter [mm]", ("IfcReal", 53.0), id="brackets"),
        pytest.param("Nominal Diameter (mm)", ("IfcLabel", "53"), id="parentheses"),
        pytest.param("NominalDiameter_[cm]", ("IfcReal", 5.3), id="centimetres"),
        pytest.param("Nominal Diameter [m]", ("IfcReal", 0.053), id="metres"),
        pytest.param("Nominal Diameter (in.)", ("IfcLabel", "2 1/12"), id="fraction"),
    ],
)
def test_a_plain_number_is_in_the_unit_that_its_name_ends_with(unit, name, measure):
    model = SmallModel("IFC4", unit)
    element = segment(model)
    model.pset(element, "Conduit", {name: measure})
    (value,) = Properties(model.file).find(element, {"nominaldiameter": 0})
    assert (value.kind, value.value) == ("length", pytest.approx(0.053, abs=1e-4))


@pytest.mark.parametrize(
    ("name", "measure", "kind"),
    [
        pytest.param("Size [mm]", ("IfcLabel", '2"'), "text", id="a-unit-of-its-own"),
        pytest.param("Size (trade)", ("IfcReal", 2.0), "number", id="no-unit"),
        pytest.param("Size [mm]", (LENGTH, 53.0), "length", id="a-length"),
    ],
)
def test_a_unit_in_a_name_changes_no_value_but_a_plain_number(name, measure, kind):
    model = SmallModel("IFC4", "mm")
    element = segment(model)
    model.pset(element, "Conduit", {name: measure})
    value = only(model, element, name)
    assert value.kind == kind
    assert kind != "length" or value.value == pytest.approx(0.053)


@pytest.mark.parametrize(
    ("measure", "kind"),
    [
        pytest.param(("IfcReal", 2.0), "number", id="real"),
        pytest.param(("IfcInteger", 2), "number", id="integer"),
        pytest.param(("IfcLabel", "2"), "text", id="label"),
        pytest.param(("IfcIdentifier", "2"), "text", id="identifier"),
        pytest.param(("IfcBoolean", True), "flag", id="boolean"),
        pytest.param(("IfcAreaMeasure", 2.0), "measure", id="area"),
        pytest.param(("IfcPlaneAngleMeasure", 2.0), "measure", id="angle"),
    ],
)
def test_the_kind_of_a_value_is_that_of_its_measure(measure, kind):
    model = SmallModel()
    element = segment(model)
    model.pset(element, "Conduit", {"Size": measure})
    assert only(model, element, "Size").kind == kind


@pytest.mark.parametrize("schema", SCHEMAS)
def test_the_occurrence_hides_the_same_property_of_its_type(schema):
    model = SmallModel(schema)
    element = segment(model)
    of_type = model.typed(element, "IfcCableCarrierSegmentType", PredefinedType="CONDUITSEGMENT")
    model.pset(of_type, "Conduit", {"Size": ("IfcLabel", '3"'), "Make": ("IfcLabel", "EMT")})
    model.pset(element, "Conduit", {"Size": ("IfcLabel", '2"')})
    values = Properties(model.file).of(element)
    assert values["Conduit", "Size"].value == '2"'
    assert values["Conduit", "Size"].source == "occurrence"
    assert values["Conduit", "Make"].source == "type"


def test_an_empty_property_of_the_occurrence_hides_nothing():
    model = SmallModel()
    element = segment(model)
    of_type = model.typed(element, "IfcCableCarrierSegmentType", PredefinedType="CONDUITSEGMENT")
    model.pset(of_type, "Conduit", {"Size": ("IfcLabel", '3"')})
    model.pset(element, "Conduit", {"Size": ("IfcLabel", " ")})
    assert Properties(model.file).of(element)["Conduit", "Size"].value == '3"'


def test_several_sets_that_one_relation_gives_are_all_read():
    model = SmallModel()
    element = segment(model)
    for name, value in (("Conduit", "EMT"), ("Raceway", "RMC")):
        model.pset(element, name, {"Make": ("IfcLabel", value)})
    first, second = model.file.by_type("IfcRelDefinesByProperties")
    sets = [each.RelatingPropertyDefinition.id() for each in (first, second)]
    model.file.remove(second)
    one, both = f"#{sets[0]});", "IFCPROPERTYSETDEFINITIONSET((#{},#{})));".format(*sets)
    file = ifcopenshell.file.from_string(model.file.to_string().replace(one, both))
    assert "IFCPROPERTYSETDEFINITIONSET" in file.to_string()
    properties, element = Properties(file), file.by_id(element.id())
    values = properties.of(element)
    assert {key[0]: each.value for key, each in values.items()} == {
        "Conduit": "EMT",
        "Raceway": "RMC",
    }
    assert dict(properties.misfits.why) == {}


def test_sets_of_an_earlier_check_are_no_evidence():
    model = SmallModel()
    element = segment(model)
    model.pset(element, "RacewayCheck_Run", {"TradeSize": ("IfcLabel", "6")})
    properties = Properties(model.file)
    assert not properties.of(element)
    assert list(properties.set_names(element)) == []


@pytest.mark.parametrize("schema", SCHEMAS)
def test_lists_enumerations_and_bounds_give_all_their_values(schema):
    model = SmallModel(schema)
    element = segment(model)
    lengths = [model.make(LENGTH, wrappedValue=size) for size in (53.0, 27.0)]
    labels = [model.make("IfcLabel", wrappedValue=text) for text in ("EMT", "RMC")]
    model.pset(
        element,
        "Conduit",
        [
            model.make("IfcPropertyListValue", Name="List", ListValues=lengths),
            model.make("IfcPropertyEnumeratedValue", Name="Choice", EnumerationValues=labels),
            model.make(
                "IfcPropertyBoundedValue",
                Name="Bounds",
                UpperBoundValue=lengths[0],
                LowerBoundValue=lengths[1],
            ),
        ],
    )
    assert only(model, element, "List").values == pytest.approx((0.053, 0.027))
    assert only(model, element, "Choice").values == ("EMT", "RMC")
    assert only(model, element, "Bounds").values == pytest.approx((0.027, 0.053))


@pytest.mark.parametrize("schema", ["IFC4", "IFC4X3"])
def test_the_set_point_of_a_bounded_value_is_its_value(schema):
    model = SmallModel(schema)
    element = segment(model)
    low, point, high = (model.make(LENGTH, wrappedValue=size) for size in (50.0, 53.0, 60.0))
    bounded = model.make(
        "IfcPropertyBoundedValue",
        Name="Size",
        UpperBoundValue=high,
        LowerBoundValue=low,
        SetPointValue=point,
    )
    model.pset(element, "Conduit", [bounded])
    assert only(model, element, "Size").values == pytest.approx((0.053,))


def test_properties_inside_complex_ones_are_read_too():
    model = SmallModel()
    element = segment(model)
    inner = model.value("Size", ("IfcLabel", '2"'))
    outer = model.make(
        "IfcComplexProperty", Name="Make", UsageName="conduit", HasProperties=[inner]
    )
    model.pset(element, "Conduit", [outer])
    assert only(model, element, "Size").value == '2"'


@pytest.mark.parametrize("schema", SCHEMAS)
def test_quantities_of_length_are_read_and_marked(schema):
    model = SmallModel(schema)
    element = segment(model)
    length = model.make("IfcQuantityLength", Name="Length", LengthValue=3000.0)
    quantities = model.root("IfcElementQuantity", Name="Qto", Quantities=[length])
    model.root(
        "IfcRelDefinesByProperties",
        RelatedObjects=[element],
        RelatingPropertyDefinition=quantities,
    )
    value = only(model, element, "Length")
    assert (value.value, value.is_quantity) == (pytest.approx(3.0), True)


def test_names_are_found_by_letters_and_digits_in_order_of_rank():
    model = SmallModel()
    element = segment(model)
    model.pset(element, "B", {"nominal diameter": (LENGTH, 53.0)})
    model.pset(element, "A", {"Trade Size": ("IfcLabel", '2"'), "Other": ("IfcLabel", "x")})
    found = Properties(model.file).find(element, {"tradesize": 0, "nominaldiameter": 1})
    assert [value.label for value in found] == ["A.Trade Size", "B.nominal diameter"]


def test_the_order_of_the_sets_changes_nothing():
    answers = set()
    for sets in (("A", "B"), ("B", "A")):
        model = SmallModel()
        element = segment(model)
        for name in sets:
            model.pset(element, name, {"Size": ("IfcLabel", name)})
        found = Properties(model.file).find(element, {"size": 0})
        answers.add(tuple(value.value for value in found))
    assert answers == {("A", "B")}


@pytest.mark.parametrize("schema", SCHEMAS)
def test_systems_are_told_and_zones_are_not(schema):
    model = SmallModel(schema)
    element = segment(model)
    model.system("Fire alarm", [element])
    model.system("Power", [element])
    model.system("Level 2", [element], "IfcZone")
    assert Properties(model.file).system_of(element) == "Fire alarm;Power"


def test_a_property_names_the_system_of_an_element_that_is_in_none():
    model = SmallModel()
    element = segment(model)
    model.pset(element, "Electrical", {"System Name": ("IfcLabel", "Lighting")})
    assert Properties(model.file).system_of(element) == "Lighting"


@pytest.mark.parametrize("schema", SCHEMAS)
def test_parts_know_their_assembly_and_a_storey_is_none(schema):
    model = SmallModel(schema)
    box, plate = model.element("IfcElementAssembly", "PB-1"), model.element("IfcPlate")
    storey = model.root("IfcBuildingStorey", Name="L1")
    model.aggregate(box, [plate])
    model.aggregate(storey, [box])
    properties = Properties(model.file)
    assert properties.parts_of(box) == (plate,)
    assert properties.assembly_of(plate) == box
    assert properties.assembly_of(box) is None


@pytest.mark.parametrize("schema", SCHEMAS)
def test_materials_of_the_occurrence_stand_before_those_of_the_type(schema):
    model = SmallModel(schema)
    element = segment(model)
    of_type = model.typed(element, "IfcCableCarrierSegmentType", PredefinedType="CONDUITSEGMENT")
    model.material(of_type, "PVC")
    model.material(element, "Steel")
    assert Properties(model.file).materials_of(element) == ("Steel", "PVC")


def test_settings_name_an_element_by_global_id_tag_or_name():
    model = SmallModel()
    element = model.element("IfcFlowSegment", "C-1", Tag="T-7")
    for reference in (element.GlobalId, "T-7", "C-1"):
        assert setting_of(element, {reference: 1, "other": 2}) == 1
    assert setting_of(element, {"C-2": 1}) is None
    assert setting_of(element, {}) is None


@pytest.mark.parametrize("schema", SCHEMAS)
def test_relations_that_lead_nowhere_are_passed_over(schema):
    model = SmallModel(schema)
    element = segment(model)
    model.root("IfcRelDefinesByProperties", RelatedObjects=[element])
    model.root("IfcRelDefinesByType", RelatedObjects=[element])
    model.root("IfcRelAssociatesMaterial", RelatedObjects=[element])
    model.root("IfcRelAssignsToGroup", RelatedObjects=[element])
    properties = Properties(model.file)
    assert not properties.of(element)
    assert properties.type_of(element) is None
    assert properties.system_of(element) == ""
    assert properties.materials_of(element) == ()
