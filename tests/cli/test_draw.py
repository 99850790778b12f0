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
        pytest.param(
            ["--box", "nothing"], "there is no box 'nothing': the boxes are", id="unknown"
        ),
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


FIXES_UNITS = [pytest.param((), id="mm"), pytest.param(("--units", "in"), id="in")]


@pytest.mark.parametrize("units", FIXES_UNITS)
def test_a_proposal_is_cut_where_fixes_csv_has_it_and_passes(units, tmp_path):
    shed = (MODEL, "--pulls", SAMPLES / "PULLS.csv", *units)
    assert run("check", *shed, "--out", tmp_path / "check").exit_code == 1
    arguments = ("--all", "--proposed", "least-by-moving", "--out", tmp_path / "out")
    result = run("draw", *shed, *arguments)
    assert result.exit_code == 0, result.output
    fixes = rows_of(tmp_path / "check" / "fixes.csv")
    placed = [row for row in fixes if row["change"] == "entry centre"]
    cut = rows_of(tmp_path / "out" / "boxes.proposed.cut-list.csv")
    assert len(cut) == len(placed) > 10
    for guid in {row["box_guid"] for row in placed}:
        (size,) = (r for r in fixes if (r["box_guid"], r["change"]) == (guid, "least by moving"))
        own = [row for row in placed if row["box_guid"] == guid]
        dxf = ezdxf.readfile(tmp_path / "out" / f"box-{guid}.proposed.dxf")
        assert not dxf.audit().errors
        assert _holes_in(dxf) == _holes_told(own, size, cut)
    pages = PdfReader(tmp_path / "out" / "boxes.proposed.pdf").pages
    assert all("PROPOSAL, NOT AS IN THE MODEL" in page.extract_text() for page in pages)
    assert {row["proposal"] for row in cut} == {"least by moving"}


def _holes_in(dxf):
    """Wall, distances from its left and lower edge, radius of each circle. [0.01 mm]"""
    space = dxf.modelspace()
    edges = [each for each in space.query("LWPOLYLINE") if each.dxf.layer == "WALLS"]
    captions = [each for each in space.query("TEXT") if "seen from OUTSIDE" in each.dxf.text]
    holes = set()
    for circle in space.query("CIRCLE"):
        x, y = circle.dxf.center.x, circle.dxf.center.y
        (corner, top) = next(
            (points[0], points[2])
            for edge in edges
            for points in [[(p[0], p[1]) for p in edge.get_points()]]
            if points[0][0] <= x <= points[2][0] and points[0][1] <= y <= points[2][1]
        )
        (caption,) = (
            each
            for each in captions
            if abs(each.dxf.insert.x - corner[0]) < 0.01 and 0 < each.dxf.insert.y - top[1] < 40
        )
        wall = caption.dxf.text.split()[1]
        holes.add(
            (wall, *(round(v * 100) for v in (x - corner[0], y - corner[1], circle.dxf.radius)))
        )
    return holes


def _holes_told(rows, size, cut):
    """The same by fixes.csv, with the edges that the cut list measures from."""
    unit_mm = 25.4 if size["unit"] == "in" else 1.0
    inside_mm = [float(each) * unit_mm for each in size["to"].split(" x ")]
    told = set()
    for row in rows:
        _, u, _, v = row["to"].split()
        (hole,) = (
            each
            for each in cut
            if (each["box_guid"], each["conduit_guid"], each["wall"])
            == (row["box_guid"], row["conduit_guid"], row["wall"])
        )
        across = [axis for axis in "xyz" if axis != row["wall"][1]]
        at_mm = {axis: float(each) * unit_mm for axis, each in zip(across, (u, v), strict=True)}
        far = []
        for datum in (hole["left_datum"], hole["lower_datum"]):
            sign, axis = datum
            half_mm = inside_mm["xyz".index(axis)] / 2
            far.append(half_mm + (at_mm[axis] if sign == "-" else -at_mm[axis]))
        told.add((row["wall"], *(round(v * 100) for v in (*far, float(hole["hole_mm"]) / 2))))
    return told


def test_a_box_that_passes_has_no_proposal_to_draw_and_nothing_is_written(tmp_path):
    shed = (MODEL, "--pulls", SAMPLES / "PULLS.csv")
    guid = next(row.enclosure.ref.guid for row in check(Request(models=(MODEL,))).boxes
                if row.enclosure.ref.name.endswith("GS-8"))  # fmt: skip
    arguments = ("--box", guid, "--proposed", "enlarged", "--out", tmp_path / "out")
    result = run("draw", *shed, *arguments)
    assert result.exit_code == 0, result.output
    assert "nothing to draw" in result.output
    assert not (tmp_path / "out").exists()


def test_boxes_by_hand_are_drawn_as_proposed_and_what_can_t_be_is_told(tmp_path):
    arguments = ("--draw", tmp_path / "out", "--proposed", "least-by-moving")
    result = run("size", SAMPLES / "BOX.toml", *arguments)
    assert result.exit_code == 1, result.output
    drawn = {path.name for path in (tmp_path / "out").glob("*.dxf")}
    assert drawn == {"box-PB-A.proposed.dxf"}
    assert "No proposal for PB-B" in result.stderr
    assert run("size", SAMPLES / "BOX.toml", "--proposed", "enlarged").exit_code == 2


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
