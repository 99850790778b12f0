"""Projects of a batch in processes of this machine; one that is killed costs one project."""

from __future__ import annotations

import signal
from collections import deque
from collections.abc import Iterator, Sequence
from contextlib import suppress
from multiprocessing import get_context
from multiprocessing.connection import Connection, wait

from modelcheck.model.batch import BatchRow, BatchTask
from modelcheck.pipeline.batch_task import check_project, lost

_LOOK_S = 1.0  # between two looks whether a worker lives: what it started may keep its pipe open


def run_here(tasks: Sequence[BatchTask], *, workers: int) -> Iterator[BatchRow]:
    """Check the projects, so many at a time, and give each row as it is known.

    Parameters
    ----------
    tasks : sequence of BatchTask
    workers : int
        Number of processes. [-]
    """
    waiting, idle, busy = deque(tasks), list[_Worker](), dict[Connection, _Worker]()
    try:
        while waiting or busy:
            while waiting and len(busy) < workers:
                worker = idle.pop() if idle else _Worker()
                worker.begin(waiting.popleft())
                busy[worker.pipe] = worker
            ready = {each for each in wait(list(busy), timeout=_LOOK_S) if each in busy}
            for pipe in [each for each in busy if each in ready or not busy[each].is_alive]:
                worker = busy.pop(pipe)
                yield worker.row()
                if worker.is_alive:
                    idle.append(worker)
    finally:
        for worker in (*idle, *busy.values()):
            worker.end()


class _Worker:
    """A process that checks one project after another."""

    def __init__(self) -> None:
        context = get_context("spawn")
        self.pipe, theirs = context.Pipe()
        self._process = context.Process(target=_serve, args=(theirs,))
        self._process.start()
        theirs.close()

    @property
    def is_alive(self) -> bool:
        return self._process.is_alive()

    def begin(self, task: BatchTask) -> None:
        """Hand it a project."""
        self._task = task
        with suppress(BrokenPipeError):  # it died: its row tells that
            self.pipe.send(task)

    def row(self) -> BatchRow:
        """Give the row of its project, also if it died over it."""
        with suppress(EOFError, ConnectionError):
            if self.pipe.poll():
                row: BatchRow = self.pipe.recv()
                return row
        self._process.join()
        return lost(self._task, _why(self._process.exitcode))

    def end(self) -> None:
        """End it, whatever it does: a check that is killed leaves its results as they were."""
        self._process.kill()
        self._process.join()


def _serve(pipe: Connection) -> None:
    """Check what comes until nothing more comes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the batch ends its workers itself
    with suppress(EOFError, BrokenPipeError):
        while True:
            pipe.send(check_project(pipe.recv()))


def _why(status: int | None) -> str:
    if status is not None and status < 0:
        return (
            f"its worker was killed by signal {-status}, as happens when memory runs out; run the "
            "batch again with fewer workers or more memory"
        )
    return f"its worker ended with status {status}, a fault in this program; stderr tells where"
