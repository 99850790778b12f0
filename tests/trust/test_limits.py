"""What is more than the machine can do is said in one sentence."""

from __future__ import annotations

import os
import resource
import sys
from subprocess import run

import pytest
from click.testing import CliRunner

from modelcheck.cli import main
from tests.builders.habits import TIDY
from tests.builders.write_ifc import write
from tests.trust.to_spoil import SMALL


def test_models_beyond_the_memory_of_the_machine_are_refused(tmp_path):
    path = tmp_path / "vast.ifc"
    path.touch()
    os.truncate(path, 2**43)  # takes no room
    result = CliRunner().invoke(main, ["check", str(path), "--out", str(tmp_path / "out")])
    assert result.exit_code == 2, result.output
    assert "GB of memory or more" in result.stderr
    assert result.stderr.count("\n") == 1


@pytest.mark.skipif(sys.platform != "linux", reason="limits are set as Linux has them")
def test_running_out_of_memory_is_told_in_one_sentence(tmp_path):
    path = tmp_path / "model.ifc"
    write(SMALL, TIDY, path)
    os.truncate(path, 2**32)
    ended = run(
        [sys.executable, "-m", "modelcheck", "check", str(path), "--out", str(tmp_path / "out")],
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (2**31, 2**31)),
        capture_output=True,
        text=True,
        check=False,
    )
    assert ended.returncode == 2, ended.stderr
    assert "more memory than there is" in ended.stderr
    assert ended.stderr.count("\n") == 1
    assert [each.name for each in tmp_path.iterdir()] == ["model.ifc"]
