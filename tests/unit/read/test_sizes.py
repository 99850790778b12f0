"""Sizes as models tell them.

Nominal sizes, designators and outside diameters are those of ``rules/data``; which habit a model
has is common practice, no source.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from modelcheck.model.settings import ConduitSettings, PropertyNames, Settings
from modelcheck.read.properties import Properties
from modelcheck.read.raceway_types import raceway_types_in
from modelcheck.read.recognised import Kind
from modelcheck.read.size_lengths import size_drawn
from modelcheck.read.size_texts import sizes_in_name, sizes_in_value
from modelcheck.read.sizes import RacewaySizes
from modelcheck.rules.raceways import designations, outside_diameters
from tests.unit.read.small_model import SCHEMAS, UNITS_M, SmallModel

LENGTH = "IfcPositiveLengthMeasure"
STANDARD = "Pset_CableCarrierSegmentTypeConduitSegment"


def size_of(
    model: SmallModel,
    element,
    *,
    drawn_mm: float | None = None,
    kind: Kind = Kind.SEGMENT,
    profile: str = "",
    settings: Settings | None = None,
):
    sizes = RacewaySizes(Properties(model.file), settings or Settings())
    drawn_m = None if drawn_mm is None else drawn_mm / 1000
    return sizes.of(element, kind=kind, drawn_diameter_m=drawn_m, profile_name=profile)


def conduit(name: str | None = "C-101", schema: str = "IFC4", unit: str = "mm"):
    model = SmallModel(schema, unit)
    return model, model.element("IfcFlowSegment", name)


def told(text: str, *, is_value: bool = False) -> list[str]:
    found = sizes_in_value(text) if is_value else sizes_in_name(text)
    return [alternatives[0].trade_size_in for alternatives in found]


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ('3"', "3"),
        ("3 in", "3"),
        ("3 in.", "3"),
        ("3 inch", "3"),
        ("3-inch", "3"),
        ("3''", "3"),
        ("3\u2033", "3"),
        ("3\u201d", "3"),
        ('1-1/4"', "1-1/4"),
        ('1 1/4"', "1-1/4"),
        ('1.25"', "1-1/4"),
        ('1\u00bc"', "1-1/4"),
        ('1\u00bd" RMC', "1-1/2"),
        ("1 1\u20444\u2033", "1-1/4"),
        ('1\u20111/4"', "1-1/4"),
        ('.75"', "3/4"),
        ('\u00be"', "3/4"),
        ("DN 78", "3"),
        ("DN50", "2"),
        ("MD 78", "3"),
        ("78 mm", "3"),
        ("78mm", "3"),
        ("\u00d878 mm", "3"),
        ('53 (2")', "2"),
        ("2 in (53)", "2"),
        ("60.3 mm", "2"),
        ("NPS 2", "2"),
        ("trade size 2-1/2", "2-1/2"),
        ('EMT-2"', "2"),
        ('EMT2"', "2"),
    ],
)
def test_a_size_with_a_mark_is_read_in_a_name_and_in_a_property(text, size):
    assert told(text) == [size]
    assert told(text, is_value=True) == [size]


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("78", "3"),
        ("3", "3"),
        ("1-1/4", "1-1/4"),
        ("1 1/4", "1-1/4"),
        ("1.25", "1-1/4"),
        ("16", "1/2"),
    ],
)
def test_a_bare_size_is_read_in_a_property_only(text, size):
    assert told(text) == []
    assert told(text, is_value=True) == [size]


@pytest.mark.parametrize(
    "text",
    [
        "C-101",
        "Conduit 53",
        "Conduit:EMT:443813",
        "Conduit 3 in Room 12",
        "Conduit L=3000 mm",
        "Conduit 3/4",
        'C-2"',
        "90\u00b0 elbow",
        "45 degree bend",
        'Elbow radius 6"',
        'Elbow R=6"',
        "Conduit 10'-6\"",
        "Conduit 2' long",
        'Stub-up 6" long',
        "4/0 AWG",
        'Pull box 12"x12"x12"',
        "9" * 5000 + '"',
        "DN " + "9" * 5000,
    ],
)
def test_a_tag_a_length_or_an_angle_is_no_size_of_a_name(text):
    assert told(text) == []


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ('2" EMT elbow 24" radius', "2"),
        ('2" Long radius elbow', "2"),
        ("Conduit 2\" x 10'", "2"),
        ('C-2 1/2"', "1/2"),
        ('90\u00b0 Elbow 2"', "2"),
        ("2 in EMT conduit", "2"),
        ("2 in x 10 ft", "2"),
        ('10\'-6" EMT 2"', "2"),
        ('PVC Conduit (Schedule 40) - 1/2" PVC Sch 40 Conduit', "1/2"),
    ],
)
def test_a_size_is_told_from_the_other_figures_of_a_name(text, size):
    assert told(text) == [size]


@pytest.mark.parametrize(
    "text", ['2" x 1"', '2"-1"', '2"\u00f8-1"\u00f8', "53 mm x 27 mm", "DN 53 - DN 27"]
)
def test_a_reducer_names_two_sizes(text):
    assert told(text) == ["2", "1"]


@given(st.text(max_size=40))
def test_any_text_is_read_without_an_error(text):
    assert all(alternatives for alternatives in (*sizes_in_name(text), *sizes_in_value(text)))
    assert len(raceway_types_in(text)) == len(set(raceway_types_in(text)))


@pytest.mark.parametrize("schema", SCHEMAS)
@pytest.mark.parametrize("unit", UNITS_M)
@pytest.mark.parametrize(
    "mm",
    [
        pytest.param(53.0, id="designator"),
        pytest.param(50.8, id="nominal inches"),
        pytest.param(60.325, id="outside diameter"),
        pytest.param(50.0, id="DN"),
        pytest.param(51.0, id="inches rounded to millimetres"),
    ],
)
def test_a_length_is_read_as_designator_inches_or_outside_diameter(schema, unit, mm):
    model, element = conduit(schema=schema, unit=unit)
    model.pset(element, STANDARD, {"NominalWidth": (LENGTH, mm / 1000 / UNITS_M[unit])})
    size = size_of(model, element)
    assert (size.trade_size_in, size.metric_designator) == ("2", 53)
    assert size.size_from == "property"


@pytest.mark.parametrize("row", designations(), ids=lambda row: row.trade_size_in)
def test_every_size_is_read_by_both_of_its_names(row):
    for measure in (
        ("IfcLabel", f'{row.trade_size_in}"'),
        ("IfcLabel", row.trade_size_in),
        ("IfcLabel", f"MD {row.metric_designator}"),
        ("IfcInteger", row.metric_designator),
        ("IfcReal", row.inches),
        (LENGTH, float(row.metric_designator)),
        (LENGTH, row.inches * 25.4),
    ):
        model, element = conduit()
        model.pset(element, "Conduit", {"TradeSize": measure})
        assert size_of(model, element).trade_size_in == row.trade_size_in


def test_a_plain_number_may_be_a_length_in_the_unit_of_the_model_or_in_millimetres():
    for unit, value in (("m", 0.053), ("ft", 2 / 12), ("m", 50.8)):
        model, element = conduit(unit=unit)
        model.pset(element, "Conduit", {"TradeSize": ("IfcReal", value)})
        assert size_of(model, element).trade_size_in == "2"


@pytest.mark.parametrize("schema", SCHEMAS)
def test_a_property_of_the_type_counts_as_property_and_its_name_as_type(schema):
    model, element = conduit(schema=schema)
    of_type = model.typed(
        element, "IfcCableCarrierSegmentType", 'EMT 3"', PredefinedType="CONDUITSEGMENT"
    )
    assert (size_of(model, element).trade_size_in, size_of(model, element).size_from) == (
        "3",
        "type",
    )
    model.pset(of_type, "Conduit", {"TradeSize": ("IfcLabel", '3"')})
    assert size_of(model, element).size_from == "property"


@pytest.mark.parametrize(
    ("name", "profile", "size_from"),
    [('Conduit 2"', "", "name"), ("C-1", "EMT 53 mm", "name")],
    ids=["occurrence", "profile"],
)
def test_a_name_tells_the_size_where_no_property_does(name, profile, size_from):
    model, element = conduit(name)
    size = size_of(model, element, profile=profile)
    assert (size.trade_size_in, size.size_from) == ("2", size_from)


def test_the_settings_stand_before_everything():
    model, element = conduit('Conduit 2"')
    model.pset(element, "Conduit", {"TradeSize": ("IfcLabel", '3"')})
    setting = ConduitSettings(trade_size_in="4", raceway_type="RMC")
    settings = Settings(conduits=((element.GlobalId, setting),))
    size = size_of(model, element, settings=settings, drawn_mm=60.3)
    assert (size.trade_size_in, size.raceway_type, size.size_from) == ("4", "RMC", "settings")
    assert size.conflict == ""


def test_names_of_properties_that_the_settings_give_stand_first():
    model, element = conduit()
    model.pset(element, "X", {"TradeSize": ("IfcLabel", '3"'), "Our size": ("IfcLabel", '2"')})
    settings = Settings(properties=PropertyNames(trade_size=("our size",)))
    assert size_of(model, element, settings=settings).trade_size_in == "2"


def test_a_property_stands_before_a_name_and_the_difference_is_told():
    model, element = conduit('Conduit 3"')
    model.pset(element, "Conduit", {"TradeSize": ("IfcLabel", '2"')})
    size = size_of(model, element)
    assert size.trade_size_in == "2"
    assert any("2 in (53)" in note and "3 in (78)" in note for note in size.assumptions)


def test_two_properties_that_differ_are_told():
    model, element = conduit()
    values = {"TradeSize": ("IfcLabel", '2"'), "NominalDiameter": (LENGTH, 27.0)}
    model.pset(element, "Conduit", values)
    size = size_of(model, element)
    assert size.trade_size_in == "2"
    assert any("NominalDiameter" in note and "1 in (27)" in note for note in size.assumptions)


def test_a_property_that_may_mean_the_same_size_is_no_difference():
    model, element = conduit()
    values = {"TradeSize": ("IfcLabel", '1/2"'), "NominalWidth": (LENGTH, 21.336)}
    model.pset(element, "Conduit", values)
    assert size_of(model, element).assumptions == ()


def test_a_size_that_names_none_is_told_and_the_next_evidence_taken():
    model, element = conduit('EMT 2"')
    model.pset(element, "Conduit", {"TradeSize": ("IfcLabel", "see schedule")})
    assert size_of(model, element).trade_size_in == "2"
    element.Name = "C-1"
    size = size_of(model, element)
    assert not size.known
    assert any("see schedule" in note for note in size.assumptions)


def test_nominal_and_outside_readings_of_one_figure_are_both_told_and_the_larger_is_taken():
    model, element = conduit()
    model.pset(element, "Conduit", {"NominalDiameter": (LENGTH, 88.9)})
    size = size_of(model, element, drawn_mm=88.9)
    assert size.trade_size_in == "3-1/2"
    assert any("3 in (78)" in note for note in size.assumptions)


@pytest.mark.parametrize("schema", SCHEMAS)
def test_a_list_and_a_bounded_value_are_sizes_too(schema):
    for ifc_class, attribute in (
        ("IfcPropertyListValue", "ListValues"),
        ("IfcPropertyBoundedValue", "UpperBoundValue"),
    ):
        model, element = conduit(schema=schema)
        value = model.make(LENGTH, wrappedValue=53.0)
        given_value = [value] if attribute == "ListValues" else value
        made = model.make(ifc_class, Name="NominalDiameter", **{attribute: given_value})
        model.pset(element, "Conduit", [made])
        assert size_of(model, element).trade_size_in == "2"


@pytest.mark.parametrize(
    "measure", [("IfcLabel", '2"x1"'), ("IfcLabel", "53 mm-27 mm")], ids=["inches", "metric"]
)
def test_of_a_reducer_the_larger_size_is_told(measure):
    model, element = conduit("Reducer")
    model.pset(element, "Conduit", {"Size": measure})
    size = size_of(model, element, kind=Kind.FITTING)
    assert size.trade_size_in == "2"
    assert any("the larger" in note for note in size.assumptions)


def test_a_list_of_two_lengths_is_a_reducer():
    model, element = conduit("Reducer")
    lengths = [model.make(LENGTH, wrappedValue=mm) for mm in (27.0, 53.0)]
    made = model.make("IfcPropertyListValue", Name="NominalDiameter", ListValues=lengths)
    model.pset(element, "Conduit", [made])
    assert size_of(model, element, kind=Kind.FITTING).trade_size_in == "2"


def test_a_segment_with_two_sizes_has_none_by_them():
    model, element = conduit('2" conduit in 4" sleeve')
    size = size_of(model, element)
    assert not size.known
    assert any("several sizes" in note for note in size.assumptions)


@pytest.mark.parametrize(
    "row", outside_diameters(), ids=lambda row: f"{row.raceway_type} {row.trade_size_in}"
)
def test_every_outside_diameter_gives_its_size_where_the_type_is_known(row):
    size, _ = size_drawn(row.diameter_m, raceway_type=row.raceway_type)
    assert size is not None
    assert size.trade_size_in == row.trade_size_in


@pytest.mark.parametrize(
    "row",
    [row for row in outside_diameters() if row.raceway_type not in ("FMC", "LFMC")],
    ids=lambda row: f"{row.raceway_type} {row.trade_size_in}",
)
def test_every_rigid_one_does_without_the_type_and_rounded_to_a_tenth(row):
    size, _ = size_drawn(round(row.diameter_m, 4))
    assert size is not None
    assert size.trade_size_in == row.trade_size_in


@pytest.mark.parametrize("row", designations(), ids=lambda row: row.trade_size_in)
def test_a_body_drawn_at_its_designator_has_that_size(row):
    size, told_by = size_drawn(row.metric_designator / 1000)
    assert size == row
    assert "nominal" in told_by


@pytest.mark.parametrize(
    ("mm", "raceway_type", "trade_size"),
    [
        pytest.param(38.35, "", "1-1/4", id="EMT 1-1/4, not nominal 1-1/2"),
        pytest.param(38.1, "", "1-1/2", id="nominal 1-1/2, not EMT 1-1/4"),
        pytest.param(38.1, "EMT", "1-1/2", id="the same where the type is known"),
        pytest.param(88.9, "", "3", id="outside diameter of 3, not nominal 3-1/2"),
        pytest.param(101.6, "", "3-1/2", id="outside diameter of 3-1/2, not nominal 4"),
        pytest.param(60.0, "", "2", id="rounded to millimetres"),
        pytest.param(60.1, "", "2", id="a mesh is thinner by its chords"),
        pytest.param(23.4, "", "3/4", id="EMT 3/4, not flexible 1/2"),
        pytest.param(23.4, "FMC", "1/2", id="flexible 1/2 where it is known to be flexible"),
    ],
)
def test_a_drawn_diameter_is_matched_tightly(mm, raceway_type, trade_size):
    size, _ = size_drawn(mm / 1000, raceway_type=raceway_type)
    assert size is not None
    assert size.trade_size_in == trade_size


def test_where_a_diameter_is_both_an_outside_and_a_nominal_one_both_are_named():
    _, told_by = size_drawn(0.0889)
    assert "3 in (78)" in told_by
    assert "3-1/2 in (91)" in told_by


def test_a_diameter_equally_near_to_two_sizes_tells_none_and_names_both():
    size, told_by = size_drawn(0.03823)
    assert size is None
    assert "1-1/4 in (35)" in told_by
    assert "1-1/2 in (41)" in told_by


@pytest.mark.parametrize("mm", [3.0, 47.0, 200.0])
def test_a_diameter_near_to_no_size_tells_none(mm):
    model, element = conduit()
    size = size_of(model, element, drawn_mm=mm)
    assert not size.known
    assert size.size_from == ""
    assert any(f"{mm:.1f} mm" in note for note in size.assumptions)


def test_the_drawn_diameter_tells_the_size_where_nothing_else_does():
    model, element = conduit()
    size = size_of(model, element, drawn_mm=60.3)
    assert (size.trade_size_in, size.size_from) == ("2", "diameter")
    assert size.outside_diameter_m == pytest.approx(0.0603)


@pytest.mark.parametrize(
    "measure",
    [(LENGTH, 60.325), ("IfcReal", 60.325), ("IfcReal", 2.375)],
    ids=["length", "millimetres", "inches"],
)
def test_an_outside_diameter_as_a_property_tells_it_before_the_drawn_one(measure):
    model, element = conduit()
    model.pset(element, "Conduit", {"OutsideDiameter": measure})
    size = size_of(model, element, drawn_mm=33.4)
    assert (size.trade_size_in, size.size_from) == ("2", "diameter")
    assert "33.4 mm" in size.conflict


@pytest.mark.parametrize("mm", [50.8, 53.0, 55.8, 60.3, 62.2])
def test_a_body_from_the_nominal_size_to_the_widest_type_is_no_conflict(mm):
    model, element = conduit('Conduit 2"')
    size = size_of(model, element, drawn_mm=mm)
    assert (size.trade_size_in, size.conflict) == ("2", "")


@pytest.mark.parametrize(("mm", "other"), [(33.4, "1 in (27)"), (88.9, "3 in (78)")])
def test_a_body_that_can_not_be_of_the_size_is_a_conflict_that_says_both(mm, other):
    model, element = conduit('Conduit 2"')
    size = size_of(model, element, drawn_mm=mm)
    assert size.trade_size_in == "2"
    for part in ("the name", "2 in (53)", f"{mm} mm", other):
        assert part in size.conflict


def test_a_coupling_may_be_wider_than_its_raceway():
    model, element = conduit('Coupling 2"')
    assert size_of(model, element, drawn_mm=75.0, kind=Kind.FITTING).conflict == ""
    assert size_of(model, element, drawn_mm=33.4, kind=Kind.FITTING).conflict


@pytest.mark.parametrize(
    ("text", "raceway_type"),
    [
        ("EMT", "EMT"),
        ("Electrical Metallic Tubing", "EMT"),
        ("Conduit - EMT:Standard", "EMT"),
        ("IMC", "IMC"),
        ("Intermediate Metal Conduit", "IMC"),
        ("RMC", "RMC"),
        ("GRC", "RMC"),
        ("Rigid Metal Conduit", "RMC"),
        ("Galvanized Rigid Steel Conduit", "RMC"),
        ("PVC-coated rigid steel", "RMC"),
        ("PVC40", "PVC40"),
        ("PVC Sch. 40", "PVC40"),
        ("PVC Conduit (Schedule 40)", "PVC40"),
        ("Rigid Nonmetallic Conduit (RNC Sch 40)", "PVC40"),
        ("SCH 80 PVC", "PVC80"),
        ("FMC", "FMC"),
        ("Flexible Metal Conduit", "FMC"),
        ("LFMC", "LFMC"),
        ("Liquidtight Flexible Metal Conduit", "LFMC"),
        ("Liquid-tight flexible nonmetallic conduit", "LFNC"),
        ("ENT", "ENT"),
        ("Electrical Nonmetallic Tubing", "ENT"),
        ("HDPE", "HDPE"),
    ],
)
def test_raceway_types_are_told_by_their_short_and_long_names(text, raceway_type):
    assert raceway_types_in(text) == (raceway_type,)


@pytest.mark.parametrize(
    "text",
    [
        "Conduit",
        "PVC",
        "Rigid PVC conduit",
        "Rigid conduit",
        "Flexible conduit",
        "Attention",
        "Steel",
    ],
)
def test_an_ambiguous_word_tells_no_raceway_type(text):
    assert raceway_types_in(text) == ()


def test_the_type_is_told_by_property_name_type_and_material_in_this_order():
    model, element = conduit("C-1")
    of_type = model.typed(
        element, "IfcCableCarrierSegmentType", "IMC", PredefinedType="CONDUITSEGMENT"
    )
    model.material(of_type, "HDPE")
    assert size_of(model, element).raceway_type == "IMC"
    element.Name = "RMC C-1"
    assert size_of(model, element).raceway_type == "RMC"
    model.pset(element, "Conduit", {"RacewayType": ("IfcLabel", "EMT")})
    size = size_of(model, element)
    assert size.raceway_type == "EMT"
    assert any("EMT" in note and "RMC" in note for note in size.assumptions)


def test_a_material_tells_the_type_where_nothing_else_does():
    model, element = conduit()
    model.material(element, "PVC Schedule 80")
    assert size_of(model, element).raceway_type == "PVC80"


def test_a_fitting_of_two_types_has_none_by_its_name():
    model, element = conduit("EMT to RMC coupling")
    assert size_of(model, element, kind=Kind.FITTING).raceway_type == ""
