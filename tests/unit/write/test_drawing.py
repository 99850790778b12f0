"""Drawings read back by other programs: a DXF library, a PDF reader, an XML parser, csv."""

import csv
import io
import random
from xml.etree import ElementTree as ET

import ezdxf
import pytest
from pypdf import PdfReader

from modelcheck.checks import check_box
from modelcheck.model.element import WALLS, ElementRef, Enclosure, axis_of
from modelcheck.model.finding import worst
from modelcheck.rules.catalogue import rulebook
from modelcheck.write.drawing_dxf import dxf
from modelcheck.write.drawing_files import drawing_names, write_drawings
from modelcheck.write.drawing_marks import Circle, Line, Text, overlapping, spread
from modelcheck.write.drawing_net import unfold
from modelcheck.write.drawing_pdf import pdf
from modelcheck.write.drawing_sheet import MARGIN, lay_out
from modelcheck.write.drawing_svg import svg
from modelcheck.write.drawing_table import cut_list
from modelcheck.write.drawing_title import BoxDrawing
from tests.box_cases import CEC, box, case, entry, pull, spare

INCH_MM = 25.4
INSIDE_MM = (600, 450, 200)
SVG = "{http://www.w3.org/2000/svg}"


def corner_box(**more):
    """Two pulls round a corner, one of them too near; a spare in the back."""
    return case(
        box(INSIDE_MM, **more),
        entry("A", "-x", "3", (-100, 0)),
        entry("B", "-x", "2", (100, 0)),
        entry("C", "+y", "3", (200, 10)),
        entry("D", "+y", "2", (0, 0)),
        entry("E", "-z", "1-1/4", (-37.5, 20)),
        pulls=(pull("F1", 0, 2), pull("F2", 1, 3), spare(4)),
    )


