"""``modelcheck read``: what was recognised as what."""

import csv
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from modelcheck.cli import main
from tests.shared_models import shared_model

SAMPLES = Path(__file__).parents[2] / "sample_models"


def run(*arguments):
    return CliRunner().invoke(main, ["read", *map(str, arguments)])


def table(folder):
    with (folder / "elements.csv").open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def content(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def assert_one_sentence(result, *parts):
    assert result.exit_code == 2, result.output
    assert (result.stdout, result.stderr.count("\n")) == ("", 1)
    for part in parts:
        assert part in result.stderr


def test_what_was_recognised_is_printed_by_class_and_evidence():
    result = run(SAMPLES / "control-house.ifc")
    assert result.exit_code == 0, result.output
    lines = [line.split() for line in result.stdout.splitlines()]
    assert any(line[:3] == ["box", "IfcFlowFitting", "type"] for line in lines)
    assert any(line[:3] == ["segment", "IfcFlowSegment", "type"] for line in lines)


def test_every_element_of_every_model_is_in_the_table(tmp_path):
    models = [SAMPLES / "dome.ifc", SAMPLES / "yard.ifc"]
    result = run(*models, "--out", tmp_path / "out")
    assert result.exit_code == 0, result.output
    rows = table(tmp_path / "out")
    keys = [(row["model"], row["guid"]) for row in rows]
    assert keys == sorted(keys)
    assert {row["model"] for row in rows} == {"dome.ifc", "yard.ifc"}
    boxes = [row for row in rows if row["kind"] == "box"]
    assert len(boxes) == 8 + 12  # as sample_models/README.md lists them
    (bare,) = [row for row in boxes if row["name"].endswith("DM-8")]
    assert (bare["cover_from"], bare["reason"]) == ("", "its cover is not known")


def test_every_column_of_the_table_is_in_the_manual(tmp_path):
    run(SAMPLES / "dome.ifc", "--out", tmp_path)
    manual = SAMPLES.with_name("README.md").read_text(encoding="utf-8")
    section = manual.split("## What was recognised")[1].split("\n## ")[0]
    rows = table(tmp_path)
    assert all(f"`{column}`" in section for column in rows[0])
    for column in ("kind", "kind_from", "ends_from"):
        used = {row[column] for row in rows} - {""}
        assert all(f"`{value}`" in section for value in used)


def test_the_same_models_give_the_same_bytes(tmp_path):
    for name in ("one", "two"):
        run(SAMPLES / "dome.ifc", "--out", tmp_path / name)
    assert content(tmp_path / "one") == content(tmp_path / "two")


def test_the_settings_say_what_is_selected(tmp_path):
    settings = tmp_path / "SETTINGS.toml"
    settings.write_text('[select]\nconduit = "IfcFlowSegment"\nfitting = "IfcFlowFitting"\n')
    model = shared_model("RE1-Plumbing.ifc")
    assert run(model, "--settings", settings, "--out", tmp_path / "out").exit_code == 0
    rows = table(tmp_path / "out")
    # 63 IfcFlowSegment, 54 IfcFlowFitting: counted in ../shared/models/NOTES.md
    selected = [row["ifc_class"] for row in rows if row["kind_from"] == "select"]
    assert (selected.count("IfcFlowSegment"), selected.count("IfcFlowFitting")) == (63, 54)


def test_a_model_of_another_trade_says_that_there_is_nothing_to_check():
    result = run(shared_model("Duplex_Electrical_20121207.ifc"))
    assert result.exit_code == 0
    assert "There is nothing to check" in result.stdout


def test_results_of_a_check_and_files_of_the_users_stay(tmp_path):
    model = shutil.copy(SAMPLES / "control-house.ifc", tmp_path / "m.ifc")
    out = tmp_path / "out"
    CliRunner().invoke(main, ["check", str(model), "--out", str(out)])
    (out / "notes.txt").write_text("mine")
    before = content(out)
    assert {"findings.csv", "m.checked.ifc"} <= set(before)
    assert run(model, "--out", out).exit_code == 0
    after = content(out)
    assert after.pop("elements.csv")
    assert after == before


def test_no_input_is_written_over(tmp_path):
    (tmp_path / "out").mkdir()
    model = shutil.copy(SAMPLES / "dome.ifc", tmp_path / "out" / "elements.csv")
    before = content(tmp_path / "out")
    assert_one_sentence(run(model, "--out", tmp_path / "out"), "elements.csv", "written over")
    assert content(tmp_path / "out") == before


@pytest.mark.parametrize("name", ["missing.ifc", "broken.ifc"])
def test_a_model_that_can_not_be_read_is_one_sentence_and_writes_nothing(tmp_path, name):
    (tmp_path / "broken.ifc").write_text("ISO-10303-21;")
    assert_one_sentence(run(tmp_path / name, "--out", tmp_path / "out"), name)
    assert not (tmp_path / "out").exists()
