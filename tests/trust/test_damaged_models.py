"""A damaged model is refused in one sentence, or what is damaged is told and never passes."""

from __future__ import annotations

import os
import re

import pytest
from click.testing import CliRunner

from modelcheck.cli import main
from modelcheck.model.finding import BOX_CHECKS, RUN_CHECKS, Outcome
from tests.builders.habits import TIDY
from tests.builders.write_ifc import write
from tests.trust.to_spoil import SMALL
from tests.trust.verdicts import checked

DROPPED = None
BESIDE = {  # elements of the runs that each touches
    "PB-1": {"R1/S1", "R1/S2", "R2/S1"},
    "R1/S1": {"R1/S1", "R1/S2"},
    "R1": {"R1/S1", "R1/S2"},
    "R2/E1": {"R2/S1", "R2/E1", "R2/S2"},
}
MAP_OF_ITSELF = {
    104: "IFCSHAPEREPRESENTATION(#5,'Body','MappedRepresentation',(#901))",
    900: "IFCSHAPEREPRESENTATION(#5,'Body','MappedRepresentation',(#901))",
    901: "IFCMAPPEDITEM(#902,#903)",
    902: "IFCREPRESENTATIONMAP(#101,#900)",
    903: "IFCCARTESIANTRANSFORMATIONOPERATOR3D($,$,#1,$,$)",
}
DISK = {
    103: "IFCSWEPTDISKSOLID(#910,27.9019,$,$,$)",
    911: "IFCCARTESIANPOINT((0.,0.,0.))",
    912: "IFCCARTESIANPOINT((0.,0.,1700.))",
}


def unit(place, kind, factor):
    """Units of a model whose unit of this kind is so many metres or radians."""
    name = {"LENGTH": "METRE", "PLANEANGLE": "RADIAN"}[kind]
    return {
        place: f"IFCCONVERSIONBASEDUNIT(#922,.{kind}UNIT.,'other',#920)",
        920: f"IFCMEASUREWITHUNIT(IFC{kind}MEASURE({factor}),#921)",
        921: f"IFCSIUNIT(*,.{kind}UNIT.,$,.{name}.)",
        922: "IFCDIMENSIONALEXPONENTS(0,0,0,0,0,0,0)",
    }


@pytest.fixture(scope="module")
def sound(tmp_path_factory):
    """Text of a model: R1 is S1 and S2 straight from PB-1 to PB-2, R2 goes round a corner."""
    path = tmp_path_factory.mktemp("sound") / "small.ifc"
    write(SMALL, TIDY, path)
    return path.read_text()


def edited(text, edits):
    """`text` with these statements by number; one of a negative number stands there again."""
    for number, statement in edits.items():
        line = "" if statement is DROPPED else f"#{abs(number)}={statement};\n"
        own = re.compile(rf"^#{number}=.*\n", re.MULTILINE)
        if own.search(text):
            text = own.sub(lambda _, new=line: new, text)
        else:
            head, end, tail = text.rpartition("ENDSEC;")
            text = head + line + end + tail
    return text


def report_on(text, tmp_path):
    path = tmp_path / "damaged.ifc"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return checked(path)


def passing(report, checks):
    """Tags of everything that rows of these checks are about that pass."""
    return {
        ref.tag
        for row in report.findings
        if row.outcome is Outcome.PASS and row.check in checks
        for ref in (row.subject, *row.elements)
    }


def outcomes(report):
    return [(row.id, row.outcome) for row in report.findings]


def told(report):
    """Everything that is said of what can't be relied on."""
    rows = [text for row in report.findings for text in (row.message, *row.assumptions)]
    refused = [f"{each.ref.tag}: {each.reason}" for each in report.not_understood]
    return "\n".join([*report.notes, *refused, *rows])


