"""Killed at any moment, by a signal that nothing can catch: old results or new ones, whole."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.builders.habits import TIDY
from tests.builders.plant import Plant
from tests.builders.scenes import between, facing_boxes
from tests.builders.write_ifc import write

ROOT = Path(__file__).parents[2]
PLANT = Plant(name="Small plant", boxes=facing_boxes(), routes=(between(),))
MOMENTS = 50


@pytest.fixture
def killed(tmp_path):
    """Kill one command again and again over a folder of its own; how often it was."""
    model, out = tmp_path / "plant.ifc", tmp_path / "home" / "out"
    write(PLANT, TIDY, model)
    out.parent.mkdir()

    def killed(new, *, old=(), moments=0, each_operation=False):
        def given(arguments):
            return [{"MODEL": str(model), "OUT": str(out)}.get(each, each) for each in arguments]

        plan = {
            "out": str(out),
            "old": given(old),
            "new": given(new),
            "moments": moments,
            "each_operation": each_operation,
        }
        done = subprocess.run(
            [sys.executable, "-m", "tests.trust.killer", json.dumps(plan)],
            check=False,
            capture_output=True,
            text=True,
            cwd=ROOT,
            env={**os.environ, "PYTHONWARNINGS": "ignore"},
        )
        assert done.stderr == ""
        return json.loads(done.stdout)

    return killed


CHECK = ("check", "MODEL", "--out", "OUT")


def test_a_check_killed_at_fifty_moments_leaves_old_results_or_new_ones(killed):
    told = killed((*CHECK, "--code", "nec"), old=CHECK, moments=MOMENTS)
    assert 5 < told["killed"] <= MOMENTS


def test_a_check_killed_at_each_file_operation_leaves_old_results_or_new_ones(killed):
    told = killed((*CHECK, "--code", "nec"), old=CHECK, each_operation=True)
    assert told["operations"] > 40


@pytest.mark.parametrize(
    ("new", "old"),
    [
        pytest.param(("draw", "MODEL", "--all", "--out", "OUT"), (), id="draw"),
        pytest.param(("bends", "MODEL", "--all", "--out", "OUT"), (), id="bends"),
        pytest.param(("read", "MODEL", "--out", "OUT"), (), id="read"),
        pytest.param(
            ("practice", "--seed", "2", "--count", "1", "--out", "OUT"),
            ("practice", "--seed", "1", "--count", "1", "--out", "OUT"),
            id="practice",
        ),
    ],
)
def test_any_command_that_writes_a_folder_killed_at_some_moments_leaves_it_whole(killed, new, old):
    assert killed(new, old=old, moments=8)["killed"] > 0


@pytest.mark.parametrize(
    "new",
    [
        pytest.param(("requirements", "--out", "OUT"), id="requirements"),
        pytest.param(("pulls", "MODEL", "--out", "OUT"), id="pulls"),
    ],
)
def test_a_file_killed_at_each_file_operation_is_there_whole_or_not_at_all(killed, new):
    assert killed(new, each_operation=True)["operations"] > 5
