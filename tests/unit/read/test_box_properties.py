"""Sides, covers and contents of boxes as models tell them; common practice, no source."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from modelcheck.model.element import BoxContents
from modelcheck.model.settings import BoxSettings, PropertyNames, Settings
from modelcheck.read.box_properties import (
    BoxProperties,
    faces_in,
    inside_of,
    walls_facing,
    walls_in,
)
from modelcheck.read.box_sizes import STANDARD_SET, Dimension, match_inside
from modelcheck.read.lengths import lengths_in
from modelcheck.read.properties import Properties
from tests.unit.read.small_model import SCHEMAS, UNITS_M, SmallModel

LENGTH = "IfcPositiveLengthMeasure"
BODY_M = (0.6, 0.45, 0.2)
UPRIGHT = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
TIPPED = ((1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))


def box(schema: str = "IFC4", unit: str = "mm"):
    model = SmallModel(schema, unit)
    return model, model.element("IfcFlowFitting", "PB-1")


def facts_of(model: SmallModel, element, **settings):
    return BoxProperties(Properties(model.file), Settings(**settings)).of(element)


def sides(unit: str = "mm", **mm: float):
    return {name: (LENGTH, value / 1000 / UNITS_M[unit]) for name, value in mm.items()}


def sizes_of(facts) -> dict[str, float]:
    return {each.role: each.readings_m[0] for each in facts.said}


@pytest.mark.parametrize("schema", SCHEMAS)
@pytest.mark.parametrize("unit", UNITS_M)
def test_the_standard_properties_are_inside_sizes(schema, unit):
    model, element = box(schema, unit)
    values = sides(unit, NominalLength=600, NominalWidth=450, ClearDepth=200)
    model.pset(element, STANDARD_SET, values)
    facts = facts_of(model, element)
    assert sizes_of(facts) == pytest.approx({"length": 0.6, "width": 0.45, "depth": 0.2})
    matched = inside_of(BODY_M, facts)
    assert matched.inside_m == pytest.approx(BODY_M)
    assert (matched.size_from, matched.conflict) == ("property", "")


@pytest.mark.parametrize(
    "names",
    [
        ("Width", "Height", "Depth"),
        ("Box Width", "Box Height", "Box Depth"),
        ("InsideWidth", "InsideHeight", "InsideDepth"),
        ("Enclosure width", "Enclosure height", "Enclosure depth"),
        ("NominalLength", "NominalWidth", "NominalDepth"),
        ("width_mm", "height_mm", "depth_mm"),
    ],
)
def test_width_height_and_depth_are_told_by_name_in_any_set(names):
    model, element = box()
    model.pset(element, "Dimensions", sides(**dict(zip(names, (600, 450, 200), strict=True))))
    assert inside_of((None, None, None), facts_of(model, element)).inside_m == pytest.approx(
        sorted_like(names)
    )


def sorted_like(names):
    """Without a body: width, length, height, depth in this order."""
    return (0.45, 0.6, 0.2) if names[0] == "NominalLength" else (0.6, 0.45, 0.2)


@pytest.mark.parametrize(
    "name",
    [
        "Mounting Height",
        "WallThickness",
        "Overall Width",
        "OutsideWidth",
        "Cover Width",
        "Burial Depth",
        "Cable Length",
        "HeightAboveFloor",
        "Width Height",
        "Elevation",
    ],
)
def test_other_measures_are_no_inside_size(name):
    model, element = box()
    model.pset(element, "Dimensions", {**sides(**{name: 600}), **sides(Thickness=2)})
    assert facts_of(model, element).said == ()


def test_a_lone_height_may_be_that_of_mounting_and_is_left_out():
    model, element = box()
    model.pset(element, "Placement", sides(Height=1200))
    assert facts_of(model, element).said == ()


def test_a_lone_clear_depth_is_taken():
    model, element = box()
    model.pset(element, STANDARD_SET, sides(ClearDepth=195))
    matched = inside_of(BODY_M, facts_of(model, element))
    assert matched.inside_m == pytest.approx((0.6, 0.45, 0.195))
    assert matched.size_from == "property"


def test_quantities_of_a_box_are_its_outside_and_left_out():
    model, element = box()
    lengths = [
        model.make("IfcQuantityLength", Name=name, LengthValue=value)
        for name, value in (("Length", 600.0), ("Width", 450.0), ("Height", 200.0))
    ]
    quantities = model.root(
        "IfcElementQuantity", Name="Qto_JunctionBoxBaseQuantities", Quantities=lengths
    )
    model.root(
        "IfcRelDefinesByProperties",
        RelatedObjects=[element],
        RelatingPropertyDefinition=quantities,
    )
    assert facts_of(model, element).said == ()


def test_the_clear_depth_stands_for_the_nominal_height():
    model, element = box("IFC4X3")
    values = sides(NominalLength=600, NominalWidth=450, NominalHeight=210, ClearDepth=200)
    model.pset(element, STANDARD_SET, values)
    matched = inside_of((0.6, 0.45, 0.21), facts_of(model, element))
    assert matched.inside_m == pytest.approx((0.6, 0.45, 0.2))


def test_names_that_the_settings_give_are_sizes():
    model, element = box()
    model.pset(element, "X", sides(A=600, B=450, C=200))
    names = PropertyNames(width=("A",), height=("B",), depth=("C",))
    facts = facts_of(model, element, properties=names)
    assert sizes_of(facts) == pytest.approx({"width": 0.6, "height": 0.45, "depth": 0.2})


def test_the_standard_set_stands_before_others_and_what_agrees_with_none_is_told():
    model, element = box()
    values = sides(NominalLength=600, NominalWidth=450, ClearDepth=200)
    model.pset(element, STANDARD_SET, values)
    model.pset(element, "Catalogue", sides(Width=300, Height=450, Depth=200))
    facts = facts_of(model, element)
    assert sizes_of(facts)["length"] == pytest.approx(0.6)
    assert len(facts.assumptions) == 1
    assert "Catalogue.Width says 300.0 mm" in facts.assumptions[0]


@pytest.mark.parametrize("sizes", list(permutations(BODY_M)))
def test_sizes_are_matched_to_the_axes_by_nearness(sizes):
    said = [
        Dimension(said_by=role, role=role, readings_m=(size,))
        for role, size in zip(("length", "width", "depth"), sizes, strict=True)
    ]
    matched = match_inside(BODY_M, said)
    assert matched.inside_m == pytest.approx(BODY_M)
    assert matched.conflict == ""


@given(
    body=st.tuples(*[st.floats(0.05, 3.0)] * 3),
    gaps=st.tuples(*[st.floats(-0.011, 0.011)] * 3),
    order=st.permutations(range(3)),
)
def test_sizes_within_the_walls_are_never_a_conflict(body, gaps, order):
    sizes = [side + gap for side, gap in zip(body, gaps, strict=True)]
    said = [Dimension(said_by="P", role="width", readings_m=(sizes[place],)) for place in order]
    matched = match_inside(body, said)
    assert matched.conflict == ""
    assert sorted(matched.inside_m) == pytest.approx(sorted(sizes))


@pytest.mark.parametrize(
    ("size_m", "is_conflict"),
    [(0.612, False), (0.588, False), (0.6131, True), (0.5869, True)],
)
def test_more_than_six_millimetres_a_wall_is_a_conflict_that_names_both(size_m, is_conflict):
    said = [Dimension(said_by="Set.Width", role="width", readings_m=(size_m,))]
    matched = match_inside(BODY_M, said)
    assert bool(matched.conflict) == is_conflict
    if is_conflict:
        assert "Set.Width" in matched.conflict
        assert "600.0 mm" in matched.conflict


def test_a_difference_that_the_walls_explain_is_told():
    said = [Dimension(said_by="Set.Width", role="width", readings_m=(0.594,))]
    matched = match_inside(BODY_M, said)
    assert matched.inside_m == pytest.approx((0.594, 0.45, 0.2))
    assert "594.0 mm" in matched.assumptions[0]


def test_drawn_inner_faces_stand_where_a_property_differs_by_a_wall():
    said = [Dimension(said_by="Set.Width", role="width", readings_m=(0.606,))]
    matched = match_inside(BODY_M, said, is_hollow=True)
    assert (matched.inside_m, matched.size_from, matched.conflict) == (BODY_M, "body", "")
    assert "606.0 mm" in matched.assumptions[0]
    said = [Dimension(said_by="Set.Width", role="width", readings_m=(0.7,))]
    assert match_inside(BODY_M, said, is_hollow=True).conflict


def test_without_properties_the_body_is_the_inside():
    matched = match_inside(BODY_M, [])
    assert (matched.inside_m, matched.size_from) == (BODY_M, "body")
    assert match_inside((None, None, None), []).size_from == ""


def test_a_body_that_lacks_a_side_gets_it_from_the_property_that_is_left():
    said = [
        Dimension(said_by=str(size), role="width", readings_m=(size,)) for size in (0.2, 0.6, 0.45)
    ]
    assert match_inside((0.6, 0.45, None), said).inside_m == pytest.approx(BODY_M)


@pytest.mark.parametrize(
    ("unit", "value"),
    [("m", 0.6), ("m", 600.0), ("mm", 600.0), ("m", 23.622), ("in", 23.622)],
)
def test_a_plain_number_is_read_in_the_unit_that_agrees_with_the_body(unit, value):
    model, element = box(unit=unit)
    scale = value / 600
    values = {"Width": 600, "Height": 450, "Depth": 200}
    numbers = {name: ("IfcReal", size * scale) for name, size in values.items()}
    model.pset(element, "Sizes", numbers)
    matched = inside_of(BODY_M, facts_of(model, element))
    assert matched.inside_m == pytest.approx(BODY_M, abs=1e-4)
    assert matched.conflict == ""


def test_a_plain_number_that_agrees_in_no_unit_is_a_conflict():
    model, element = box()
    values = {"Width": ("IfcReal", 700.0), "Height": ("IfcReal", 450.0)}
    model.pset(element, "Sizes", values)
    assert inside_of(BODY_M, facts_of(model, element)).conflict


@pytest.mark.parametrize(
    "texts",
    [("600 mm", "450 mm", "200 mm"), ("60 cm", "45 cm", "20 cm"), ("0.6 m", "0.45 m", "0.2 m")],
)
def test_sizes_in_text_are_read(texts):
    model, element = box()
    names = ("Width", "Height", "Depth")
    values = {name: ("IfcLabel", text) for name, text in zip(names, texts, strict=True)}
    model.pset(element, "Sizes", values)
    assert inside_of(BODY_M, facts_of(model, element)).inside_m == pytest.approx(BODY_M)


@pytest.mark.parametrize(
    "text", ["600 x 450 x 200 mm", "600x450x200", "600mm \u00d7 450mm \u00d7 200mm"]
)
@pytest.mark.parametrize("name", ["Inside dimensions", "Size"])
def test_a_whole_size_in_one_text_is_read(text, name):
    model, element = box()
    model.pset(element, "Sizes", {name: ("IfcLabel", text)})
    assert inside_of(BODY_M, facts_of(model, element)).inside_m == pytest.approx(BODY_M)


@pytest.mark.parametrize(
    ("text", "lengths_m"),
    [
        ('24"', [0.6096]),
        ('12-1/2"', [0.3175]),
        ("2'-6\"", [0.762]),
        ("2 ft", [0.6096]),
        ('24" x 18" x 8"', [0.6096, 0.4572, 0.2032]),
        ("24 x 18 x 8 in", [0.6096, 0.4572, 0.2032]),
        ("large", []),
        ("", []),
    ],
)
def test_lengths_in_text_are_read_in_feet_and_inches_too(text, lengths_m):
    assert [each[0] for each in lengths_in(text, units_m=(1.0,))] == pytest.approx(lengths_m)


@pytest.mark.parametrize("text", ['2"', '2"-2"', "53 mm-53 mm-53 mm", "4 x 4"])
def test_a_size_that_is_no_whole_size_of_a_box_is_none(text):
    model, element = box()
    model.pset(element, "Sizes", {"Size": ("IfcLabel", text)})
    assert facts_of(model, element).said == ()


@pytest.mark.parametrize("reference", ["guid", "PB-1", "T-9"])
def test_the_settings_stand_before_properties_and_body(reference):
    model, element = box()
    element.Tag = "T-9"
    values = sides(NominalLength=600, NominalWidth=450, ClearDepth=200)
    model.pset(element, STANDARD_SET, {**values, "CoverSide": ("IfcLabel", "+z")})
    setting = BoxSettings(inside_m=(1.0, 0.9, 0.3), cover=("-y",), marked_for="3 x 250 kcmil")
    name = element.GlobalId if reference == "guid" else reference
    facts = facts_of(model, element, boxes=((name, setting),))
    assert inside_of(BODY_M, facts).inside_m == (1.0, 0.9, 0.3)
    assert inside_of(BODY_M, facts).size_from == "settings"
    assert (facts.cover, facts.cover_from) == (("-y",), "settings")
    assert facts.marked_for == "3 x 250 kcmil"


@pytest.mark.parametrize("name", ["CoverSide", "Cover side", "Cover", "Access Side"])
def test_a_cover_is_told_by_a_property(name):
    model, element = box()
    model.pset(element, "Pull box", {name: ("IfcLabel", "+z")})
    facts = facts_of(model, element)
    assert (facts.cover, facts.cover_from) == (("+z",), "property")


@pytest.mark.parametrize(
    ("text", "walls"),
    [
        ("+z", ("+z",)),
        ("Z+", ("+z",)),
        ("-X", ("-x",)),
        ("+x; -x", ("+x", "-x")),
        ("+x and -x", ("+x", "-x")),
        ("+z;+z", ("+z",)),
        ("z", ()),
        ("+z or +x", ()),
        ("top", ()),
        ("", ()),
    ],
)
def test_walls_are_read_by_sign_and_axis(text, walls):
    assert walls_in(text) == walls


@pytest.mark.parametrize(
    ("text", "faces"),
    [
        ("Top", ("+up",)),
        ("on top", ("+up",)),
        ("Bottom side", ("-up",)),
        ("top and bottom", ("+up", "-up")),
        ("front", ()),
        ("top left", ()),
        ("screw cover, hinged at top", ()),
        ("Screw cover", ()),
    ],
)
def test_only_up_and_down_are_sides_in_words(text, faces):
    assert faces_in(text) == faces


def test_a_word_is_the_wall_that_faces_so_however_the_box_is_turned():
    assert walls_facing(("+up",), UPRIGHT) == ("+z",)
    assert walls_facing(("-up",), UPRIGHT) == ("-z",)
    assert walls_facing(("+up",), TIPPED) == ("+y",)
    slanted = ((1.0, 0.0, 0.0), (0.0, 0.8, 0.6), (0.0, -0.6, 0.8))
    assert walls_facing(("+up",), slanted) == ()


def test_a_side_that_hangs_on_the_viewer_is_told_back():
    model, element = box()
    model.pset(element, "Pull box", {"CoverSide": ("IfcLabel", "Front")})
    facts = facts_of(model, element)
    assert (facts.cover, facts.cover_faces, facts.cover_from) == ((), (), "")
    assert any("Front" in note and "+x" in note for note in facts.assumptions)


def test_a_kind_of_cover_is_no_side_and_no_noise():
    model, element = box()
    model.pset(element, "Pull box", {"Cover": ("IfcLabel", "Screw"), "Lid": ("IfcBoolean", True)})
    facts = facts_of(model, element)
    assert (facts.cover, facts.cover_faces, facts.assumptions) == ((), (), ())


def test_marking_volume_and_contents_are_read():
    model, element = box()
    model.pset(
        element,
        "Box fill",
        {
            "Marked for": ("IfcLabel", "3 x 4 AWG"),
            "Marked Volume": ("IfcLabel", "30.3 cu in"),
            "Standard Box": ("IfcLabel", "4 x 2-1/8 square"),
            "Clamps": ("IfcBoolean", True),
            "Fixture studs": ("IfcInteger", 1),
            "Hickeys": ("IfcInteger", 0),
            "WireConnectors": ("IfcLabel", "4"),
            "ConductorsInBox": ("IfcLabel", "12 AWG x 6; 4 x 14 AWG"),
            "GroundsInBox": ("IfcLabel", "12 AWG x 2"),
            "Devices": ("IfcLabel", "12 AWG; 14 AWG, 4.5 cm"),
        },
    )
    facts = facts_of(model, element)
    assert facts.marked_for == "3 x 4 AWG"
    assert facts.contents.volume_cm3 == pytest.approx(30.3 * 16.387064)
    assert facts.contents == BoxContents(
        volume_cm3=facts.contents.volume_cm3,
        standard_box="4 x 2-1/8 square",
        conductors=(("12 AWG", 6), ("14 AWG", 4)),
        grounds=(("12 AWG", 2),),
        clamps=1,
        studs=1,
        hickeys=0,
        devices=(("12 AWG", None), ("14 AWG", pytest.approx(4.5))),
        connectors=4,
    )


@pytest.mark.parametrize(
    ("name", "measure", "cm3"),
    [
        ("MarkedVolume", ("IfcVolumeMeasure", 0.000497), 497.0),
        ("MarkedVolumeIn3", ("IfcReal", 30.3), 30.3 * 16.387064),
        ("Box volume (cm3)", ("IfcReal", 497.0), 497.0),
        ("BoxVolume", ("IfcLabel", "497 mL"), 497.0),
        ("BoxVolume", ("IfcLabel", "30.3 in\u00b3"), 30.3 * 16.387064),
    ],
)
def test_a_volume_is_read_with_its_unit(name, measure, cm3):
    model, element = box()
    model.pset(element, "Box fill", {name: measure})
    assert facts_of(model, element).contents.volume_cm3 == pytest.approx(cm3)


def test_a_volume_without_unit_is_left_out_and_told():
    model, element = box()
    model.pset(element, "Box fill", {"MarkedVolume": ("IfcReal", 30.3)})
    facts = facts_of(model, element)
    assert facts.contents.volume_cm3 is None
    assert any("MarkedVolume" in note for note in facts.assumptions)


def test_the_volume_of_the_material_is_not_that_of_the_box():
    model, element = box()
    values = dict.fromkeys(("Volume", "NetVolume", "GrossVolume"), ("IfcVolumeMeasure", 0.001))
    model.pset(element, "Dimensions", values)
    assert facts_of(model, element).contents == BoxContents()


def test_contents_of_the_settings_stand_before_those_of_properties():
    model, element = box()
    values = {"Clamps": ("IfcInteger", 1), "Studs": ("IfcInteger", 1)}
    model.pset(element, "Box fill", values)
    setting = BoxSettings(contents=BoxContents(clamps=0))
    contents = facts_of(model, element, boxes=(("PB-1", setting),)).contents
    assert (contents.clamps, contents.studs) == (0, 1)


def test_what_nothing_says_stays_unknown():
    model, element = box()
    facts = facts_of(model, element)
    assert (facts.said, facts.cover, facts.marked_for, facts.system) == ((), (), "", "")
    assert facts.contents == BoxContents()
    assert facts.inside_m is None


def test_the_system_of_a_box_is_told():
    model, element = box()
    model.system("Fire alarm", [element])
    assert facts_of(model, element).system == "Fire alarm"


def test_sizes_of_the_type_are_those_of_its_boxes():
    model, element = box("IFC2X3")
    of_type = model.typed(element, "IfcJunctionBoxType", "12x12", PredefinedType="NOTDEFINED")
    model.pset(of_type, "Sizes", sides(Width=600, Height=450, Depth=200))
    assert inside_of(BODY_M, facts_of(model, element)).inside_m == pytest.approx(BODY_M)
