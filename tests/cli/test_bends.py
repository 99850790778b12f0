"""The command that writes bend sheets."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from modelcheck.cli import main

DOME = Path(__file__).parents[2] / "sample_models" / "dome.ifc"


def run(*arguments):
    return CliRunner().invoke(main, ["bends", *map(str, arguments)])


def test_every_run_of_a_model_has_its_sheet(tmp_path):
    done = run(DOME, "--all", "--out", tmp_path / "out")
    assert done.exit_code == 0
    names = {each.name for each in (tmp_path / "out").iterdir()}
    assert {"pieces.csv", "bends.csv", "bends.pdf"} <= names
    assert sum(name.endswith(".svg") for name in names) == len(done.stdout.split(" to cut, ")) - 1


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        pytest.param([], "give either --run with a name or --all", id="neither"),
        pytest.param(["--run", "R", "--all"], "give either --run", id="both"),
        pytest.param(["--run", "R-0"], "there is no run 'R-0': the runs are R-", id="unknown"),
    ],
)
def test_a_run_that_is_not_there_is_told_and_nothing_written(tmp_path, arguments, told):
    done = run(DOME, *arguments, "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert told in done.stderr
    assert not (tmp_path / "out").exists()
