"""What the command batch tells, and its exit status."""

from pathlib import Path
from shutil import copy

import pytest
from click.testing import CliRunner, Result

from modelcheck.cli import main
from modelcheck.model.batch import BatchRow
from tests.unit.pipeline.batches import content, write_model

SAMPLES = Path(__file__).parents[2] / "sample_models"


def batch(root: Path, *options: str) -> Result:
    return CliRunner().invoke(
        main, ["batch", str(root / "in"), "--out", str(root / "out"), *options]
    )


def test_it_tells_each_project_and_where_the_results_are(tmp_path):
    write_model(tmp_path / "in" / "one.ifc", number=3)
    result = batch(tmp_path, "--workers", "1")
    assert result.exit_code == 0, result.output
    assert "finished before" not in result.stdout
    assert f"Results are in {tmp_path / 'out'}: batch.csv" in result.stdout.replace("\n", " ")
    assert (tmp_path / "out" / "one" / "findings.csv").is_file()
    again = batch(tmp_path, "--workers", "1")
    assert again.exit_code == 0
    assert "finished before" in again.stdout


def test_the_status_is_1_if_a_check_failed(tmp_path):
    (tmp_path / "in").mkdir()
    copy(SAMPLES / "generator-shed.ifc", tmp_path / "in")
    assert batch(tmp_path, "--workers", "1").exit_code == 1


@pytest.mark.parametrize(
    ("counts", "is_strict", "outcome", "is_sound"),
    [
        pytest.param({}, True, "none", True, id="nothing-to-check"),
        pytest.param({"passed": 2}, True, "pass", True, id="passed"),
        pytest.param({"passed": 2, "needs_input": 1}, False, "needs-input", True, id="undecided"),
        pytest.param({"passed": 2, "needs_input": 1}, True, "needs-input", False, id="strict"),
        pytest.param({"needs_input": 1, "failed": 1}, False, "fail", False, id="failed"),
        pytest.param({"broken": "no model"}, False, "", False, id="broken"),
    ],
)
def test_a_project_is_sound_as_a_check_is(counts, is_strict, outcome, is_sound):
    row = BatchRow(project="one", models=("one.ifc",), is_strict=is_strict, **counts)
    assert (row.outcome, row.is_sound) == (outcome, is_sound)


def test_a_broken_project_is_named_and_the_status_is_1(tmp_path):
    write_model(tmp_path / "in" / "one.ifc", number=3)
    (tmp_path / "in" / "bad.ifc").write_text("nothing", encoding="utf-8")
    result = batch(tmp_path, "--workers", "1")
    assert result.exit_code == 1
    assert "bad.ifc: this is not an IFC file" in result.stdout
    assert "Projects checked: 1; not checked: 1." in result.stdout
    assert result.stderr == ""


@pytest.mark.parametrize(
    "options",
    [
        pytest.param(["--edition", "1999"], id="edition"),
        pytest.param(["--settings", "nowhere.toml"], id="settings"),
        pytest.param(["--workers", "0"], id="no-worker"),
        pytest.param(["--workers", "1", "--scheduler", "tcp://127.0.0.1:9"], id="both"),
    ],
)
def test_a_wrong_option_is_told_in_one_line_and_nothing_is_written(tmp_path, options):
    write_model(tmp_path / "in" / "one.ifc")
    before = content(tmp_path)
    result = batch(tmp_path, *options)
    assert result.exit_code == 2
    assert len(result.stderr.splitlines()) == 1
    assert content(tmp_path) == before
