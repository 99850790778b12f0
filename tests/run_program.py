"""Runs the program as a user does, inside this process."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from click.testing import CliRunner, Result

from modelcheck.cli import main
from tests.shared_models import shared_model


def check(models: Sequence[Path], out: Path, *options: str) -> Result:
    """Run ``modelcheck check``; anything but a finished check is an error."""
    arguments = ["check", *map(str, models), "--out", str(out), *options]
    result = CliRunner().invoke(main, arguments)
    if result.exit_code not in (0, 1) or not (out / "findings.csv").is_file():
        raise AssertionError(f"exit {result.exit_code}: {result.output}") from result.exception
    return result


def assert_form_holds(folder: Path, models: Sequence[Path]) -> None:
    """Ask the checker that others wrote whether the results have the agreed form."""
    form = shared_model("../contract_check.py")
    command = [sys.executable, str(form), str(folder), *map(str, models)]
    told = subprocess.run(command, capture_output=True, text=True, check=False)
    assert told.stdout.strip() == "the form holds", told.stdout + told.stderr
