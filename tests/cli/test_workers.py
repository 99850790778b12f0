"""Any number of workers writes the same bytes."""

import multiprocessing
import os
import signal
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from modelcheck.cli import main
from modelcheck.pipeline import results
from modelcheck.read import shares
from tests.run_program import check

SAMPLES = sorted(Path("sample_models").glob("*.ifc"))


def contents(folder):
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


@pytest.mark.parametrize("workers", [2, 3])
def test_the_results_are_the_same_bytes_for_any_number_of_workers(tmp_path, monkeypatch, workers):
    check(SAMPLES, tmp_path / "alone", "--workers", "1", "--pdf")
    monkeypatch.setattr(shares, "_LEAST", 5)
    monkeypatch.setattr(results, "_MANY", 0)
    assert len(shares.shares_of([20, 20], workers)) == workers
    check(SAMPLES, tmp_path / "shared", "--workers", str(workers), "--pdf")
    assert contents(tmp_path / "shared") == contents(tmp_path / "alone")


def full_disk(*_, **__):
    raise OSError(28, "No space left on device", "findings.xlsx")


def killed(*_, **__):
    os.kill(os.getpid(), signal.SIGKILL)


@pytest.mark.skipif(sys.platform != "linux", reason="work is shared by fork")
@pytest.mark.parametrize(
    ("writer", "told"),
    [
        pytest.param(full_disk, "No space left on device", id="raises"),
        pytest.param(killed, "a worker was killed by signal 9", id="dies"),
    ],
)
def test_a_worker_that_fails_while_it_writes_leaves_the_results_as_they_were(
    tmp_path, monkeypatch, writer, told
):
    out = tmp_path / "out"
    check(SAMPLES[:1], out)
    before = contents(out)
    monkeypatch.setattr(results, "_MANY", 0)
    monkeypatch.setattr(results, "write_workbook", writer)  # after the model: in the worker
    arguments = ["check", str(SAMPLES[1]), "--out", str(out), "--workers", "2"]
    ended = CliRunner().invoke(main, arguments)
    assert ended.exit_code == 2
    assert told in ended.stderr
    assert len(ended.stderr.splitlines()) == 1
    assert contents(out) == before
    assert [*tmp_path.iterdir()] == [out]
    assert multiprocessing.active_children() == []
