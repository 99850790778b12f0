"""The draft of a pull schedule is one that the check takes as it is."""

import csv
from pathlib import Path

import pytest
from click.testing import CliRunner

from modelcheck.cli import main

SAMPLES = Path(__file__).parents[2] / "sample_models"


def run(*arguments):
    return CliRunner().invoke(main, [str(each) for each in arguments])


@pytest.mark.parametrize("name", ["generator-shed", "yard"])
def test_draft_is_accepted_as_written_and_names_every_entry_of_every_box(name, tmp_path):
    model, draft, out = SAMPLES / f"{name}.ifc", tmp_path / "PULLS.csv", tmp_path / "out"
    result = run("pulls", model, "--out", draft)
    assert result.exit_code == 0, result.output
    assert "Left out" not in result.output
    result = run("check", model, "--pulls", draft, "--out", out)
    assert result.exit_code in (0, 1), result.output
    with (out / "entries.csv").open(encoding="utf-8", newline="") as handle:
        entries = list(csv.DictReader(handle))
    assert entries
    assert all(each["carries"] for each in entries)


def test_draft_that_a_person_has_corrected_is_not_written_over(tmp_path):
    draft = tmp_path / "PULLS.csv"
    draft.write_text("mine\n", encoding="utf-8")
    result = run("pulls", SAMPLES / "yard.ifc", "--out", draft)
    assert result.exit_code == 2
    assert draft.read_text(encoding="utf-8") == "mine\n"
