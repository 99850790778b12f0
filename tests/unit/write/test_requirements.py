"""The IDS file that ships: tidy models meet it, each way to spoil one fails where expected.

Checked by ifctester, which brings the schema that buildingSMART published with IDS 1.0.
"""

import os
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import ifcopenshell
import ifcopenshell.guid
import pytest
from ifctester import ids

from modelcheck.errors import OutputError
from modelcheck.read.box_properties import faces_in, walls_in
from modelcheck.read.mapping import entries
from modelcheck.read.property_values import plain_name
from modelcheck.read.size_texts import sizes_in_value
from modelcheck.rules.raceways import designations
from modelcheck.write.requirements_file import requirements_text, write_requirements
from tests.builders.habits import Habit
from tests.builders.scenes import first_plant
from tests.builders.write_ifc import write

SAMPLES = sorted((Path(__file__).parents[3] / "sample_models").glob("*.ifc"))
OLD = {
    "schema": "IFC2X3",
    "element_class": "flow",
    "box_class": "flow-fitting",
    "size": "type",
    "ports": "relation",
}
SIZES = ("text", "inches", "dn", "number", "md", "integer", "length", "length-inch", "list")
TIDY = [
    pytest.param({}, id="IFC4"),
    pytest.param({"schema": "IFC4X3"}, id="IFC4X3"),
    pytest.param(OLD, id="IFC2X3"),
    pytest.param({"element_class": "carrier-typed"}, id="typed"),
    pytest.param({"box_class": "chamber", "unit": "ft"}, id="handholes-in-feet"),
    pytest.param({"box_body": "block-outer", "cover": "property"}, id="sizes-and-covers"),
    pytest.param({"strangers": True, "ports": "none"}, id="among-others"),
    *(pytest.param({"size": size}, id=f"size-{size}") for size in (*SIZES, "bounded", "type-set")),
]


def built(**habit):
    return ifcopenshell.file.from_string(text_of(**habit))


@cache
def text_of(**habit):
    with TemporaryDirectory() as folder:
        path = Path(folder) / "plant.ifc"
        write(first_plant(), Habit(**habit), path)
        return path.read_text(encoding="utf-8")


@cache
def requirements():
    return ids.from_string(requirements_text().decode("utf-8"))


def checked(model):
    """Names of the specifications that `model` fails, and of those that ask something of it."""
    file = requirements()
    file.validate(model, should_filter_version=True)
    asked = [each for each in file.specifications if each.is_ifc_version]
    failed = {each.name for each in asked if each.status is False}
    return failed, {each.name for each in asked if each.applicable_entities}


def test_it_is_ids_1_0_by_the_published_schema(tmp_path):
    (tmp_path / "r.ids").write_bytes(requirements_text())
    file = ids.open(str(tmp_path / "r.ids"), validate=True)
    names = [each.name for each in file.specifications]
    assert len(names) == len(set(names))
    assert all(each.description and each.instructions for each in file.specifications)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_samples_meet_it(path):
    failed, asked = checked(ifcopenshell.open(str(path)))
    assert failed == set()
    assert {"Conduit is drawn", "Fittings are drawn"} < asked


@pytest.mark.parametrize("habit", TIDY)
def test_tidy_models_meet_it(habit):
    failed, asked = checked(built(**habit))
    assert failed == set()
    assert len(asked) > 5


def first(model, ifc_class, part=""):
    return next(each for each in model.by_type(ifc_class) if part in (each.Name or ""))


def setting(ifc_class, part="", **attributes):
    def spoil(model):
        element = first(model, ifc_class, part)
        for name, value in attributes.items():
            setattr(element, name, value)

    return spoil


def value(name, text):
    def spoil(model):
        first(model, "IfcPropertySingleValue", name).NominalValue.wrappedValue = text

    return spoil


def added(ifc_class):
    def spoil(model):
        model.create_entity(ifc_class, GlobalId=ifcopenshell.guid.new())

    return spoil


def described(element, set_name, **values):
    model = element.file
    single = [
        model.create_entity(
            "IfcPropertySingleValue",
            name,
            None,
            model.create_entity(
                "IfcLabel" if isinstance(given, str) else "IfcPositiveLengthMeasure", given
            ),
        )
        for name, given in values.items()
    ]
    made = model.create_entity(
        "IfcPropertySet", ifcopenshell.guid.new(), Name=set_name, HasProperties=single
    )
    model.create_entity(
        "IfcRelDefinesByProperties",
        ifcopenshell.guid.new(),
        RelatedObjects=[element],
        RelatingPropertyDefinition=made,
    )


def describing(set_name, name=None, **values):
    """Describe the first box, under another name if one is given."""

    def change(model):
        box = first(model, "IfcJunctionBox")
        box.Name = name or box.Name
        described(box, set_name, **values)

    return change


