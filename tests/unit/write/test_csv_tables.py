import csv
from dataclasses import replace

import pytest

from modelcheck.model.acceptance import Acceptance
from modelcheck.model.element import Enclosure
from modelcheck.model.finding import Outcome
from modelcheck.model.whereabouts import Whereabouts
from modelcheck.write.csv_tables import main_tables, number, quantity, write_table
from tests.unit.write.reports import (
    BOX,
    CONDUIT,
    ELBOW,
    bends_finding,
    box_row,
    entry_row,
    finding,
    ref,
    report,
    run,
    run_row,
)

WHERE = Whereabouts(
    storey="L2", storey_elevation_m=4.2, height_m=2.71, space="=201", grid="B/3", system="F1"
)
ACCEPTED = Acceptance(by="R. Person", on="2026-01-05", why="=1+1")
PLACE = {
    "storey": "L2",
    "storey_elevation_m": "4.200",
    "height_m": "2.710",
    "space": "'=201",
    "grid": "B/3",
    "system": "F1",
    "trade": "",
}


def read(path):
    with path.open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle, strict=True))


def written(tmp_path, **parts):
    for table in main_tables(report(**parts)):
        write_table(table, tmp_path)
    return {path.name: read(path) for path in tmp_path.iterdir()}


def test_each_table_says_what_the_report_says(tmp_path):
    tables = written(
        tmp_path,
        findings=(finding(where=WHERE, accepted=ACCEPTED),),
        runs=(run_row(where=WHERE),),
        boxes=(box_row(where=WHERE),),
    )
    assert tables["findings.csv"][0] == {
        "finding": finding().id,
        "model": "plant.ifc",
        "check": "angle-pull-distance",
        "outcome": "fail",
        "subject_guid": "0BOX",
        "subject_name": "PB-1",
        "subject_class": "IfcJunctionBox",
        "element_guids": "1CON",
        "required": "372.0",
        "provided": "300.0",
        "unit": "mm",
        "code": "cec",
        "edition": "2024",
        "clause": "12-3036 2)c)i)",
        "working": "6 x 53 + 53 = 371 mm",
        "assumptions": "4 AWG or larger;a, b",
        "message": "Make the box 72 mm longer.",
        "x_m": "1.000",
        "y_m": "0.000",
        "z_m": "2.500",
        **PLACE,
        "accepted_by": "R. Person",
        "accepted_on": "2026-01-05",
        "accepted_until": "",
        "accepted_why": "'=1+1",
    }
    assert tables["runs.csv"] == [
        {
            "run": "R1",
            "model": "plant.ifc",
            "start_guid": "0BOX",
            "end_guid": "",
            "element_guids": "1CON;2ELB",
            "raceway_type": "EMT",
            "trade_size_in": "2",
            "metric_designator": "53",
            "size_from": "property",
            "length_mm": "1234.6",
            "bend_count": "1",
            "bend_total_deg": "90.0",
            "limit_deg": "360.0",
            "outcome": "pass",
            **PLACE,
            "x_m": "0.000",
            "y_m": "0.000",
            "z_m": "0.000",
            "end_x_m": "1.000",
            "end_y_m": "0.000",
            "end_z_m": "0.000",
        }
    ]
    assert tables["boxes.csv"] == [
        {
            "box_guid": "0BOX",
            "model": "plant.ifc",
            "name": "PB-1",
            "ifc_class": "IfcJunctionBox",
            "inside_x_mm": "600.0",
            "inside_y_mm": "450.0",
            "inside_z_mm": "",
            "size_from": "body",
            "cover": "+z",
            "entry_count": "1",
            "outcome": "fail",
            "message": "",
            **PLACE,
            "x_m": "0.000",
            "y_m": "0.000",
            "z_m": "0.000",
        }
    ]
    assert tables["entries.csv"] == [
        {
            "box_guid": "0BOX",
            "conduit_guid": "1CON",
            "wall": "-x",
            "u_mm": "-40.0",
            "v_mm": "0.0",
            "raceway_type": "EMT",
            "trade_size_in": "2",
            "metric_designator": "53",
            "size_from": "property",
            "run": "R1",
            "carries": "F1;F2",
            "model": "plant.ifc",
            "conduit_model": "plant.ifc",
            "conduit_name": "C-101",
        }
    ]


def test_empty_tables_have_their_header_and_unix_line_ends(tmp_path):
    written(tmp_path, findings=(), runs=(), boxes=(), entries=())
    for path in tmp_path.iterdir():
        raw = path.read_bytes()
        assert raw.count(b"\n") == 1
        assert b"\r" not in raw


