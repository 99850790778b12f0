import math
from dataclasses import replace
from uuid import RFC_4122, UUID

import ifcopenshell
import ifcopenshell.guid
import ifcopenshell.util.element
import ifcopenshell.util.unit
import pytest

from modelcheck.model.element import Enclosure
from modelcheck.model.finding import Outcome
from modelcheck.write.checked_model import splice_of, write_checked_model
from modelcheck.write.ifc_psets import property_sets
from tests.shared_models import shared_model
from tests.unit.write.reports import (
    BOX,
    CONDUIT,
    ELBOW,
    MODEL,
    bends_finding,
    box_row,
    finding,
    ref,
    report,
    run,
    run_row,
)

HEAD = """ISO-10303-21;
HEADER;
/* by hand; ENDSEC; */
FILE_DESCRIPTION(('ViewDefinition [ReferenceView]'),'2;1');
FILE_NAME('plant.ifc','2020-01-01T00:00:00',('A. Drafter'),(''),'','','');
FILE_SCHEMA(('IFC4'));
ENDSEC;
DATA;
#1=IFCPROJECT('0PROJECT00000000000000',$,'Plant',$,$,$,$,(#3),#2);
#2=IFCUNITASSIGNMENT((#4,#5));
#3=IFCGEOMETRICREPRESENTATIONCONTEXT($,'Model',3,1.E-05,#6,$);
#4=IFCSIUNIT(*,.LENGTHUNIT.,.MILLI.,.METRE.);
#5=IFCSIUNIT(*,.PLANEANGLEUNIT.,$,.RADIAN.);
#6=IFCAXIS2PLACEMENT3D(#7,$,$);
#7 = IFCCARTESIANPOINT( (0.,0.,0.) ); /* spaced */
#10=IFCJUNCTIONBOX('0BOX',$,'PB-1; ENDSEC;',$,$,$,$,$,$);
#20=IFCCABLECARRIERSEGMENT('1CON',$,'it''s \\X2\\00E9\\X0\\',$,$,$,$,$,$);
#21=IFCCABLECARRIERFITTING('2ELB',$,$,$,$,$,$,$,$);
"""
TAIL = "ENDSEC;\nEND-ISO-10303-21;\n"
IFC4 = HEAD + TAIL
IFC2X3 = (
    HEAD.replace("'IFC4'", "'IFC2X3'")
    .replace(
        "#10=IFCJUNCTIONBOX('0BOX',$,'PB-1; ENDSEC;',$,$,$,$,$,$)",
        "#10=IFCFLOWFITTING('0BOX',$,$,$,$,$,$,$)",
    )
    .replace(
        "IFCCABLECARRIERSEGMENT('1CON',$,'it''s \\X2\\00E9\\X0\\',$,$,$,$,$,$)",
        "IFCFLOWSEGMENT('1CON',$,$,$,$,$,$,$)",
    )
    .replace(
        "IFCCABLECARRIERFITTING('2ELB',$,$,$,$,$,$,$,$)", "IFCFLOWFITTING('2ELB',$,$,$,$,$,$,$)"
    )
    + TAIL
)
FEET = IFC4.replace(
    "#4=IFCSIUNIT(*,.LENGTHUNIT.,.MILLI.,.METRE.);",
    "#4=IFCCONVERSIONBASEDUNIT(#8,.LENGTHUNIT.,'FOOT',#9);\n"
    "#8=IFCDIMENSIONALEXPONENTS(1,0,0,0,0,0,0);\n"
    "#9=IFCMEASUREWITHUNIT(IFCLENGTHMEASURE(0.3048),#11);\n"
    "#11=IFCSIUNIT(*,.LENGTHUNIT.,$,.METRE.);",
)


@pytest.fixture
def checked(tmp_path):
    """Write a checked model of a text; gives its path and what was said."""

    def make(text, whole=None, name="plant"):
        source = tmp_path / f"{name}.ifc"
        source.write_bytes(text if isinstance(text, bytes) else text.encode())
        target = tmp_path / f"{name}.checked.ifc"
        sets = property_sets(whole or report(), MODEL)
        splice = splice_of(source, ifcopenshell.open(str(source)))
        write_checked_model(source, target, splice=splice, sets=sets)
        return target, splice.note

    return make


def sets_of(path, guid):
    model = ifcopenshell.open(str(path))  # held: its elements don't hold it
    element = next(each for each in model.by_type("IfcObject") if each.GlobalId == guid)
    return ifcopenshell.util.element.get_psets(element)


