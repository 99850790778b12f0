"""Models that are damaged by lot: a few dozen here, as many as one likes by ``scripts/fuzz``."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

FUZZ = Path(__file__).parents[2] / "scripts" / "fuzz"


def test_each_model_damaged_by_lot_ends_as_it_must():
    command = [sys.executable, str(FUZZ), "--seed", "7", "--count", "36"]
    told = subprocess.run(command, capture_output=True, text=True, check=False)
    assert told.returncode == 0, told.stdout + told.stderr
    assert "36 damaged models of seed 7: 0 with a fault" in told.stdout