def nothing(_):
    pass


NEW = {"schema": "IFC4X3"}
UNTYPED = {**OLD, "element_class": "flow-untyped", "size": "text"}
STANDARD = "Pset_JunctionBoxTypeCommon"
SEGMENT, FITTING, BOX = "IfcCableCarrierSegment", "IfcCableCarrierFitting", "IfcJunctionBox"
SPOILT = [
    ("The project states its units", {}, setting("IfcProject", UnitsInContext=None)),
    ("Cable carriers say which kind they are", {}, setting(SEGMENT, PredefinedType=None)),
    ("Cable carriers say which kind they are (IFC4X3)", NEW, setting(SEGMENT, PredefinedType=None)),
    ("Conduit is not modelled as proxies or pipes", {"element_class": "proxy"}, nothing),
    ("Boxes are not modelled as proxies", {"box_class": "proxy"}, nothing),
    ("Conduit has a type of its kind (IFC2X3)", UNTYPED, nothing),
    (
        "Boxes have a type of their kind (IFC2X3)",
        OLD,
        setting("IfcFlowTerminal", "Panel", Name="Pull box PB-9"),
    ),
    ("Conduit is drawn", {}, setting(SEGMENT, Representation=None)),
    ("Conduit is drawn", OLD, setting("IfcFlowSegment", Representation=None)),
    ("Conduit states its size", {"size": "name"}, nothing),
    ("Conduit states its size", NEW, setting("IfcPropertySingleValue", "TradeSize", Name="Hue")),
    (
        "Types of conduit state the size in their name or a property (IFC2X3)",
        OLD,
        setting("IfcCableCarrierSegmentType", Name="EMT"),
    ),
    ("Trade sizes can be read", {}, value("TradeSize", "as shown")),
    ("Fittings are drawn", {}, setting(FITTING, Representation=None)),
    (
        "Elbows say so by their predefined type",
        {},
        setting(FITTING, "elbow", PredefinedType="NOTDEFINED"),
    ),
    ("Tees say so by their predefined type", NEW, setting(FITTING, "tee", PredefinedType=None)),
    (
        "Reducers say so by their predefined type",
        {},
        setting(FITTING, "elbow", Name="Conduit reducer R-1"),
    ),
    ("Boxes are named and drawn", {}, setting(BOX, Name=None)),
    ("Boxes are named and drawn", {}, setting(BOX, Representation=None)),
    ("Boxes are named and drawn", OLD, setting("IfcFlowFitting", "Pull box", Representation=None)),
    (
        "Handholes are drawn",
        {"box_class": "chamber"},
        setting("IfcDistributionChamberElement", Representation=None),
    ),
    ("Inside sizes of boxes are whole", {}, describing("Pull box", Width=300.0, Depth=150.0)),
    (
        "Inside sizes of boxes by the standard set are whole (IFC4X3)",
        NEW,
        describing(STANDARD, NominalLength=300.0, NominalWidth=200.0),
    ),
    ("Sides of covers can be read", {"cover": "property"}, value("CoverSide", "front")),
    (
        "Conduit bodies state their marking or their inside size",
        {},
        setting(BOX, Name="Conduit body C-1"),
    ),
    (
        "Conduit bodies state their marking or their inside size",
        {},
        setting(FITTING, "tee", Name="LB 2 in"),
    ),
    ("Ports have a place", {}, setting("IfcDistributionPort", ObjectPlacement=None)),
    ("Systems are named", {}, added("IfcDistributionSystem")),
    ("Systems are named (IFC2X3)", OLD, added("IfcSystem")),
]


@pytest.mark.parametrize(
    ("name", "habit", "spoil"),
    [pytest.param(*each, id=f"{place} {each[0]}") for place, each in enumerate(SPOILT)],
)
def test_a_spoilt_model_fails_there_and_nowhere_else(name, habit, spoil):
    model = built(**habit)
    spoil(model)
    assert checked(model)[0] == {name}


def test_in_ifc2x3_a_type_of_no_kind_tells_neither_carrier_nor_conduit():
    model = built(**OLD)
    setting("IfcCableCarrierSegmentType", PredefinedType="NOTDEFINED")(model)
    assert checked(model)[0] == {
        "Cable carriers say which kind they are",
        "Conduit has a type of its kind (IFC2X3)",
    }


def test_every_specification_was_seen_to_fail():
    assert {each.name for each in requirements().specifications} == {name for name, *_ in SPOILT}


WHOLE = {"Width": 300.0, "Height": 200.0, "Depth": 100.0}