@pytest.mark.parametrize(
    ("edits", "damaged", "said"),
    [
        pytest.param(
            {35: "IFCLOCALPLACEMENT(#35,#34)"}, "PB-1", "hangs on itself", id="box-placed-by-itself"
        ),
        pytest.param(
            {93: "IFCLOCALPLACEMENT(#115,#92)", 115: "IFCLOCALPLACEMENT(#93,#114)"},
            "R1",
            "hangs on itself",
            id="conduits-placed-by-each-other",
        ),
        pytest.param({34: DROPPED}, "PB-1", "#35 refers to #34", id="placement-not-there"),
        pytest.param({31: DROPPED}, "PB-1", "#34 refers to #31", id="location-not-there"),
        pytest.param(
            {89: "IFCCARTESIANPOINT(())"}, "R1/S1", "a point that lacks", id="no-coordinates"
        ),
        pytest.param(
            {89: "IFCCARTESIANPOINT((300.,$,0.))"},
            "R1/S1",
            "a point that lacks",
            id="coordinate-missing",
        ),
        pytest.param(
            {89: "IFCCARTESIANPOINT((1.E300,0.,0.))"}, "R1/S1", "beyond", id="huge-coordinate"
        ),
        pytest.param(
            {90: "IFCDIRECTION((1.E300,1.E300,0.))"}, "R1/S1", "damaged", id="huge-direction"
        ),
        pytest.param(
            {90: "IFCDIRECTION((0.,0.,-0.))"}, "R1/S1", "leads nowhere", id="direction-of-nothing"
        ),
        pytest.param(
            {39: "IFCRECTANGLEPROFILEDEF(.AREA.,$,#38,1.E9,604.)"},
            "PB-1",
            "beyond any building",
            id="box-of-a-thousand-kilometres",
        ),
        pytest.param(
            {**MAP_OF_ITSELF, 902: "IFCREPRESENTATIONMAP(#1,#104)"},
            "R1/S1",
            "stands nowhere",
            id="map-without-a-place",
        ),
        pytest.param(MAP_OF_ITSELF, "R1/S1", "maps that hold themselves", id="map-of-itself"),
        pytest.param(
            {56: "IFCBOOLEANRESULT(.DIFFERENCE.,#56,#55)"}, "PB-1", "damaged", id="cut-from-itself"
        ),
        pytest.param(
            {56: "IFCBOOLEANRESULT(.DIFFERENCE.,#45,#56)"},
            "PB-1",
            "part of itself",
            id="cut-by-itself",
        ),
        pytest.param({55: DROPPED}, "PB-1", "#56 refers to #55", id="part-of-a-body-not-there"),
        pytest.param({97: DROPPED}, "R1/S1", "#103 refers to #97", id="profile-not-there"),
        pytest.param(
            {**DISK, 910: "IFCPOLYLINE((#911,#999,#912))"},
            "R1/S1",
            "#910 refers to #999",
            id="corner-of-a-path-not-there",
        ),
        pytest.param(
            {**DISK, 910: "IFCPOLYLINE(())"}, "R1/S1", "along no way", id="path-without-points"
        ),
        pytest.param(
            {**DISK, 910: "IFCBSPLINECURVEWITHKNOTS(3,(),.U.,.F.,.F.,(),(),.U.)"},
            "R1/S1",
            "IfcSweptDiskSolid",
            id="spline-without-points",
        ),
        pytest.param(
            {103: "IFCEXTRUDEDAREASOLID(#97,#101,#102,0.)"},
            "R1/S1",
            "without depth",
            id="segment-of-no-length",
        ),
        pytest.param(
            {103: "IFCEXTRUDEDAREASOLID(#97,#101,#102,'long')"},
            "R1/S1",
            "damaged",
            id="word-for-a-number",
        ),
        pytest.param(
            {103: "IFCEXTRUDEDAREASOLID(#97,#101,#102,NAN)"}, "R1/S1", "NAN is", id="not-a-number"
        ),
        pytest.param(
            {171: "IFCREVOLVEDAREASOLID(#163,#167,#170,1.745E7)"},
            "R2/E1",
            "no angle",
            id="bend-of-1e9-degrees",
        ),
        pytest.param(
            {106: "IFCCABLECARRIERSEGMENX('36NHfSWnLNDuvKyANe3v4o',$,'x',$,$,#93,#105,'R1/S1',$)"},
            "R1",
            "IFCCABLECARRIERSEGMENX is no class of IFC4",
            id="class-that-is-none",
        ),
        pytest.param({106: DROPPED}, "R1", "taken not to enter it", id="conduit-not-there"),
        pytest.param(
            {103: "IFCEXTRUDEDAREASOLID(#97,#101,1700.)"},
            "R1/S1",
            "#103 has too few or too many values",
            id="value-missing",
        ),
        pytest.param(
            {-103: "IFCEXTRUDEDAREASOLID(#97,#101,#102,1500.)"},
            "R1/S1",
            "#103 is in the file twice",
            id="statement-twice",
        ),
        pytest.param(
            {900: "IFCRELAGGREGATES('0000000000000000000001',$,$,$,#59,(#59))"},
            "PB-1",
            "part of itself",
            id="box-part-of-itself",
        ),
        pytest.param(
            {
                900: "IFCRELNESTS('0000000000000000000001',$,$,$,'no element',(#901,#999))",
                901: "IFCDISTRIBUTIONPORT('0000000000000000000002',$,$,$,$,$,$,.SOURCE.,$,$)",
                902: "IFCRELCONNECTSPORTTOELEMENT('0000000000000000000003',$,$,$,#901,#106)",
                903: "IFCRELNESTS('0000000000000000000004',$,$,$,#106,(#901,#999))",
            },
            "R1/S1",
            "#903 refers to #999",
            id="ports-that-nothing-has",
        ),
        pytest.param(
            {900: "IFCRELAGGREGATES('0000000000000000000001',$,$,$,#59,(#999))"},
            "PB-1",
            "#900 refers to #999",
            id="part-of-a-box-not-there",
        ),
    ],
)
def test_nothing_passes_that_a_damaged_part_touches(sound, tmp_path, edits, damaged, said):
    report = report_on(edited(sound, edits), tmp_path)
    assert said in told(report)
    assert not BESIDE[damaged] & passing(report, RUN_CHECKS)
    assert damaged == "R2/E1" or not {damaged, "PB-1"} & passing(report, BOX_CHECKS)
    assert "R3/S1" in passing(report, RUN_CHECKS)
    assert damaged == "R1" or "PB-2" in passing(report, BOX_CHECKS)


