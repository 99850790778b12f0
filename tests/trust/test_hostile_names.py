"""Names of a model are hostile: each output is read back, and escapes what is its own."""

from __future__ import annotations

import csv
import json
import re
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import ifcopenshell
import openpyxl
import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from modelcheck.cli import main
from tests.trust.hostile import MARK, NAMES, write_hostile

STEERS = re.compile(
    "[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]"
)
FORMULA = ("=", "+", "-", "@", "\t", "\r")
NUMBER = re.compile(r"-?\d+(\.\d+)?|[+-][xyz](;[+-][xyz])*|")
CHROMIUM = Path("/usr/bin/chromium")
KINDS = ("check", "since", "compare", "draw", "bends", "read")


@pytest.fixture(scope="module", params=[pytest.param(name, id=name) for name in NAMES])
def written(request, tmp_path_factory):
    """Everything that the commands write of a model of that name, and what they print."""
    home = tmp_path_factory.mktemp("hostile")
    model = home / "plant.ifc"
    write_hostile(model, NAMES[request.param])
    printed = {}
    of = str(model)
    commands = {
        "check": ["check", of, "--pdf"],
        "since": ["check", of, "--code", "nec", "--since", str(home / "check")],
        "compare": ["compare", str(home / "check"), str(home / "since")],
        "draw": ["draw", of, "--all"],
        "bends": ["bends", of, "--all"],
        "read": ["read", of],
    }
    for kind in KINDS:
        result = CliRunner().invoke(main, [*commands[kind], "--out", str(home / kind)])
        assert result.exit_code in (0, 1), result.output
        printed[kind] = result.output
    arguments = ["pulls", str(model), "--out", str(home / "pulls.csv")]
    printed["pulls"] = CliRunner().invoke(main, arguments).output
    return home, printed


def files(home, ending):
    return [path for kind in KINDS for path in sorted((home / kind).rglob(f"*{ending}"))]


def test_no_name_leads_out_of_the_folder_or_is_too_long(written):
    home, _ = written
    assert {path.name for path in home.iterdir()} <= {"plant.ifc", "pulls.csv", *KINDS}
    for kind in KINDS:
        for path in (home / kind).iterdir():
            assert path.is_file()
            assert len(path.name.encode()) <= 120
            assert re.fullmatch(r"[A-Za-z0-9_$.-]+", path.name)


def test_nothing_steers_the_terminal(written):
    _, printed = written
    for text in printed.values():
        assert STEERS.search(text) is None
        assert len(text) < 100_000


@pytest.mark.usefixtures("wide_cells")
def test_no_cell_of_a_table_is_a_formula(written):
    home, _ = written
    tables = [*files(home, ".csv"), *home.glob("pulls.csv")]
    assert tables
    for path in tables:
        with path.open(encoding="utf-8", newline="") as handle:
            rows = list(csv.reader(handle, strict=True))
        assert len({len(row) for row in rows}) == 1, path.name
        for cell in (cell for row in rows[1:] for cell in row):
            assert not cell.startswith(FORMULA) or NUMBER.fullmatch(cell), (path.name, cell[:50])


def test_no_cell_of_the_workbook_is_a_formula_or_a_link(written):
    home, _ = written
    (path, _) = files(home, ".xlsx")
    book = openpyxl.load_workbook(path)
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert any(MARK in str(cell.value) for cell in cells)
    for cell in cells:
        assert cell.data_type != "f"
        assert cell.hyperlink is None or cell.hyperlink.target is None
    with zipfile.ZipFile(path) as parts:
        for name in parts.namelist():
            assert b"externalLink" not in parts.read(name)


def test_the_topics_are_xml_that_means_only_text(written):
    home, _ = written
    for path in files(home, ".bcf"):
        with zipfile.ZipFile(path) as parts:
            names = parts.namelist()
            assert all(re.fullmatch(r"[A-Za-z0-9_./-]+", name) for name in names)
            assert not any(".." in name or name.startswith("/") for name in names)
            for name in names:
                if name.endswith((".bcf", ".bcfv", ".version", ".bcfp", ".xml")):
                    raw = parts.read(name)
                    assert b"<!" not in raw
                    found = ElementTree.fromstring(raw)
                    assert not {each.tag.lower() for each in found.iter()} & {"script", "img", "b"}


