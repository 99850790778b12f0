"""What README.md shows is what the program does."""

import csv
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from modelcheck.cli import main
from modelcheck.model.settings import Options
from modelcheck.read.box_toml import read_boxes
from modelcheck.read.settings import read_settings

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```toml\n(.*?)^```", README, re.MULTILINE | re.DOTALL)


def test_the_run_that_is_explained_gives_the_row_that_is_explained(tmp_path, monkeypatch):
    command = re.search(r"^    modelcheck (check sample_models/\S+.*) --out results$", README, re.M)
    monkeypatch.chdir(ROOT)
    arguments = [*command[1].split(), "--out", str(tmp_path / "results")]
    result = CliRunner().invoke(main, arguments)
    assert result.exit_code == 1, result.output
    files = re.findall(r"^\| `([a-z_.-]+\.(?:csv|html|ifc|json|xlsx|bcf))` \|", README, re.M)
    assert {path.name for path in (tmp_path / "results").iterdir()} == set(files)
    shown = dict(re.findall(r"^\| `(\w+)` \| `([^`]*)` \|", README, re.MULTILINE))
    with (tmp_path / "results" / "findings.csv").open(encoding="utf-8", newline="") as handle:
        rows = list(csv.DictReader(handle))
    assert any(shown.items() <= row.items() for row in rows)


def test_the_settings_that_are_shown_are_all_there_are_and_can_be_read(tmp_path):
    path = tmp_path / "SETTINGS.toml"
    path.write_text(BLOCKS[0], encoding="utf-8")
    settings = read_settings(path, Options())
    assert settings.code == "nec"
    assert settings.boxes[0][1].contents.clamps == 2
    assert settings.pulling.weights_kg_per_m == (("250 kcmil", 1.3), ("4 AWG RW90", 0.25))
    assert settings.makeup_m == 0.9
    assert settings.amendments[0].value == 270.0
    assert settings.accepted[0].until == "2026-06-30"


def test_the_notebook_that_is_shown_runs_and_writes_the_results(tmp_path, monkeypatch, capsys):
    (code,) = re.findall(r"^```python\n(.*?)^```", README, re.MULTILINE | re.DOTALL)
    (tmp_path / "sample_models").symlink_to(ROOT / "sample_models")
    monkeypatch.chdir(tmp_path)
    exec(code, {})
    told = capsys.readouterr().out
    assert re.search(r"^Pull box GS-5 angle-pull-distance 6 x 53 \+ 53 = 371 mm ", told, re.M)
    assert (tmp_path / "results" / "findings.csv").is_file()
    assert len([line for line in code.splitlines() if line]) <= 10


def test_the_boxes_that_are_shown_can_be_read(tmp_path):
    path = tmp_path / "BOX.toml"
    path.write_text(BLOCKS[1], encoding="utf-8")
    (case,) = read_boxes(path)
    assert len(case.entries) == 2


@pytest.mark.parametrize(
    "name",
    [
        "check",
        "runs",
        "size",
        "read",
        "requirements",
        "draw",
        "practice",
        "bends",
        "compare",
        "batch",
    ],
)
def test_every_option_is_in_the_manual(name):
    for parameter in main.commands[name].params:
        for option in (each for each in parameter.opts if each.startswith("--")):
            assert re.search(rf"^\| [^|]*`{option}\b", README, re.M)
