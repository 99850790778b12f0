"""Topics, workbook and record of a whole check, read by other programs."""

import csv
from math import dist
from pathlib import Path

import bcf.v2.bcfxml
import openpyxl
import pytest
from click.testing import CliRunner
from pypdf import PdfReader

import modelcheck
from modelcheck.cli import main

SAMPLES = Path(__file__).parents[2] / "sample_models"
MODELS = [str(SAMPLES / name) for name in ("dome.ifc", "yard.ifc")]
NAMES = ("findings.bcf", "findings.xlsx", "report.pdf")


def check(out, *options):
    result = CliRunner().invoke(main, ["check", *MODELS, "--out", str(out), *options])
    assert result.exit_code == 1, result.output
    return out


@pytest.fixture(scope="module")
def results(tmp_path_factory):
    return check(tmp_path_factory.mktemp("results") / "out", "--pdf")


def findings(out):
    with (out / "findings.csv").open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def test_every_row_that_fails_is_one_comment_of_one_topic(results):
    with bcf.v2.bcfxml.BcfXml.load(results / "findings.bcf") as read:
        told = [
            line.removeprefix("Finding ")
            for topic in read.topics.values()
            for comment in topic.comments
            for line in comment.comment.splitlines()
            if line.startswith("Finding ")
        ]
    failing = [row["finding"] for row in findings(results) if row["outcome"] == "fail"]
    assert sorted(told) == sorted(failing)
    assert len(failing) > 5


def test_each_camera_looks_at_the_place_of_a_row_from_nearby(results):
    places = {
        row["finding"]: [float(row[f"{axis}_m"]) for axis in "xyz"] for row in findings(results)
    }
    with bcf.v2.bcfxml.BcfXml.load(results / "findings.bcf") as read:
        for topic in read.topics.values():
            (view,) = topic.viewpoints.values()
            camera = view.visualization_info.perspective_camera
            eye, way = (
                [each.x, each.y, each.z]
                for each in (camera.camera_view_point, camera.camera_direction)
            )
            place = places[topic.comments[0].comment.split("Finding ")[1]]
            away = dist(eye, place)
            ahead = sum(w * (p - e) for w, p, e in zip(way, place, eye, strict=True))
            assert away < 60.0  # metres: the runs of the samples are shorter
            assert ahead > 0.8 * away  # within 37 degrees of the middle of the picture


def test_the_sheet_of_findings_is_the_table_of_findings(results):
    sheet = openpyxl.load_workbook(results / "findings.xlsx")["findings"]
    rows = list(sheet.iter_rows(values_only=True))
    told = findings(results)
    assert len(rows) == len(told) + 1
    for cells, row in zip(rows[1:], told, strict=True):
        for cell, text in zip(cells, row.values(), strict=True):
            is_same = (cell or "") == text if isinstance(cell, str | None) else cell == float(text)
            assert is_same, (cell, text)


def test_the_record_has_a_page_for_each_box_and_run_that_fails(results):
    titles = []
    for entry in PdfReader(results / "report.pdf").outline:
        titles += [each.title for each in entry] if isinstance(entry, list) else [entry.title]
    boxes = {
        row["subject_name"]
        for row in findings(results)
        if row["outcome"] == "fail" and row["check"] in ("angle-pull-distance", "entry-spacing")
    }
    assert boxes <= set(titles)
    assert boxes


def test_the_same_check_gives_the_same_bytes_and_what_is_not_asked_for_goes(results, tmp_path):
    again = check(tmp_path / "out", "--pdf")
    for name in NAMES:
        assert (again / name).read_bytes() == (results / name).read_bytes(), name
    check(again, "--bcf", "3.0")
    assert not (again / "report.pdf").exists()
    assert (again / "findings.bcf").read_bytes() != (results / "findings.bcf").read_bytes()


def test_python_writes_the_same_as_the_command(results, tmp_path):
    written = modelcheck.write_results(modelcheck.check(MODELS), tmp_path / "out", pdf=True)
    assert {each.name for each in written} == {each.name for each in results.iterdir()}
    for name in NAMES:
        assert (tmp_path / "out" / name).read_bytes() == (results / name).read_bytes(), name