@pytest.mark.parametrize(
    ("edits", "said"),
    [
        pytest.param({9: DROPPED}, "no sound length unit", id="no-project"),
        pytest.param({8: "IFCUNITASSIGNMENT((#7))"}, "no sound length unit", id="no-length-unit"),
        pytest.param({8: DROPPED}, "no sound length unit", id="no-units"),
        pytest.param(unit(6, "LENGTH", "0."), "no sound length unit", id="unit-of-zero"),
        pytest.param(unit(6, "LENGTH", "-1."), "no sound length unit", id="unit-of-minus-one"),
        pytest.param(unit(6, "LENGTH", "$"), "no sound length unit", id="unit-of-nothing"),
        pytest.param(unit(7, "PLANEANGLE", "0."), "neither radian", id="angle-unit-of-zero"),
        pytest.param(
            {8: "IFCUNITASSIGNMENT((#6,#999))"}, "#8 refers to #999", id="angle-unit-not-there"
        ),
        pytest.param(
            {200: "IFCSITE('37CyCpftjJLhzA5ztElW1w',$,'Site"},
            "statements of the file can't be read",
            id="quote-that-is-not-closed",
        ),
    ],
)
def test_nothing_passes_where_the_whole_model_is_in_doubt(sound, tmp_path, edits, said):
    report = report_on(edited(sound, edits), tmp_path)
    assert said in "\n".join(report.notes)
    assert not passing(report, BOX_CHECKS + RUN_CHECKS)


