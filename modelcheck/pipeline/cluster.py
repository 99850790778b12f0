"""Projects of a batch on the machines of a Dask cluster; only here distributed is seen."""

from __future__ import annotations

import logging
from collections.abc import Iterator, Sequence
from threading import Lock
from typing import Any

from distributed import Client, KilledWorker, as_completed

from modelcheck.errors import ModelcheckError
from modelcheck.model.batch import BatchRow, BatchTask
from modelcheck.pipeline.batch_task import check_project, lost

_ANSWER = "20s"
_ALONE = Lock()


def run_on_cluster(tasks: Sequence[BatchTask], *, scheduler: str) -> Iterator[BatchRow]:
    """Hand the projects to a scheduler and give each row as it is known.

    A project whose worker is lost goes to another one, until it has cost as many as the scheduler
    allows.

    Parameters
    ----------
    tasks : sequence of BatchTask
        Their files where every worker finds them.
    scheduler : str
        Address, such as ``tcp://10.0.0.5:8786``.

    Raises
    ------
    ModelcheckError
        If no scheduler answers.
    """
    logging.getLogger("distributed").setLevel(logging.CRITICAL)  # stderr is for our own sentence
    with _client(scheduler) as client:
        futures = client.map(_check_alone, tasks, pure=False)
        of_key = dict(zip([each.key for each in futures], tasks, strict=True))
        for future in as_completed(futures, loop=client.loop):
            yield _row(future, of_key[future.key])


def _client(scheduler: str) -> Any:  # noqa: ANN401 - untyped there
    try:
        return Client(scheduler, timeout=_ANSWER, set_as_default=False)
    except (OSError, ValueError):
        raise ModelcheckError(
            f"{scheduler}: no Dask scheduler answers there; give its address, such as "
            "tcp://10.0.0.5:8786"
        ) from None


def _check_alone(task: BatchTask) -> BatchRow:
    """Check one project at a time in a process, however many threads it has: memory is for one."""
    with _ALONE:
        return check_project(task)


def _row(future: Any, task: BatchTask) -> BatchRow:  # noqa: ANN401 - untyped there
    if future.cancelled():
        return lost(task, "the scheduler let go of it; run the batch again")
    error = future.exception()
    if error is None:
        row: BatchRow = future.result()
        return row
    if isinstance(error, KilledWorker):
        return lost(
            task,
            "each worker that took it was killed, as happens when memory runs out; run the batch "
            "again with more memory for each",
        )
    return lost(task, f"a fault in this program: {type(error).__name__}: {error}")