def plain(properties):
    return {name: value for name, value in properties.items() if name != "id"}


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(IFC4, id="ifc4"),
        pytest.param(IFC2X3, id="ifc2x3-without-owner"),
        pytest.param(IFC4.replace("\n", "\r\n"), id="windows-line-ends"),
        pytest.param(
            HEAD + "ENDSEC ; /* bye */\nEND-ISO-10303-21; \n/* x */", id="comments-at-end"
        ),
        pytest.param(IFC4.rstrip(), id="no-last-line-end"),
        pytest.param(HEAD.rstrip() + TAIL, id="end-on-the-last-line"),
    ],
)
def test_all_bytes_of_the_input_are_still_there(checked, text):
    path, note = checked(text)
    written = path.read_bytes()
    end = text.rindex("ENDSEC")
    assert note == ""
    assert written.startswith(text[:end].encode())
    assert written.endswith(text[end:].encode())
    assert (b"\r\n" in written) == ("\r\n" in text)
    assert "Outcome" in sets_of(path, "0BOX")["RacewayCheck_Enclosure"]


@pytest.mark.parametrize("text", [IFC4, IFC2X3], ids=["ifc4", "ifc2x3"])
def test_a_model_without_boxes_and_runs_is_copied(checked, text):
    path, _ = checked(text, report(boxes=(), runs=()))
    assert path.read_text() == text


def test_the_sets_hold_what_the_tables_hold_in_the_units_of_the_model(checked):
    angle = finding(required=371.96, provided=300.04)
    depth = finding(check="cover-depth", outcome=Outcome.NEEDS_INPUT, required=None, unit="mm")
    path, _ = checked(IFC4, report(findings=(angle, depth, bends_finding())))
    assert plain(sets_of(path, "0BOX")["RacewayCheck_Enclosure"]) == {
        "Outcome": "fail",
        "InsideX": 600.0,
        "InsideY": 450.0,
        "Cover": "+z",
        "EntryCount": 1,
        "Code": "cec",
        "Edition": "2024",
        "AnglePullDistanceRequired": 372.0,
        "AnglePullDistanceProvided": 300.0,
        "AnglePullDistanceOutcome": "fail",
        "CoverDepthProvided": 300.0,
        "CoverDepthOutcome": "needs-input",
    }
    on_run = plain(sets_of(path, "2ELB")["RacewayCheck_Run"])
    assert on_run.pop("BendTotal") == pytest.approx(math.radians(90.0))
    assert on_run.pop("BendLimit") == pytest.approx(math.radians(360.0))
    assert on_run == {
        "Run": "R1",
        "Outcome": "pass",
        "BendCount": 1,
        "Length": 1234.6,
        "TradeSize": "2",
    }
    assert sets_of(path, "1CON") == sets_of(path, "2ELB")


def test_a_model_in_feet_gets_feet(checked):
    inches = finding(required=13.0, provided=12.0, unit="in")
    path, _ = checked(FEET, report(findings=(inches,)))
    found = sets_of(path, "0BOX")["RacewayCheck_Enclosure"]
    scale = ifcopenshell.util.unit.calculate_unit_scale(ifcopenshell.open(str(path)))
    assert found["InsideX"] * scale == pytest.approx(0.6)
    assert found["AnglePullDistanceRequired"] * scale == pytest.approx(0.3302)
    assert found["AnglePullDistanceRequired"] == pytest.approx(13 / 12)


def test_values_carry_their_measures(checked):
    volume = finding(check="box-volume", required=100.0, provided=200.0, unit="cm3")
    path, _ = checked(IFC4, report(findings=(volume,)))
    model = ifcopenshell.open(str(path))
    types = {
        each.Name: each.NominalValue.is_a() for each in model.by_type("IfcPropertySingleValue")
    }
    assert types["InsideX"] == "IfcLengthMeasure"
    assert types["BendTotal"] == "IfcPlaneAngleMeasure"
    assert types["Outcome"] == "IfcLabel"
    assert types["BoxVolumeRequired"] == "IfcVolumeMeasure"
    found = sets_of(path, "0BOX")["RacewayCheck_Enclosure"]
    assert found["BoxVolumeRequired"] == pytest.approx(1e-4)


def test_the_worst_row_of_a_check_stands_in_the_set(checked):
    rows = (
        finding(outcome=Outcome.PASS, required=1000.0, provided=1000.0),
        finding(required=310.0, provided=300.0),
        finding(required=320.0, provided=300.0),
        finding(outcome=Outcome.NEEDS_INPUT, required=900.0, provided=None),
    )
    for order in (rows, rows[::-1]):
        path, _ = checked(IFC4, report(findings=order))
        found = sets_of(path, "0BOX")["RacewayCheck_Enclosure"]
        assert found["AnglePullDistanceRequired"] == 320.0