def test_drawings_are_xml_that_means_only_text(written):
    home, _ = written
    drawings = files(home, ".svg")
    assert drawings
    for path in drawings:
        raw = path.read_bytes()
        assert b"<!" not in raw.replace(b"<!--", b"", 0)
        for each in ElementTree.fromstring(raw).iter():
            assert each.tag.rpartition("}")[2] not in ("script", "image", "foreignObject", "a")
            assert not any(name.lower().startswith("on") for name in each.attrib)


def test_drawings_for_the_punch_open_and_hold_only_what_was_drawn(written):
    home, _ = written
    (path,) = files(home, ".dxf")
    drawing = ezdxf.readfile(path)
    assert not drawing.audit().has_errors
    assert len(drawing.modelspace().query("CIRCLE")) == 2
    for each in drawing.modelspace().query("TEXT"):
        assert not set(each.dxf.text) & set("\r\n\x00\x1b")
        assert len(each.dxf.text) < 3000


def test_pages_open_and_do_nothing(written):
    home, _ = written
    pages = files(home, ".pdf")
    assert len(pages) == 3
    for path in pages:
        raw = path.read_bytes()
        assert not re.search(rb"/(JavaScript|JS|Launch|SubmitForm|OpenAction|EmbeddedFile)\b", raw)
        for page in PdfReader(path).pages:
            page.extract_text()
            assert not page.get("/AA")


def test_the_checked_model_is_the_model_and_our_sets(written):
    home, _ = written
    (path, _) = files(home, ".checked.ifc")
    before, after = ifcopenshell.open(home / "plant.ifc"), ifcopenshell.open(path)
    for each in before:
        twin = after.by_id(each.id())
        assert str(twin) == str(each)
    added = {each.is_a() for each in after} - {each.is_a() for each in before}
    assert added <= {
        "IfcPropertySet", "IfcRelDefinesByProperties", "IfcPropertySingleValue", "IfcOwnerHistory",
    }  # fmt: skip
    assert not after.by_type("IfcWall")


def test_the_summary_is_json(written):
    home, _ = written
    summary = json.loads((home / "check" / "summary.json").read_text(encoding="utf-8"))
    assert summary["files"]


def test_the_page_does_nothing_but_show_names(written):
    """No tag, attribute or script of the page comes from a name; a browser runs none of it."""
    home, _ = written
    text = (home / "check" / "review.html").read_text(encoding="utf-8")
    for data in re.findall(r"<script type=\"application/json\"[^>]*>(.*?)</script>", text, re.S):
        json.loads(data)
    outside = re.sub(r"<script\b.*?</script>", "", text, flags=re.S)
    assert f'window.{MARK}=1"' not in outside.replace("&#34;", "'").replace("&quot;", "'")
    assert f"<script>window.{MARK}" not in text


def test_in_a_browser_no_name_runs(tmp_path):
    sync_api = pytest.importorskip("playwright.sync_api")
    if not CHROMIUM.is_file():
        pytest.skip("no browser here")
    write_hostile(tmp_path / "plant.ifc", *NAMES.values())
    arguments = ["check", str(tmp_path / "plant.ifc"), "--out", str(tmp_path / "out")]
    assert CliRunner().invoke(main, arguments).exit_code in (0, 1)
    with sync_api.sync_playwright() as play:
        browser = play.chromium.launch(executable_path=str(CHROMIUM), args=["--no-sandbox"])
        page = browser.new_page()
        asked, said = [], []
        page.on("request", lambda request: asked.append(request.url))
        page.on("dialog", lambda dialog: said.append(dialog.message))
        page.goto((tmp_path / "out" / "review.html").as_uri())
        page.wait_for_timeout(500)
        shown = page.inner_text("body")
        is_safe = page.evaluate(f"window.{MARK} === undefined")
        links = page.evaluate("[...document.querySelectorAll('a')].map(each => each.href)")
        browser.close()
    assert MARK in shown
    assert is_safe
    assert said == []
    assert [url for url in asked if not url.startswith(("file:", "blob:", "data:"))] == []
    assert not [url for url in links if url.startswith("javascript:")]