@pytest.mark.parametrize(
    "hostile",
    [
        pytest.param("=1+1", id="formula"),
        pytest.param("+1", id="plus"),
        pytest.param("-1", id="minus"),
        pytest.param("@SUM(A1)", id="at"),
        pytest.param("\t=1", id="tab"),
        pytest.param("\r=1", id="carriage-return"),
        pytest.param("+x", id="like-a-wall"),
    ],
)
def test_a_name_that_looks_like_a_formula_is_written_as_text(tmp_path, hostile):
    name = replace(BOX, name=hostile)
    tables = written(tmp_path, findings=(finding(subject=name, message=hostile),))
    (row,) = tables["findings.csv"]
    assert (row["subject_name"], row["message"]) == (f"'{hostile}", f"'{hostile}")


@pytest.mark.parametrize(
    "name",
    [
        pytest.param('a "b", c', id="quotes-and-commas"),
        pytest.param("a\nb\r\nc\rd", id="line-ends"),
        pytest.param("\u202eevil\u0000\u001b[31m", id="control-characters"),
        pytest.param("é" * 100_000, id="very-long"),
    ],
)
@pytest.mark.usefixtures("wide_cells")
def test_any_name_is_read_back_as_it_was(tmp_path, name):
    tables = written(tmp_path, findings=(finding(subject=replace(BOX, name=name)),))
    assert tables["findings.csv"][0]["subject_name"] == name


def test_half_a_surrogate_pair_does_not_stop_the_table(tmp_path):
    tables = written(tmp_path, findings=(finding(subject=replace(BOX, name="\ud800")),))
    assert tables["findings.csv"][0]["subject_name"] == "?"


def test_walls_and_numbers_are_left_as_they_are(tmp_path):
    box = Enclosure(ref=BOX, cover=("+z", "-z"))
    tables = written(tmp_path, boxes=(box_row(enclosure=box),))
    assert tables["boxes.csv"][0]["cover"] == "+z;-z"
    assert tables["entries.csv"][0]["wall"] == "-x"
    assert tables["entries.csv"][0]["u_mm"] == "-40.0"


def test_an_unknown_cover_and_size_are_said(tmp_path):
    tables = written(tmp_path, boxes=(box_row(enclosure=Enclosure(ref=BOX)),))
    assert tables["boxes.csv"][0]["cover"] == "unknown"
    assert tables["boxes.csv"][0]["inside_x_mm"] == ""


def test_elements_of_a_box_are_sorted_and_of_a_run_in_order(tmp_path):
    others = (ELBOW, CONDUIT, ELBOW)
    tables = written(
        tmp_path,
        findings=(finding(elements=others), bends_finding(elements=others)),
        runs=(run_row(run=run(elements=others)),),
    )
    assert [row["element_guids"] for row in tables["findings.csv"]] == ["1CON;2ELB", "2ELB;1CON"]
    assert tables["runs.csv"][0]["element_guids"] == "2ELB;1CON"


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [
        pytest.param(-0.04, 1, "0.0", id="no-negative-zero"),
        pytest.param(1e22, 1, "10000000000000000000000.0", id="no-exponent"),
        pytest.param(1e-9, 3, "0.000", id="tiny"),
        pytest.param(float("nan"), 1, "", id="nan"),
        pytest.param(float("-inf"), 1, "", id="inf"),
        pytest.param(None, 1, "", id="unknown"),
        pytest.param(-12.34, 1, "-12.3", id="negative"),
    ],
)
def test_numbers_are_plain(value, decimals, text):
    assert number(value, decimals) == text


def test_each_unit_has_its_own_precision():
    assert quantity(330.25, "mm") == "330.2"
    assert quantity(13.0, "in") == "13.00"
    assert quantity(22.49, "deg") == "22.5"


def test_entries_in_another_file_name_it(tmp_path):
    row = entry_row()
    far = replace(row.entry, conduit=ref("9FAR", 1, model="other.ifc"))
    tables = written(tmp_path, entries=(replace(row, entry=far),))
    assert tables["entries.csv"][0]["conduit_model"] == "other.ifc"


def test_the_outcome_is_written_as_a_word(tmp_path):
    tables = written(tmp_path, findings=(finding(outcome=Outcome.NEEDS_INPUT),))
    assert tables["findings.csv"][0]["outcome"] == "needs-input"
