"""Work that processes share: each gets a copy of this one by fork, and what it made comes back."""

from __future__ import annotations

import ctypes
import gc
import os
import signal
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from itertools import chain, pairwise
from multiprocessing import get_context
from multiprocessing.connection import Connection
from multiprocessing.reduction import ForkingPickler
from typing import TypeVar

from modelcheck.errors import ModelcheckError, WorkerError

_DIE_WITH_PARENT = 1  # PR_SET_PDEATHSIG of Linux
_LEAST = 1024  # elements that are worth a process

Share = tuple[tuple[int, int, int], ...]  # number of a file, first of its elements, one past them
ShareT = TypeVar("ShareT")
MadeT = TypeVar("MadeT")


def shares_of(counts: Sequence[int], workers: int) -> tuple[Share, ...]:
    """Cut the elements of files into even shares, in their order.

    Parameters
    ----------
    counts : sequence of int
        Elements of each file.
    workers : int
        Most shares. [-]
    """
    total = sum(counts)
    many = max(1, min(workers, total // _LEAST)) if sys.platform == "linux" else 1
    cuts = [total * number // many for number in range(many + 1)]
    firsts = [sum(counts[:number]) for number in range(len(counts))]
    shares = []
    for low, high in pairwise(cuts):
        share = []
        for number, (first, count) in enumerate(zip(firsts, counts, strict=True)):
            is_empty_here = count == 0 and low <= first and (first < high or high == total)
            begin, end = max(low, first), min(high, first + count)
            if begin < end or is_empty_here:
                share.append((number, begin - first, end - first))
        shares.append(tuple(share))
    return tuple(shares)


def worked(work: Callable[[ShareT], MadeT], shares: Sequence[ShareT]) -> list[MadeT]:
    """What `work` makes of each share, in their order; this process works the first.

    Raises
    ------
    WorkerError
        If one of the others ends before it is done.
    ModelcheckError, OSError
        As `work` raises them.
    """
    first, *rest = shares
    if not rest:
        return [work(first)]
    context = get_context("fork")
    others = []
    try:
        for share in rest:
            ours, theirs = context.Pipe(duplex=False)
            process = context.Process(target=_serve, args=(work, share, theirs, os.getpid()))
            process.start()
            theirs.close()
            others.append((process, ours))
        made = [work(first)]
        for process, pipe in others:
            try:
                theirs_made, trouble = pipe.recv()
            except (EOFError, ConnectionError):
                process.join()
                raise WorkerError(_why(process.exitcode)) from None
            if trouble is not None:
                raise trouble
            made.append(theirs_made)
        return made
    finally:
        for process, pipe in others:
            pipe.close()
            process.kill()
            process.join()


def each_worked(
    work: Callable[[ShareT], MadeT],
    tasks: Sequence[ShareT],
    *,
    workers: int,
    cost: Callable[[ShareT], float] = lambda _: 1.0,
) -> list[MadeT]:
    """What `work` makes of each task, in their order.

    The costly ones are dealt first, each to the process that has least.

    Raises
    ------
    ModelcheckError, OSError
        As `work` raises them.
    """
    many = max(1, min(workers, len(tasks))) if sys.platform == "linux" else 1
    shares: list[list[int]] = [[] for _ in range(many)]
    loads = [0.0] * many
    for place in sorted(range(len(tasks)), key=lambda place: -cost(tasks[place])):
        least = loads.index(min(loads))
        shares[least].append(place)
        loads[least] += cost(tasks[place])

    def own(share: list[int]) -> list[tuple[int, MadeT]]:
        return [(place, work(tasks[place])) for place in share]

    made = dict(chain.from_iterable(worked(own, shares)))
    return [made[place] for place in range(len(tasks))]


def _serve(work: Callable[[ShareT], MadeT], share: ShareT, pipe: Connection, parent: int) -> None:
    """Work one share and hand it over."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the one who asked ends it
    ctypes.CDLL(None).prctl(_DIE_WITH_PARENT, signal.SIGKILL)
    if os.getppid() != parent:
        return
    gc.disable()  # it ends before there is anything to collect
    answer: tuple[MadeT | None, Exception | None]
    try:
        answer = (work(share), None)
    except ModelcheckError as error:
        answer = (None, WorkerError(str(error)))  # the text is all that is told of it
    except OSError as error:
        answer = (None, error)
    packed = ForkingPickler.dumps(answer)
    del answer  # several times as large, and the other may not be ready yet
    with suppress(BrokenPipeError):
        pipe.send_bytes(packed)


def _why(status: int | None) -> str:
    if status is not None and status < 0:
        return (
            f"a worker was killed by signal {-status}, as happens when memory runs out; run it "
            "again with fewer --workers or more memory"
        )
    return f"a worker ended with status {status}, a fault in this program; run it with --workers 1"
