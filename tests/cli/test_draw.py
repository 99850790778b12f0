"""Drawings and practice sheets as a person asks for them."""

import csv
from pathlib import Path

import ezdxf
import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from modelcheck.cli import main
from modelcheck.pipeline.check import check
from modelcheck.pipeline.request import Request

SAMPLES = Path(__file__).parents[2] / "sample_models"
MODEL = SAMPLES / "generator-shed.ifc"


def run(*arguments):
    return CliRunner().invoke(main, [str(each) for each in arguments])


def rows_of(path):
    with path.open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


@pytest.fixture(scope="module")
def drawn(tmp_path_factory):
    out = tmp_path_factory.mktemp("draw") / "out"
    result = run("draw", MODEL, "--all", "--pulls", SAMPLES / "PULLS.csv", "--out", out)
    assert result.exit_code == 1, result.output  # boxes of the sample fail
    return out


def test_every_box_with_entries_has_a_page_a_dxf_and_rows_of_the_cut_list(drawn):
    rows = rows_of(drawn / "boxes.cut-list.csv")
    guids = {row["box_guid"] for row in rows}
    assert len(PdfReader(drawn / "boxes.pdf").pages) == len(guids) == len(list(drawn.glob("*.dxf")))
    for guid in guids:
        own = [row for row in rows if row["box_guid"] == guid]
        read = ezdxf.readfile(drawn / f"box-{guid}.dxf")
        radii = sorted(each.dxf.radius for each in read.modelspace().query("CIRCLE"))
        assert radii == pytest.approx(sorted(float(row["hole_mm"]) / 2 for row in own), abs=0.01)


def test_holes_stand_where_the_check_has_them(drawn):
    report = check(Request(models=(MODEL,)))
    entries = {
        (row.entry.box.guid, row.entry.conduit.guid, row.entry.wall): row.entry
        for row in report.entries
    }
    inside_m = {row.enclosure.ref.guid: row.enclosure.inside_m for row in report.boxes}
    rows = rows_of(drawn / "boxes.cut-list.csv")
    assert len(rows) == len(entries)
    for row in rows:
        entry = entries[row["box_guid"], row["conduit_guid"], row["wall"]]
        across = [axis for axis in "xyz" if axis != row["wall"][1]]
        at = dict(zip(across, (entry.u_m, entry.v_m), strict=True))
        for edge in ("left", "lower"):
            sign, axis = row[f"{edge}_datum"]
            half_m = inside_m[row["box_guid"]]["xyz".index(axis)] / 2
            from_edge_m = half_m + (at[axis] if sign == "-" else -at[axis])
            assert float(row[f"from_{edge}_mm"]) == pytest.approx(1000 * from_edge_m, abs=0.006)


def test_sheet_names_the_project_of_the_model(drawn):
    assert "Observatory" in PdfReader(drawn / "boxes.pdf").pages[0].extract_text()


def test_one_box_has_files_of_its_own_name(drawn, tmp_path):
    guid = rows_of(drawn / "boxes.cut-list.csv")[0]["box_guid"]
    result = run("draw", MODEL, "--box", guid, "--out", tmp_path / "out")
    assert result.exit_code in (0, 1), result.output
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert names == {f"box-{guid}.{kind}" for kind in ("svg", "dxf", "pdf", "cut-list.csv")}


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        pytest.param(["--box", "nothing"], "no box has the GlobalId 'nothing'", id="unknown"),
        pytest.param([], "either --box with a GlobalId or --all", id="neither"),
        pytest.param(["--all", "--box", "x"], "either --box with a GlobalId or --all", id="both"),
    ],
)
def test_what_can_t_be_drawn_is_told_in_one_sentence_and_nothing_is_written(
    arguments, told, tmp_path
):
    result = run("draw", MODEL, *arguments, "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert told in result.stderr
    assert len(result.stderr.splitlines()) == 1
    assert not (tmp_path / "out").exists()


def test_files_of_the_user_in_the_folder_stay(tmp_path):
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    result = run("size", SAMPLES / "BOX.toml", "--draw", tmp_path)
    assert result.exit_code == 1, result.output
    names = {path.name for path in tmp_path.iterdir()}
    assert {"mine.txt", "boxes.pdf", "box-PB-A.dxf", "box-PB-B.svg"} <= names


def test_practice_sheets_are_written_and_a_count_of_none_is_refused(tmp_path):
    result = run("practice", "--seed", 1, "--count", 2, "--code", "nec", "--out", tmp_path / "out")
    assert result.exit_code == 0, result.output
    assert "a licensed person decides" in " ".join(result.output.split())
    assert len(list((tmp_path / "out").iterdir())) == 4
    result = run("practice", "--seed", 1, "--count", 0, "--out", tmp_path / "none")
    assert result.exit_code == 2
    assert not (tmp_path / "none").exists()
