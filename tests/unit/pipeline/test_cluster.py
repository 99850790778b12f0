"""A batch on a real Dask scheduler with two workers, all on this machine."""

import json
import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from threading import Thread
from time import monotonic, sleep
from types import SimpleNamespace

import psutil
import pytest
from distributed import KilledWorker

from modelcheck.errors import ModelcheckError
from modelcheck.pipeline.batch import check_batch, projects_of
from modelcheck.pipeline.cluster import _row
from tests.unit.pipeline.batches import PATIENCE_S, asked, caught, content, write_model, write_trap

HERE = ("--host", "127.0.0.1")


def silent(_done: int, _of: int) -> None:
    """Count nothing."""


@contextmanager
def started(*arguments: str, folder: Path) -> Iterator[psutil.Process]:
    """Run a command of Dask until the end of the block."""
    command = [sys.executable, "-m", "dask", *arguments]
    with (folder / f"{arguments[0]}.log").open("ab") as log:
        process = subprocess.Popen(command, cwd=folder, stdout=log, stderr=log)
    try:
        yield psutil.Process(process.pid)
    finally:
        process.kill()
        process.wait()


@pytest.fixture
def cluster(tmp_path) -> Iterator[tuple[str, list[psutil.Process]]]:
    """Address of a scheduler, and its two workers."""
    told = tmp_path / "cluster" / "scheduler.json"
    told.parent.mkdir()
    with ExitStack() as stack:
        options = ("--port", "0", "--no-dashboard", "--scheduler-file", str(told))
        stack.enter_context(started("scheduler", *HERE, *options, folder=told.parent))
        until = monotonic() + PATIENCE_S
        while not told.is_file():
            assert monotonic() < until
            sleep(0.1)
        address = json.loads(told.read_text(encoding="utf-8"))["address"]
        options = ("--nthreads", "1", "--no-nanny", "--no-dashboard")
        yield (
            address,
            [
                stack.enter_context(started("worker", address, *HERE, *options, folder=told.parent))
                for _ in range(2)
            ],
        )


def test_the_same_bytes_come_of_a_cluster_though_a_worker_is_killed(tmp_path, cluster):
    address, workers = cluster
    trap = tmp_path / "in" / "trap.ifc"
    for number in (1, 2):
        write_model(tmp_path / "in" / str(number) / "model.ifc", number=number)
    write_trap(trap)
    rows = []
    request = asked(tmp_path, scheduler=address)
    batch = Thread(target=lambda: rows.extend(check_batch(request, counted=silent)))
    batch.start()
    with caught(trap, lambda: workers) as worker:
        trap.unlink()
        write_model(trap, number=3)
        worker.kill()
    batch.join()
    assert [(row.project, row.broken) for row in rows] == [("1", ""), ("2", ""), ("trap", "")]
    check_batch(asked(tmp_path, out="here", workers=1), counted=silent)
    assert content(tmp_path / "out") == content(tmp_path / "here")


def test_a_scheduler_that_is_not_there_is_told_and_writes_nothing(tmp_path, monkeypatch):
    monkeypatch.setattr("modelcheck.pipeline.cluster._ANSWER", "1s")
    write_model(tmp_path / "in" / "1.ifc")
    request = asked(tmp_path, scheduler="tcp://127.0.0.1:9")
    with pytest.raises(ModelcheckError, match="no Dask scheduler answers there"):
        check_batch(request, counted=silent)
    assert not (tmp_path / "out").exists()


def test_without_the_extra_a_scheduler_says_what_to_install(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    monkeypatch.delitem(sys.modules, "modelcheck.pipeline.cluster", raising=False)
    write_model(tmp_path / "in" / "1.ifc")
    request = asked(tmp_path, scheduler="tcp://127.0.0.1:9")
    with pytest.raises(ModelcheckError, match=r"pip install '\.\[cluster\]'"):
        check_batch(request, counted=silent)
    assert not (tmp_path / "out").exists()


def test_a_batch_of_this_machine_does_not_load_dask(tmp_path):
    write_model(tmp_path / "in" / "1.ifc")
    code = (
        "import sys\n"
        "from modelcheck.pipeline.batch import BatchRequest, check_batch\n"
        "if __name__ == '__main__':\n"
        "    check_batch(BatchRequest(folder='in', out='out'), counted=lambda *_: None)\n"
        "    print(sorted({'dask', 'distributed', 'fsspec'} & set(sys.modules)))\n"
    )
    (tmp_path / "batch.py").write_text(code, encoding="utf-8")
    told = subprocess.run(
        [sys.executable, "batch.py"], cwd=tmp_path, capture_output=True, text=True, check=True
    )
    assert told.stdout == "[]\n"


@pytest.mark.parametrize(
    ("cancelled", "error", "told"),
    [
        pytest.param(True, None, "the scheduler let go of it", id="cancelled"),
        pytest.param(
            False, KilledWorker("key", None, 3), "each worker that took it was killed", id="killed"
        ),
        pytest.param(False, KeyError("x"), "a fault in this program: KeyError: 'x'", id="fault"),
    ],
)
def test_what_the_scheduler_gives_up_is_told(tmp_path, cancelled, error, told):
    write_model(tmp_path / "in" / "1.ifc")
    (task,) = projects_of(asked(tmp_path))
    future = SimpleNamespace(cancelled=lambda: cancelled, exception=lambda: error)
    assert _row(future, task).broken.startswith(told)
