"""Projects of a batch in processes of this machine; one that is killed costs one project."""

from __future__ import annotations

import signal
import sys
from collections import deque
from collections.abc import Iterator, Sequence
from contextlib import suppress
from multiprocessing import get_context
from multiprocessing.connection import Connection, wait

from modelcheck.model.batch import BatchRow, BatchTask
from modelcheck.pipeline.batch_task import check_project, lost

if sys.platform != "win32":
    from resource import RUSAGE_SELF, getrusage

_MOST_BYTES = 2**30  # that a worker may have held: the library keeps a part of each model it closed
_LOOK_S = 1.0  # between two looks whether a worker lives: what it started may keep its pipe open


def run_here(
    tasks: Sequence[BatchTask], *, workers: int, most_bytes: int = _MOST_BYTES
) -> Iterator[BatchRow]:
    """Check the projects, so many at a time, and give each row as it is known.

    Parameters
    ----------
    tasks : sequence of BatchTask
    workers : int
        Number of processes. [-]
    most_bytes : int
        A process that has held more makes way for a fresh one.
    """
    waiting, idle, busy = deque(tasks), list[_Worker](), dict[Connection, _Worker]()
    try:
        while waiting or busy:
            while waiting and len(busy) < workers:
                worker = idle.pop() if idle else _Worker(most_bytes)
                worker.begin(waiting.popleft())
                busy[worker.pipe] = worker
            ready = {each for each in wait(list(busy), timeout=_LOOK_S) if each in busy}
            for pipe in [each for each in busy if each in ready or not busy[each].is_alive]:
                worker = busy.pop(pipe)
                yield worker.row()
                if worker.goes_on:
                    idle.append(worker)
                else:
                    worker.end()
    finally:
        for worker in (*idle, *busy.values()):
            worker.end()


class _Worker:
    """A process that checks one project after another."""

    def __init__(self, most_bytes: int) -> None:
        context = get_context("spawn")
        self.goes_on = True
        self.pipe, theirs = context.Pipe()
        self._process = context.Process(target=_serve, args=(theirs, most_bytes))
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
                row: BatchRow
                row, self.goes_on = self.pipe.recv()
                return row
        self.goes_on = False
        self._process.join()
        return lost(self._task, _why(self._process.exitcode))

    def end(self) -> None:
        """End it, whatever it does: a check that is killed leaves its results as they were."""
        self._process.kill()
        self._process.join()


def _serve(pipe: Connection, most_bytes: int) -> None:
    """Check what comes until nothing more comes; with each row tell whether to go on."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the batch ends its workers itself
    with suppress(EOFError, BrokenPipeError):
        while True:
            row = check_project(pipe.recv())
            pipe.send((row, _held_bytes() <= most_bytes))


def _held_bytes() -> int:
    """Most memory that this process has held; 0 where that isn't told."""
    if sys.platform == "win32":
        return 0
    held: int = getrusage(RUSAGE_SELF).ru_maxrss
    return held if sys.platform == "darwin" else held * 2**10


def _why(status: int | None) -> str:
    if status is not None and status < 0:
        return (
            f"its worker was killed by signal {-status}, as happens when memory runs out; run the "
            "batch again with fewer workers or more memory"
        )
    return f"its worker ended with status {status}, a fault in this program; stderr tells where"
