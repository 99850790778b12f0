"""Models that are damaged by lot: a few dozen here, as many as one likes by ``scripts/fuzz``."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from random import Random

import pytest

from modelcheck.errors import InputFileError
from tests.builders.habits import TIDY
from tests.builders.write_ifc import write
from tests.trust.spoil import WAYS
from tests.trust.to_spoil import SMALL
from tests.trust.verdicts import checked, new_passes

FUZZ = Path(__file__).parents[2] / "scripts" / "fuzz"
OTHER_MODEL = ("number", "swap", "refer")  # may make another model, as sound as this one
TRIES = 6


def test_each_model_damaged_by_lot_ends_as_it_must():
    command = [sys.executable, str(FUZZ), "--seed", "7", "--count", "36"]
    told = subprocess.run(command, capture_output=True, text=True, check=False)
    assert told.returncode == 0, told.stdout + told.stderr
    assert "36 damaged models of seed 7: 0 with a fault" in told.stdout


@pytest.fixture(scope="module")
def sound(tmp_path_factory):
    path = tmp_path_factory.mktemp("sound") / "small.ifc"
    write(SMALL, TIDY, path)
    return path.read_bytes(), checked(path)


@pytest.mark.parametrize("way", [way for way in WAYS if way not in OTHER_MODEL])
def test_damage_makes_nothing_pass_that_did_not_pass_before(sound, tmp_path, way):
    text, before = sound
    path = tmp_path / "damaged.ifc"
    for number in range(TRIES):
        path.write_bytes(WAYS[way](text, Random(f"{way} {number}")))
        try:
            after = checked(path)
        except InputFileError:
            continue
        assert not new_passes(before, after), number