@pytest.mark.parametrize(
    "edits",
    [
        pytest.param(
            {**DISK, 910: "IFCPOLYLINE((#911,#911,#912,#912))"}, id="pieces-of-no-length-in-a-path"
        ),
        pytest.param(
            {900: "IFCWALL('0000000000000000000001',#999,$,$,$,$,$,$,$)"}, id="owner-not-there"
        ),
        pytest.param(
            {900: "IFCPRESENTATIONLAYERASSIGNMENT('A',$,(#104,#999),$)"}, id="layer-of-what-is-gone"
        ),
    ],
)
def test_what_is_odd_but_bears_on_nothing_changes_nothing(sound, tmp_path, edits):
    before = report_on(sound, tmp_path)
    after = report_on(edited(sound, edits), tmp_path)
    assert outcomes(after) == outcomes(before)


@pytest.mark.parametrize(
    ("relation", "related"),
    [
        pytest.param("CONNECTSPORTS", "'a','b',$", id="words-for-ports"),
        pytest.param("DEFINESBYPROPERTIES", "('a',3.),5", id="words-for-elements"),
        pytest.param("DEFINESBYTYPE", "'abc',#34", id="word-for-a-list"),
        pytest.param("AGGREGATES", "'whole',(IFCLABEL('part'))", id="label-for-a-part"),
        pytest.param("ASSIGNSTOGROUP", "(#106),$,#31", id="point-for-a-group"),
    ],
)
def test_a_relation_of_what_can_not_be_related_costs_no_element(sound, tmp_path, relation, related):
    before = report_on(sound, tmp_path)
    statement = f"IFCREL{relation}('0000000000000000000001',$,$,$,{related})"
    after = report_on(edited(sound, {900: statement}), tmp_path)
    assert outcomes(after) == outcomes(before)


@pytest.mark.parametrize(
    ("relation", "related", "said"),
    [
        pytest.param(
            "CONNECTSPORTTOELEMENT", "#34,#106", "RelatingPort", id="placement-for-a-port"
        ),
        pytest.param("CONNECTSPORTTOELEMENT", "7.,#106", "RelatingPort", id="number-for-a-port"),
        pytest.param("CONNECTSPORTS", "#34,#{port},$", "RelatingPort", id="its-port-to-no-port"),
        pytest.param("NESTS", "#106,(#34)", "RelatedObjects", id="placement-among-ports"),
        pytest.param(
            "DEFINESBYPROPERTIES", "(#106),#34", "RelatingPropertyDefinition", id="no-set"
        ),
        pytest.param("DEFINESBYTYPE", "(#106),$", "RelatingType", id="no-type"),
    ],
)
def test_a_relation_that_holds_what_can_not_stand_there_is_told_of_its_elements(
    sound, tmp_path, relation, related, said
):
    port = re.search(r"IFCRELNESTS\([^#]*[^(]*#106,\(#(\d+)", sound).group(1)
    statement = f"IFCREL{relation}('0000000000000000000001',$,$,$,{related.format(port=port)})"
    report = report_on(edited(sound, {900: statement}), tmp_path)
    assert "R1/S1" not in passing(report, (*BOX_CHECKS, *RUN_CHECKS))
    assert f"R1/S1: {said} of #900 is no Ifc" in told(report)
    assert "R3/S1" in passing(report, RUN_CHECKS)


def test_two_elements_of_one_global_id_are_two(sound, tmp_path):
    twins = sound.replace("3GYCWb$frVA93361VCnG0s", "3xkU4jMVvJZeME59ZtU6rv")
    report = report_on(twins, tmp_path)
    assert [row.enclosure.ref.step_id for row in report.boxes] == [59, 88]
    assert len({row.id for row in report.findings}) == len(report.findings)


def test_an_element_without_a_global_id_is_told_by_its_number(sound, tmp_path):
    report = report_on(sound.replace("'3GYCWb$frVA93361VCnG0s'", "$"), tmp_path)
    assert "#88" in {row.enclosure.ref.guid for row in report.boxes}