def test_an_element_of_two_runs_has_both_names_and_the_worst_outcome(checked):
    other = run_row(run=run(name="R2", elements=(CONDUIT,)), outcome="fail", bend_total_deg=450.0)
    path, _ = checked(IFC4, report(runs=(run_row(), other)))
    both = sets_of(path, "1CON")["RacewayCheck_Run"]
    assert (both["Run"], both["Outcome"]) == ("R1;R2", "fail")
    assert both["BendTotal"] == pytest.approx(math.radians(450.0))
    assert sets_of(path, "2ELB")["RacewayCheck_Run"]["Run"] == "R1"


def test_elements_of_other_files_get_nothing(checked):
    far = replace(ELBOW, model="other.ifc")
    path, _ = checked(IFC4, report(runs=(run_row(run=run(elements=(CONDUIT, far))),)))
    assert "RacewayCheck_Run" in sets_of(path, "1CON")
    assert sets_of(path, "2ELB") == {}


def test_an_element_without_a_global_id_gets_its_set_by_its_number(checked):
    text = IFC4.replace("'2ELB'", "$")
    path, _ = checked(text, report(runs=(run_row(run=run(elements=(CONDUIT, ref("#21", 21)))),)))
    model = ifcopenshell.open(str(path))
    assert ifcopenshell.util.element.get_psets(model.by_id(21))["RacewayCheck_Run"]["Run"] == "R1"


def test_two_boxes_of_one_global_id_get_sets_of_their_own(checked):
    text = IFC4.replace("#20=", "#12=IFCJUNCTIONBOX('0BOX',$,$,$,$,$,$,$,$);\n#20=")
    twin = Enclosure(ref=replace(BOX, step_id=12))
    path, _ = checked(text, report(boxes=(box_row(), box_row(enclosure=twin, outcome="none"))))
    model = ifcopenshell.open(str(path))
    ids = [each.GlobalId for each in model.by_type("IfcPropertySet")]
    assert len(ids) == len(set(ids))
    for step_id, outcome in ((10, "fail"), (12, "none")):
        found = ifcopenshell.util.element.get_psets(model.by_id(step_id))
        assert found["RacewayCheck_Enclosure"]["Outcome"] == outcome


def test_ids_are_made_from_the_content(checked):
    first = checked(IFC4)[0].read_bytes()
    assert checked(IFC4, name="again")[0].read_bytes() == first
    model = ifcopenshell.open(str(checked(IFC4)[0]))
    ids = [each.GlobalId for each in model.by_type("IfcPropertySet")]
    changed = report(findings=(finding(required=500.0),))
    again = ifcopenshell.open(str(checked(IFC4, changed)[0]))
    assert [each.GlobalId for each in again.by_type("IfcPropertySet")] == ids


@pytest.mark.parametrize(
    "text", [pytest.param(IFC4, id="ifc4"), pytest.param(IFC2X3, id="ifc2x3-without-owner")]
)
def test_checking_a_checked_model_gives_the_same_bytes_again(checked, text):
    first, _ = checked(text)
    again, note = checked(first.read_bytes(), name="again")
    assert note == ""
    assert again.read_bytes() == first.read_bytes()


def test_other_answers_replace_the_sets_and_every_instance_of_the_input_can_be_told(checked):
    first, _ = checked(IFC4)
    passing = report(
        findings=(finding(outcome=Outcome.PASS, provided=400.0),),
        boxes=(box_row(outcome="pass"),),
        runs=(),
    )
    path, _ = checked(first.read_bytes(), passing, name="again")
    assert path.read_bytes() == checked(IFC4, passing, name="fresh")[0].read_bytes()
    assert "RacewayCheck_Run" not in path.read_text()
    old, new = ifcopenshell.open(str(first)), ifcopenshell.open(str(path))
    for each in old:
        same = each.id() in new.entity_names() and str(new.by_id(each.id())) == str(each)
        assert same or "RacewayCheck_" in str(each)


def test_a_property_that_another_set_uses_stays(checked):
    first, _ = checked(IFC4)
    model = ifcopenshell.open(str(first))
    (cover,) = [each for each in model.by_type("IfcPropertySingleValue") if each.Name == "Cover"]
    text = first.read_text().replace(
        TAIL,
        f"#900=IFCPROPERTYSET('0MINE',$,'Mine',$,(#{cover.id()}));\n"
        f"#901=IFCRELDEFINESBYPROPERTIES('1MINE',$,$,$,(#10),#900);\n{TAIL}",
    )
    path, note = checked(text, report(boxes=(), runs=()), name="again")
    assert note == ""
    assert plain(sets_of(path, "0BOX")["Mine"]) == {"Cover": "+z"}
    assert list(sets_of(path, "0BOX")) == ["Mine"]


