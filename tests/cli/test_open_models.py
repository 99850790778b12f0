"""Whole checks of models that others wrote: the form of what is written holds."""

import csv
import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from modelcheck.cli import main
from modelcheck.write.words import NOTHING_TO_CHECK
from tests.run_program import assert_form_holds, check
from tests.shared_models import shared_model

SAMPLES = Path(__file__).parents[2] / "sample_models"
PIPES = '[select]\nconduit="IfcFlowSegment"\nfitting="IfcFlowFitting"\nbox="IfcFlowTerminal"\n'
EMPTY = (
    "Duplex_Electrical_20121207.ifc",
    "massing-families-electrical-raceway-v0.1.5.ifc",
    "na-por000-no_port.ifc",
)
OTHERS = (
    "RE1-Plumbing.ifc",
    "RE1-Mechanical.ifc",
    "PCERT-Infra-Plumbing.ifc",
    "PCERT-Building-Hvac.ifc",
    "pass-sys001-sink_source.ifc",
    "pass-por000-passing_valid_port_connectivity.ifc",
    "fail-ifc102-ifc4x3_deprecated_enum_value_IfcCableCarrierFitting_enum_type_value_CROSS.ifc",
)


def rows(path):
    with path.open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


@pytest.mark.parametrize("code", ["cec", "nec"])
@pytest.mark.parametrize("name", [*EMPTY, *OTHERS])
def test_the_form_holds(tmp_path, name, code):
    settings = tmp_path / "SETTINGS.toml"
    settings.write_text(PIPES if name in OTHERS else "")
    out = tmp_path / "out"
    check([shared_model(name)], out, "--code", code, "--settings", str(settings))
    assert_form_holds(out, [shared_model(name)])


@pytest.mark.parametrize("name", EMPTY)
def test_a_model_with_nothing_to_check_is_said_and_no_failure(tmp_path, name):
    out = tmp_path / "out"
    arguments = ["check", str(shared_model(name)), "--out", str(out), "--strict"]
    result = CliRunner().invoke(main, arguments)
    assert result.exit_code == 0
    assert NOTHING_TO_CHECK in " ".join(result.stdout.split())
    for table in ("findings.csv", "runs.csv", "boxes.csv", "entries.csv"):
        assert rows(out / table) == []


def test_a_second_run_gives_the_same_bytes_and_so_does_a_run_on_the_checked_model(tmp_path):
    sample = SAMPLES / "dome.ifc"
    check([sample], tmp_path / "first")
    check([sample], tmp_path / "second")
    for path in (tmp_path / "first").iterdir():
        assert path.read_bytes() == (tmp_path / "second" / path.name).read_bytes()
    checked = tmp_path / "first" / "dome.checked.ifc"
    check([checked], tmp_path / "again")
    assert (tmp_path / "again" / "dome.checked.ifc").read_bytes() == checked.read_bytes()
    check([checked], tmp_path / "nec", "--code", "nec")
    assert_form_holds(tmp_path / "nec", [checked])
    check([sample], tmp_path / "nec-first", "--code", "nec")
    for table in ("runs.csv", "boxes.csv", "entries.csv"):
        old, new = (rows(tmp_path / folder / table) for folder in ("nec-first", "nec"))
        changed = {"model": "dome.checked.ifc"}
        if table == "entries.csv":
            changed["conduit_model"] = "dome.checked.ifc"
        assert [row | changed for row in old] == new


def test_models_of_one_project_are_checked_together(tmp_path):
    models = [SAMPLES / "yard.ifc", SAMPLES / "control-house.ifc"]
    check(models, tmp_path / "out")
    assert_form_holds(tmp_path / "out", models)
    summary = json.loads((tmp_path / "out" / "summary.json").read_text(encoding="utf-8"))
    assert [each["name"] for each in summary["inputs"]] == ["yard.ifc", "control-house.ifc"]


def test_two_files_of_one_name_are_told_apart(tmp_path):
    for folder in ("a", "b"):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "m.ifc").write_bytes((SAMPLES / "dome.ifc").read_bytes())
    check([tmp_path / "a" / "m.ifc", tmp_path / "b" / "m.ifc"], tmp_path / "out")
    boxes = rows(tmp_path / "out" / "boxes.csv")
    assert {row["model"] for row in boxes} == {"a/m.ifc", "b/m.ifc"}
    written = {path.name for path in (tmp_path / "out").glob("*.ifc")}
    assert written == {"a_m.checked.ifc", "b_m.checked.ifc"}
    findings = [row["finding"] for row in rows(tmp_path / "out" / "findings.csv")]
    assert len(set(findings)) == len(findings)


def test_strict_exits_one_where_input_is_needed(tmp_path):
    settings = tmp_path / "SETTINGS.toml"
    settings.write_text('[select]\nconduit = "IfcPipeSegment"\n')
    model = shared_model("PCERT-Infra-Plumbing.ifc")
    arguments = ["check", str(model), "--settings", str(settings)]
    for strict, status in (([], 0), (["--strict"], 1)):
        out = tmp_path / f"out{status}"
        result = CliRunner().invoke(main, [*arguments, "--out", str(out), *strict])
        assert result.exit_code == status, result.output
        outcomes = {row["outcome"] for row in rows(out / "findings.csv")}
        assert "needs-input" in outcomes
        assert "fail" not in outcomes


def test_runs_are_printed_without_a_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    result = CliRunner().invoke(main, ["runs", str(SAMPLES / "dome.ifc")])
    assert result.exit_code == 0
    assert "450 deg" in result.stdout
    assert list(tmp_path.iterdir()) == []
