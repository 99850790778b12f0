"""The commands as a user gives them."""

import json
import subprocess
import sys

import pytest
from click.testing import CliRunner

from modelcheck import __version__
from modelcheck.cli import main
from tests.shared_models import shared_model

BOX = """
[[box]]
name = "PB-1"
inside_mm = [600, 450, 200]
cover = "+z"
[[box.entry]]
name = "A"
wall = "-x"
trade_size_in = "2"
raceway_type = "EMT"
at_mm = [0, 0]
[[box.entry]]
name = "B"
wall = "+x"
trade_size_in = "2"
raceway_type = "EMT"
at_mm = [0, 0]
"""


def run(*arguments):
    return CliRunner().invoke(main, [str(each) for each in arguments])


def content(folder):
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


@pytest.fixture
def model():
    return shared_model("pass-sys001-sink_source.ifc")


def test_help_and_version_come_without_loading_the_program():
    code = (
        "import sys; from click.testing import CliRunner; from modelcheck.cli import main;"
        "print(CliRunner().invoke(main, ['--help']).output);"
        "print([name for name in ('ifcopenshell', 'numpy', 'rich') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert "Check conduit runs and pull boxes" in done.stdout
    assert done.stdout.splitlines()[-1] == "[]"
    assert run("--version").output == f"modelcheck {__version__}\n"


def test_the_module_runs_as_a_program():
    command = [sys.executable, "-m", "modelcheck", "rules", "entry-spacing"]
    done = subprocess.run(command, check=False, capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (0, "")
    assert "6 x 78 = 468 mm" in done.stdout


def test_without_a_command_the_help_is_shown():
    result = run()
    assert result.exit_code == 0
    assert "check" in result.output


def assert_one_sentence(result, *parts):
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    assert result.stderr.count("\n") == 1
    for part in parts:
        assert part in result.stderr
    assert result.exception is None or isinstance(result.exception, SystemExit)


@pytest.mark.parametrize(
    ("arguments", "part"),
    [
        pytest.param(["chek"], "No such command 'chek'", id="unknown-command"),
        pytest.param(["check", "--oot", "x"], "No such option '--oot'", id="unknown-option"),
        pytest.param(["check", "--out", "x"], "Missing argument", id="no-model"),
        pytest.param(["check", "m.ifc"], "Missing option '--out'", id="no-out"),
        pytest.param(["check", "m.ifc", "--out"], "'--out' requires an argument", id="no-folder"),
        pytest.param(
            ["check", "m.ifc", "--out", "x", "--code", "iec"], "'iec' is not one of", id="code"
        ),
        pytest.param(
            ["check", "m.ifc", "--out", "x", "--edition", "1999"],
            "there is no edition '1999' of cec",
            id="edition",
        ),
        pytest.param(["rules", "box-color"], "there is no check 'box-color'", id="unknown-check"),
        pytest.param(["size", "none.toml"], "none.toml: can't be read", id="no-box-file"),
    ],
)
def test_a_wrong_command_line_is_one_sentence(arguments, part):
    assert_one_sentence(run(*arguments), part)


@pytest.mark.parametrize(
    ("name", "raw", "parts"),
    [
        pytest.param("m.ifc", None, ["m.ifc"], id="missing"),
        pytest.param("m.ifc", b"", ["m.ifc"], id="empty"),
        pytest.param("m.ifc", b"PK\x03\x04 not a zip", ["m.ifc"], id="no-zip"),
        pytest.param("m.ifc", b"<?xml version='1.0'?><ifcXML/>", ["m.ifc"], id="xml"),
        pytest.param("m.ifc", b"%PDF-1.7\n...", ["m.ifc"], id="pdf"),
        pytest.param(
            "m.ifc",
            b"ISO-10303-21;HEADER;FILE_DESCRIPTION((''),'2;1');FILE_NAME('','',(''),(''),'','','');"
            b"FILE_SCHEMA(('IFC9'));ENDSEC;DATA;ENDSEC;END-ISO-10303-21;",
            ["m.ifc", "IFC9"],
            id="unknown-schema",
        ),
    ],
)
def test_a_model_that_can_not_be_read_is_one_sentence_and_the_folder_as_it_was(
    tmp_path, name, raw, parts
):
    path, out = tmp_path / name, tmp_path / "out"
    if raw is not None:
        path.write_bytes(raw)
    assert_one_sentence(run("check", path, "--out", out), *parts)
    assert not out.exists()
    out.mkdir()
    (out / "findings.csv").write_text("old")
    assert_one_sentence(run("check", path, "--out", out), *parts)
    assert content(out) == {"findings.csv": b"old"}
    assert sorted(each.name for each in tmp_path.iterdir()) == sorted(
        {"out", name} if raw is not None else {"out"}
    )


@pytest.mark.parametrize("name", ["DrainageSystem-1-1.ifc", "DrainageSystem-2.ifc"])
def test_a_schema_that_is_not_read_is_named(tmp_path, name):
    result = run("check", shared_model(name), "--out", tmp_path / "out")
    assert_one_sentence(result, name, "IFC4X3_RC3")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("option", "text", "part"),
    [
        pytest.param("--pulls", None, "PULLS.csv: can't be read", id="no-schedule"),
        pytest.param(
            "--pulls",
            "pull,conductor_size,insulation,count,route\n,,,,\n",
            "PULLS.csv:2: the row is empty",
            id="empty-row",
        ),
        pytest.param(
            "--pulls",
            "pull,conductor_size,insulation,count,route\nF1,,,,nothing\n",
            "PULLS.csv:2: 'nothing' names no conduit or box",
            id="unknown-reference",
        ),
        pytest.param("--settings", "[selekt]", "did you mean 'select'", id="unknown-table"),
        pytest.param(
            "--settings",
            "[[amendment]]\ncheck='box-volume'\ncode='cec'\nvalue=1\nclause='a'\nsource='b'\n"
            "adopted_by='c'",
            "box-volume",
            id="amendment-to-what-can-not-be-amended",
        ),
    ],
)
def test_a_wrong_schedule_or_setting_is_one_sentence(tmp_path, model, option, text, part):
    path = tmp_path / ("PULLS.csv" if option == "--pulls" else "SETTINGS.toml")
    if text is not None:
        path.write_text(text)
    assert_one_sentence(run("check", model, "--out", tmp_path / "out", option, path), part)
    assert not (tmp_path / "out").exists()


def test_the_same_file_twice_is_an_error(tmp_path, model):
    assert_one_sentence(run("check", model, model, "--out", tmp_path / "out"), model.name)
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("name", ["m.checked.ifc", "M.checked.ifc"])
def test_no_input_is_written_over(tmp_path, model, name):
    path = tmp_path / "out" / name
    path.parent.mkdir()
    path.write_bytes(model.read_bytes())
    assert_one_sentence(run("check", path, "--out", tmp_path / "out"), name, "written over")
    assert content(tmp_path / "out") == {name: model.read_bytes()}


def test_no_schedule_is_written_over(tmp_path, model):
    path = tmp_path / "out" / "runs.csv"
    path.parent.mkdir()
    path.write_text("pull,conductor_size,insulation,count,route\nF1,,,,x\n")
    result = run("check", model, "--out", tmp_path / "out", "--pulls", path)
    assert_one_sentence(result, "runs.csv", "written over")


def test_a_file_in_the_place_of_the_folder_is_one_sentence(tmp_path, model):
    (tmp_path / "out").write_text("mine")
    assert_one_sentence(run("check", model, "--out", tmp_path / "out"), "this is a file")
    assert (tmp_path / "out").read_text() == "mine"


def test_a_hostile_file_name_steers_nothing(tmp_path):
    path = tmp_path / "a\nb\x1b[2J.ifc"
    result = run("check", path, "--out", tmp_path / "out")
    assert_one_sentence(result)
    assert "\x1b" not in result.stderr


def test_size_prints_the_steps(tmp_path):
    (tmp_path / "BOX.toml").write_text(BOX)
    result = run("size", tmp_path / "BOX.toml")
    assert result.exit_code == 0
    assert "8 x 53 = 424 mm" in " ".join(result.stdout.split())


def test_size_prints_json_and_exits_one_where_a_box_fails(tmp_path):
    (tmp_path / "BOX.toml").write_text(BOX.replace("600", "400"))
    result = run("size", tmp_path / "BOX.toml", "--code", "nec", "--json")
    assert result.exit_code == 1
    (box,) = json.loads(result.stdout)["boxes"]
    assert (box["name"], box["outcome"]) == ("PB-1", "fail")
    (row,) = [each for each in box["findings"] if each["check"] == "straight-pull-length"]
    assert (row["required"], row["provided"], row["unit"]) == (16.0, 15.75, "in")
    assert row["entries"] == ["A", "B"]
    assert box["least_inside_mm"] == [406.4, None, None]


@pytest.mark.parametrize(
    ("change", "parts"),
    [
        pytest.param(('wall = "-x"', 'wall = "left"'), ["PB-1", "A"], id="wall"),
        pytest.param(('trade_size_in = "2"', 'trade_size_in = "2-3/4"'), ["PB-1", "A"], id="size"),
        pytest.param(("inside_mm", "insides_mm"), ["PB-1", "did you mean"], id="key"),
    ],
)
def test_a_wrong_box_is_named_with_its_entry(tmp_path, change, parts):
    (tmp_path / "BOX.toml").write_text(BOX.replace(*change, 1))
    assert_one_sentence(run("size", tmp_path / "BOX.toml"), "BOX.toml", *parts)


def test_rules_lists_every_check_with_its_clause_edition_and_source():
    text = " ".join(run("rules").stdout.split())
    for part in ("cec 2024: 12-3036 2)b)", "nec 2023: 314.28(A)(1)", "conduit-fill"):
        assert part in text
