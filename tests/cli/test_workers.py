"""Any number of workers writes the same bytes."""

import multiprocessing
import os
import re
import signal
import sys
from pathlib import Path

import openpyxl
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


@pytest.mark.parametrize("workers", ["1", "2"])
def test_a_model_that_was_written_anew_is_told_of_in_every_report(tmp_path, monkeypatch, workers):
    monkeypatch.setattr(results, "_MANY", 0)
    check([SAMPLES[1]], tmp_path / "first")
    text = (tmp_path / "first" / "dome.checked.ifc").read_text()
    ours = re.search(r"#\d+(?==IFCPROPERTYSET\('[^']*',[^,]*,'RacewayCheck_)", text)[0]
    kind = f"#999999=IFCJUNCTIONBOXTYPE('0TYP',$,'T',$,$,({ours}),$,$,$,.NOTDEFINED.);\n"
    model = tmp_path / "used.ifc"
    before, end, after = text.rpartition("ENDSEC;")
    model.write_text(f"{before}{kind}{end}{after}")
    check([model], tmp_path / "out", "--workers", workers)
    told = "used.checked.ifc was written anew by the IFC library"
    assert told in (tmp_path / "out" / "summary.json").read_text(encoding="utf-8")
    assert told in (tmp_path / "out" / "review.html").read_text(encoding="utf-8")
    cover = openpyxl.load_workbook(tmp_path / "out" / "findings.xlsx")["cover"]
    assert any(told in str(cell) for row in cover.iter_rows(values_only=True) for cell in row)


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