def crowded_box():
    """Thirty entries of mixed sizes, in every wall but the cover."""
    rng = random.Random(7)
    ends, walls = [], [wall for wall in WALLS if wall != "+z"]
    for number in range(30):
        wall = walls[number % 5]
        sides = [1500, 1200, 400]
        sides.pop(axis_of(wall))
        at = (sides[0] * (number // 5 - 2.5) / 6.5, rng.uniform(-0.25, 0.25) * sides[1])
        ends.append(entry(f"C-{number}", wall, rng.choice(("1/2", "1", "2", "3")), at))
    pulls = tuple(pull(f"F{number}", number, 29 - number) for number in range(15))
    return case(box((1500, 1200, 400)), *ends, pulls=pulls)


def drawing_of(the_case, settings=CEC, **more):
    found = check_box(the_case, rulebook(settings), settings)
    outcome = worst([each.outcome for each in found])
    return BoxDrawing(
        case=the_case,
        settings=settings,
        findings=found,
        outcome=outcome.value if outcome else "none",
        **more,
    )


def texts(sheet):
    return [mark.text for mark in sheet.marks if isinstance(mark, Text)]


def document(the_case):
    content = dxf(drawing_of(the_case), unfold(the_case)).decode("utf-8")
    return ezdxf.read(io.StringIO(content))


def table(the_case):
    return list(csv.DictReader(io.StringIO(cut_list([unfold(the_case)]))))


CASES = {
    "corner": corner_box,
    "crowded": crowded_box,
    "cover-not-known": lambda: corner_box(cover=()),
    "two-covers": lambda: corner_box(cover=("+z", "-y")),
    "not-sized": lambda: case(box(), entry("A", "-x", "4", None), entry("B", "+x", "4", None)),
    "no-entry": lambda: case(box(INSIDE_MM)),
    "size-not-known": lambda: case(box(INSIDE_MM), entry("A", "-x", None), entry("B", "+x", "2")),
    "one-column": lambda: case(
        box(INSIDE_MM), *(entry(f"E{n}", "-x", "1/2", (0, 8 * n - 60)) for n in range(16))
    ),
    "huge": lambda: case(box((90_000, 90_000, 90_000)), entry("A", "-x", "1/2")),
}


@pytest.mark.parametrize("made", [pytest.param(made, id=name) for name, made in CASES.items()])
def test_no_text_lies_on_another_and_nothing_leaves_the_frame(made):
    sheet = lay_out(drawing_of(made()))
    assert overlapping(sheet.marks) == []
    for mark in sheet.marks:
        if isinstance(mark, Text):
            low_x, low_y, high_x, high_y = mark.bounds
            assert mark.size_mm >= 2.5
        elif isinstance(mark, Circle):
            (x, y), r = mark.centre, mark.radius_mm
            low_x, low_y, high_x, high_y = x - r, y - r, x + r, y + r
        else:
            assert isinstance(mark, Line)
            xs, ys = zip(*mark.points, strict=True)
            low_x, low_y, high_x, high_y = min(xs), min(ys), max(xs), max(ys)
        assert low_x >= MARGIN - 1e-6
        assert low_y >= MARGIN - 1e-6
        assert high_x <= sheet.width_mm - MARGIN + 1e-6
        assert high_y <= sheet.height_mm - MARGIN + 1e-6


def test_a_plain_box_is_drawn_on_the_smallest_paper():
    assert lay_out(drawing_of(corner_box())).paper == "A4"


@pytest.mark.parametrize("made", [corner_box, crowded_box])
def test_circles_of_the_dxf_are_those_of_the_cut_list(made):
    read = document(made())
    space = read.modelspace()
    outlines = space.query('LWPOLYLINE[layer=="WALLS"]')
    by_wall = {}
    for outline, panel in zip(outlines, unfold(made()).panels, strict=True):
        assert outline.closed
        xs, ys = zip(*((x, y) for x, y, *_ in outline), strict=True)
        by_wall[panel.wall] = (min(xs), min(ys), max(xs), max(ys))
        assert (max(xs) - min(xs), max(ys) - min(ys)) == pytest.approx(
            (panel.width_mm, panel.height_mm)
        )
    circles = [(*each.dxf.center.xyz[:2], each.dxf.radius) for each in space.query("CIRCLE")]
    rows = table(made())
    assert len(circles) == len(rows)
    for row in rows:
        low_x, low_y, *_ = by_wall[row["wall"]]
        wanted = (
            low_x + float(row["from_left_mm"]),
            low_y + float(row["from_lower_mm"]),
            float(row["hole_mm"]) / 2,
        )
        assert any(circle == pytest.approx(wanted, abs=0.01) for circle in circles)


def test_cut_list_measures_each_centre_from_the_two_walls_that_it_names():
    rows = {row["conduit"]: row for row in table(corner_box())}
    # by hand: A is 100 below the middle of a wall 450 high and in the middle of a depth of 200
    assert (rows["A"]["left_datum"], rows["A"]["from_left_mm"]) == ("-z", "100.00")
    assert (rows["A"]["lower_datum"], rows["A"]["from_lower_mm"]) == ("-y", "125.00")
    # C is 200 along x, 10 along z; the wall is drawn with x to the right and the cover below
    assert (rows["C"]["left_datum"], rows["C"]["from_left_mm"]) == ("-x", "500.00")
    assert (rows["C"]["lower_datum"], rows["C"]["from_lower_mm"]) == ("+z", "90.00")
    # NEMA knockout diameters (knockouts.csv): 3.594 in for trade size 3
    assert float(rows["A"]["hole_mm"]) == pytest.approx(3.594 * INCH_MM, abs=0.005)
    assert rows["A"]["from_left_in"] == "3.937"


@pytest.mark.parametrize("made", [pytest.param(made, id=name) for name, made in CASES.items()])
def test_dxf_is_sound_in_millimetres_and_on_its_layers(made):
    read = document(made())
    audit = read.audit()
    assert not audit.errors
    assert not audit.fixes
    assert read.units == ezdxf.units.MM
    assert {each.dxf.layer for each in read.modelspace()} <= {
        layer.dxf.name for layer in read.layers
    }


def test_dimensions_of_the_dxf_measure_the_centres():
    space = document(corner_box()).modelspace()
    told = {}
    for each in space.query("DIMENSION"):
        along_x = bool(each.dxf.dimtype & 64)  # DXF reference, DIMENSION group 70: ordinate type x
        point = each.get_measurement()
        told[each.dxf.text] = point.x if along_x else point.y
    # by hand, as in the cut list: A and B in the depth, A and B up, C and D across, C, D up, E
    assert told == {
        f"<> [{length / INCH_MM:.2f}]": pytest.approx(length)
        for length in (100, 125, 325, 300, 500, 90, 337.5, 245)
    }


def test_pdf_holds_the_numbers_of_the_table_and_of_the_rows():
    drawing = drawing_of(corner_box(), project="Observatory")
    reader = PdfReader(io.BytesIO(pdf([lay_out(drawing)], title="t")))
    (page,) = reader.pages
    text = page.extract_text()
    assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(
        (210 / INCH_MM * 72, 297 / INCH_MM * 72)
    )
    for wanted in (
        "125.0 [4.92]",
        "91.3 [3.59]",
        "EMT 78 (3)",
        "6 x 78 + 53 = 521 mm",
        "needs 521.0 [20.51]",
        "is 450.0 [17.72]",
        "FAIL",
        "PASS",
        "Wall -x seen from OUTSIDE",
        "COVER +z seen from OUTSIDE",
        "Observatory",
        "Canadian Electrical Code 2024",
        "a licensed person decides",
        "not checked against the code book",
    ):
        assert wanted in text


def test_every_row_says_its_verdict_in_a_word_and_a_line_of_its_own():
    sheet = lay_out(drawing_of(corner_box()))
    styles = [mark.style for mark in sheet.marks if isinstance(mark, Line)]
    words = [text.split("  ")[0] for text in texts(sheet) if "  " in text]
    assert words.count("FAIL") == styles.count("unmet") > 0
    assert words.count("PASS") == styles.count("met") > 0


def test_a_size_in_doubt_is_told_on_the_sheet():
    the_case = corner_box(size_conflict="Width says 700 mm, the body 600 mm", cover=())
    told = " ".join(texts(lay_out(drawing_of(the_case))))
    assert "DO NOT CUT BEFORE THE SIZE IS SETTLED: Width says 700 mm" in told
    assert "Which side the cover is on is not known" in told


def paths(the_case):
    marks = lay_out(drawing_of(the_case)).marks
    return [mark for mark in marks if isinstance(mark, Line) and mark.style == "pull"]


def test_a_path_is_drawn_for_each_pull_and_for_none_that_is_not_known():
    ends = [entry(name, wall, "2") for name, wall in (("A", "-x"), ("B", "+y"), ("C", "+x"))]
    assert len(paths(corner_box())) == 2  # F1 and F2; the spare has none
    assert len(paths(case(box(INSIDE_MM), *ends[:2]))) == 1  # the only pairing
    assert paths(case(box(INSIDE_MM), *ends)) == []
    told = " ".join(texts(lay_out(drawing_of(case(box(INSIDE_MM), *ends)))))
    assert "Which entries share conductors is not known" in told


def test_svg_parses_and_holds_the_same_texts_and_circles():
    sheet = lay_out(drawing_of(corner_box()))
    root = ET.fromstring(svg(sheet))
    assert root.get("width") == "210mm"
    assert [each.text for each in root.iter(f"{SVG}text")] == texts(sheet)
    drawn = sorted(float(each.get("r")) for each in root.iter(f"{SVG}circle"))
    meant = sorted(mark.radius_mm for mark in sheet.marks if isinstance(mark, Circle))
    assert drawn == pytest.approx(meant, abs=0.001)


HOSTILE = [
    pytest.param("<script>alert(1)</script>&\"'", id="markup"),
    pytest.param(") Tj ET Q (\\", id="pdf-operators"),
    pytest.param("%%c%%u^J{\\fArial;}\n0\nEOF\n", id="dxf-codes"),
    pytest.param('=HYPERLINK("x")', id="formula"),
    pytest.param("../../etc/passwd\x00", id="path"),
    pytest.param("\u202eabc\ud800 箱 é", id="letters"),
    pytest.param("W" * 5000, id="long"),
]


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_name_is_only_a_text_in_every_format(name, tmp_path):
    hostile = ElementRef(model=name, guid=name, name=name)
    the_case = case(
        box(INSIDE_MM),
        entry("A", "-x", "2"),
        entry("B", "+y", "2"),
        pulls=(pull(name, 0, 1),),
    )
    enclosure = the_case.enclosure
    renamed = case(
        type(enclosure)(ref=hostile, inside_m=enclosure.inside_m, cover=enclosure.cover),
        *(
            type(each)(box=hostile, conduit=hostile, wall=each.wall, u_m=0, v_m=0, size=each.size)
            for each in the_case.entries
        ),
        pulls=the_case.pulls,
    )
    drawing = drawing_of(renamed, project=name)
    folder = tmp_path / "out"
    folder.mkdir()
    write_drawings([drawing], folder)
    written = {path.name for path in folder.iterdir()}
    assert written == set(drawing_names([drawing]))
    assert {path.name for path in tmp_path.iterdir()} == {"out"}
    (vector,) = folder.glob("*.svg")
    root = ET.parse(vector).getroot()
    kinds = {each.tag.removeprefix(SVG) for each in root.iter()}
    assert kinds == {"svg", "title", "rect", "circle", "polyline", "text"}
    (page,) = PdfReader(next(folder.glob("*.pdf"))).pages
    assert "a licensed person decides" in page.extract_text()
    read = ezdxf.readfile(next(folder.glob("*.dxf")))
    assert len(read.modelspace().query("CIRCLE")) == 2
    assert not read.audit().errors
    with next(folder.glob("*.csv")).open(encoding="utf-8", newline="") as handle:
        rows = list(csv.DictReader(handle))
    assert len(rows) == 2
    assert not any(row["box"].startswith("=") for row in rows)
    assert overlapping(lay_out(drawing).marks) == []


def test_boxes_whose_ids_differ_only_in_case_have_files_of_their_own():
    refs = [ElementRef(model="m", guid=guid) for guid in ("aB", "Ab", "..")]
    names = drawing_names([drawing_of(case(Enclosure(ref=ref))) for ref in refs])
    assert len({name.lower() for name in names}) == len(names) == 8
    assert all(name.startswith(("box-", "boxes.")) for name in names)


def test_the_same_box_gives_the_same_bytes(tmp_path):
    drawings = [drawing_of(corner_box()), drawing_of(crowded_box())]
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        write_drawings(drawings, tmp_path / name)
    for path in (tmp_path / "one").iterdir():
        assert path.read_bytes() == (tmp_path / "two" / path.name).read_bytes()


@pytest.mark.parametrize(
    ("wanted", "given"),
    [
        pytest.param([], [], id="none"),
        pytest.param([1, 9], [1, 9], id="far-apart-stay"),
        pytest.param([5, 5], [3.5, 6.5], id="two-give-way-alike"),
        pytest.param([0, 1, 10], [-1, 2, 10], id="only-the-near-ones-move"),
    ],
)
def test_labels_move_apart_as_little_as_can_be(wanted, given):
    assert spread(wanted, 3) == pytest.approx(given)