@pytest.mark.parametrize(
    ("habit", "change", "name"),
    [
        pytest.param(
            {},
            describing("Pull box", **WHOLE),
            "Inside sizes of boxes are whole",
            id="own-set",
        ),
        pytest.param(
            NEW,
            describing(STANDARD, NominalLength=300.0, NominalWidth=200.0, ClearDepth=100.0),
            "Inside sizes of boxes by the standard set are whole (IFC4X3)",
            id="standard-set",
        ),
        pytest.param(
            {},
            describing("Conduit body", "Conduit body LB", MarkedFor="3 x 250 kcmil"),
            "Conduit bodies state their marking or their inside size",
            id="marking",
        ),
        pytest.param(
            {},
            describing("Conduit body", "Conduit body LB", **WHOLE),
            "Conduit bodies state their marking or their inside size",
            id="size-of-a-conduit-body",
        ),
    ],
)
def test_what_the_instructions_ask_for_meets_it(habit, change, name):
    model = built(**habit)
    change(model)
    failed, asked = checked(model)
    assert failed == set()
    assert name in asked


@pytest.mark.parametrize(
    "name", ["Conduit support", "Conduit Opening 3", "Telephone outlet", "Pull box cover plate"]
)
def test_other_proxies_are_left_alone(name):
    model = built()
    model.create_entity("IfcBuildingElementProxy", ifcopenshell.guid.new(), Name=name)
    assert checked(model)[0] == set()


def facets(name, of):
    return [
        facet
        for each in requirements().specifications
        if each.name == name
        for facet in each.requirements
        if isinstance(facet, of)
    ]


def test_the_names_it_asks_for_are_names_the_program_reads():
    (size,) = facets("Conduit states its size", ids.Property)
    (marking,) = facets("Conduit bodies state their marking or their inside size", ids.Property)
    known = {key: set(map(plain_name, entries("properties")[key])) for key in entries("properties")}
    assert {plain_name(each) for each in size.baseName.options["enumeration"]} <= known[
        "trade_size"
    ]
    assert plain_name(marking.baseName.options["enumeration"][0]) in known["marked_for"]
    assert plain_name("CoverSide") in known["cover"]


@pytest.mark.parametrize("form", ["{0}", '{0}"', "{0} in", "{1}", "MD {1}", "DN {1}"])
def test_every_size_of_the_trade_can_be_written(form):
    (facet,) = facets("Trade sizes can be read", ids.Property)
    for each in designations():
        text = form.format(each.trade_size_in, each.metric_designator)
        assert facet.value == text, text
        assert sizes_in_value(text), text


@pytest.mark.parametrize("text", ["", "2-3/4", "as shown", "52", "2 ft"])
def test_no_other_size_can(text):
    (facet,) = facets("Trade sizes can be read", ids.Property)
    assert facet.value != text


@pytest.mark.parametrize("text", ["+z", "-x;+y", "+x, -x", "top", "Bottom", "up", "left", "z", ""])
def test_a_side_of_the_cover_is_accepted_where_the_program_reads_it(text):
    (facet,) = facets("Sides of covers can be read", ids.Property)
    readable = bool(walls_in(text) or faces_in(text)) and text not in ("z", "")
    assert (facet.value == text) == readable


def test_the_file_is_written_whole_and_again(tmp_path):
    out = tmp_path / "requirements.ids"
    write_requirements(out)
    write_requirements(out)
    assert out.read_bytes() == requirements_text()
    assert [path.name for path in tmp_path.iterdir()] == [out.name]


@pytest.mark.parametrize(
    ("make", "part"),
    [
        pytest.param(lambda out: out.write_text("mine"), "something else", id="file"),
        pytest.param(lambda out: out.mkdir(), "folder", id="folder"),
        pytest.param(lambda out: out.symlink_to("nowhere"), "something else", id="dead-link"),
    ],
)
def test_what_is_there_stays(tmp_path, make, part):
    out = tmp_path / "requirements.ids"
    make(out)
    before = out.lstat()
    with pytest.raises(OutputError, match=part):
        write_requirements(out)
    assert out.lstat() == before
    assert [path.name for path in tmp_path.iterdir()] == [out.name]


def test_a_missing_folder_is_told_and_not_made(tmp_path):
    with pytest.raises(OutputError, match="there is no folder"):
        write_requirements(tmp_path / "a" / "r.ids")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("has_links", [True, False], ids=["links", "no-links"])
def test_a_file_that_appears_meanwhile_stays(tmp_path, monkeypatch, has_links):
    out = tmp_path / "r.ids"

    def link(_, target):
        if has_links:
            target.write_text("mine")
            raise FileExistsError(17, "File exists")
        raise OSError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", link)
    if has_links:
        with pytest.raises(OutputError, match="file exists"):
            write_requirements(out)
    else:
        write_requirements(out)
    assert out.read_bytes() == (b"mine" if has_links else requirements_text())
    assert [path.name for path in tmp_path.iterdir()] == [out.name]