def test_a_set_that_a_type_uses_too_is_taken_out_by_the_library(checked):
    first, _ = checked(IFC4)
    model = ifcopenshell.open(str(first))
    ours = model.by_type("IfcPropertySet")[0].id()
    text = first.read_text().replace(
        TAIL,
        f"#900=IFCJUNCTIONBOXTYPE('0TYP',$,'T',$,$,(#{ours}),$,$,$,.NOTDEFINED.);\n{TAIL}",
    )
    path, note = checked(text, name="again")
    assert note == "property sets of an earlier check are used elsewhere too"
    model = ifcopenshell.open(str(path))
    assert not model.by_id(900).HasPropertySets
    assert sets_of(path, "0BOX")["RacewayCheck_Enclosure"]["Outcome"] == "fail"


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(IFC4.replace("END-ISO-10303-21;", ""), id="no-end"),
        pytest.param(IFC4 + "garbage", id="garbage-after-the-end"),
    ],
)
def test_an_unusual_text_is_written_anew_and_said(checked, text):
    path, note = checked(text)
    assert note == "the layout of its text is unusual"
    old, new = ifcopenshell.open(str(path.parent / "plant.ifc")), ifcopenshell.open(str(path))
    assert all(str(new.by_id(each.id())) == str(each) for each in old)
    assert sets_of(path, "0BOX")["RacewayCheck_Enclosure"]["Outcome"] == "fail"


@pytest.mark.parametrize("dangling", [22, 25, 99, 100, 4711])
def test_a_reference_to_nothing_stays_one(checked, dangling):
    text = IFC4.replace("'2ELB',$", f"'2ELB',#{dangling}")
    path, _ = checked(text)
    model = ifcopenshell.open(str(path))
    assert dangling not in model.entity_names()
    assert model.by_id(21).OwnerHistory is None


def test_a_number_in_a_name_is_no_reference(checked):
    path, _ = checked(IFC4.replace("'Plant'", "'Panel #900000'"))
    assert max(ifcopenshell.open(str(path)).entity_names()) < 100


def test_hostile_names_of_runs_are_read_back_as_they_were(checked):
    name = "it's \\X\\ é \u202e\n\U0001f600"
    path, _ = checked(IFC4, report(runs=(run_row(run=run(name=name)),)))
    assert sets_of(path, "1CON")["RacewayCheck_Run"]["Run"] == name


@pytest.mark.parametrize(
    "name",
    [
        "RE1-Plumbing.ifc",
        "Duplex_Electrical_20121207.ifc",
        "PCERT-Infra-Plumbing.ifc",
        "pass-sys001-sink_source.ifc",
        "massing-families-electrical-raceway-v0.1.5.ifc",
    ],
)
def test_an_open_model_keeps_every_byte(checked, name):
    raw = shared_model(name).read_bytes()
    model = ifcopenshell.open(str(shared_model(name)))
    things = [each for each in model.by_type("IfcElement") if each.GlobalId][:3]
    refs = tuple(ref(each.GlobalId, each.id(), ifc_class=each.is_a()) for each in things)
    whole = report(boxes=(), runs=(run_row(run=run(elements=refs)),))
    path, note = checked(raw, whole)
    again, _ = checked(path.read_bytes(), whole, name="again")
    assert note == ""
    assert again.read_bytes() == path.read_bytes()
    assert path.read_bytes().startswith(raw[: raw.rindex(b"ENDSEC")])
    assert path.read_bytes().endswith(raw[raw.rindex(b"ENDSEC") :])
    for each in things:
        assert sets_of(path, each.GlobalId)["RacewayCheck_Run"]["Run"] == "R1"


def test_ids_of_what_is_added_are_uuids_as_ifc_spells_them(checked):
    path, _ = checked(IFC4)
    model = ifcopenshell.open(str(path))
    added = [*model.by_type("IfcPropertySet"), *model.by_type("IfcRelDefinesByProperties")]
    assert added
    for each in added:
        told = UUID(ifcopenshell.guid.expand(each.GlobalId))
        assert (told.version, told.variant) == (5, RFC_4122)
        assert ifcopenshell.guid.compress(told.hex) == each.GlobalId