@pytest.mark.parametrize(
    "name",
    [
        pytest.param(b"x" * 1_000_000, id="a-million-letters"),
        pytest.param(b"caf\xe9 \xff\xfe", id="bytes-of-another-encoding"),
        pytest.param(rb"\X2\D800\X0\ \S\ \X4\00110000\X0\ ", id="escapes-of-no-letter"),
    ],
)
def test_a_name_of_any_letters_is_read_and_written(sound, tmp_path, name):
    path = tmp_path / "named.ifc"
    path.write_bytes(sound.encode().replace(b"Pull box PB-1", name))
    result = CliRunner().invoke(main, ["check", str(path), "--out", str(tmp_path / "out")])
    assert result.exit_code in (0, 1), result.output
    assert result.stderr == ""


@pytest.mark.parametrize(
    "own",
    ["Conduit R1/S1", "R1/S1", "Pull box PB-1", "PB-1", "3GYCWb$frVA93361VCnG0s"],
)
@pytest.mark.parametrize("other", ["#34", "7", "(1.,2.)"], ids=["reference", "number", "list"])
def test_what_is_no_text_is_no_name(sound, tmp_path, own, other):
    path = tmp_path / "named.ifc"
    assert f"'{own}'" in sound
    path.write_text(sound.replace(f"'{own}'", other))
    result = CliRunner().invoke(main, ["check", str(path), "--out", str(tmp_path / "out")])
    assert result.exit_code in (0, 1), result.output
    assert result.stderr == ""


REFUSED = [
    pytest.param(lambda _: b"", "the file is empty", id="empty"),
    pytest.param(lambda _: b" \n\t", "the file is empty", id="blank"),
    pytest.param(lambda _: b"Hello", "not an IFC file", id="other-text"),
    pytest.param(lambda _: b"<ifcXML/>", "XML or JSON", id="xml"),
    pytest.param(lambda _: b'{"type": "ifcJSON"}', "XML or JSON", id="json"),
    pytest.param(lambda text: text.decode().encode("utf-16"), "UTF-16", id="utf-16"),
    pytest.param(lambda text: text.decode().encode("utf-16-le"), "UTF-16", id="utf-16-unmarked"),
    pytest.param(lambda text: text.replace(b"'IFC4'", b"'IFC9'"), "schema IFC9", id="schema"),
    pytest.param(lambda text: text.replace(b"'IFC4'", b"*"), "no schema", id="schema-of-no-text"),
    pytest.param(lambda text: text.replace(b"('IFC4')", b""), "no schema", id="schema-not-there"),
    pytest.param(
        lambda text: text.replace(b"\nDATA;", b"\nHEADER;\nENDSEC;\nDATA;"),
        "two headers",
        id="headers",
    ),
    pytest.param(lambda text: text + text, "two headers", id="two-models"),
    pytest.param(lambda text: text.replace(b"1700.", b"1.E999"), "not a readable", id="infinite"),
    pytest.param(
        lambda text: re.sub(rb"#(\d+)=(IFC)", rb"#\1=X\2", text), "none of its", id="no-statement"
    ),
    *(
        pytest.param(lambda text, at=at: text[:at], "cut off", id=f"cut-at-{at}")
        for at in (200, 350, 5000, 20000, -3, -20)
    ),
    pytest.param(lambda text: text[: text.index(b"#59=")], "cut off", id="cut-between-statements"),
]


@pytest.mark.parametrize(("damage", "said"), REFUSED)
def test_what_can_not_be_a_whole_model_is_refused_in_one_sentence(sound, tmp_path, damage, said):
    path = tmp_path / "model.ifc"
    path.write_bytes(damage(sound.encode()))
    result = CliRunner().invoke(main, ["check", str(path), "--out", str(tmp_path / "out")])
    assert result.exit_code == 2, result.output
    assert said in result.stderr
    assert str(path) in result.stderr
    assert result.stderr.count("\n") == 1
    assert [each.name for each in tmp_path.iterdir()] == ["model.ifc"]


def test_what_is_no_file_is_refused(tmp_path):
    pipe = tmp_path / "pipe.ifc"
    os.mkfifo(pipe)
    result = CliRunner().invoke(main, ["check", str(pipe), "--out", str(tmp_path / "out")])
    assert result.exit_code == 2
    assert "not a file" in result.stderr
