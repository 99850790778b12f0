"""Progress on stderr: only on a terminal, and only for work that takes longer than a second."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Timer
from typing import IO

_DELAY_S = 1.0


@contextmanager
def progress_on(stream: IO[str]) -> Iterator[Callable[[str], None]]:
    """Give a function that shows on `stream` what is being done."""
    if not stream.isatty():
        yield lambda _: None
        return
    from rich.text import Text  # noqa: PLC0415 - loads slowly, for a terminal only

    from modelcheck.write.terminal import console_on, long_text  # noqa: PLC0415

    status = console_on(stream).status("")
    timer = Timer(_DELAY_S, status.start)
    timer.daemon = True
    timer.start()
    try:
        yield lambda what: status.update(Text(long_text(what)))
    finally:
        timer.cancel()
        timer.join()
        status.stop()


@contextmanager
def counting_on(stream: IO[str], what: str) -> Iterator[Callable[[int, int], None]]:
    """Give a function that shows on `stream` how many of how many are done."""
    if not stream.isatty():
        yield lambda _done, _of: None
        return
    from rich.progress import (  # noqa: PLC0415 - loads slowly, for a terminal only
        BarColumn,
        MofNCompleteColumn,
        Progress,
        TextColumn,
    )

    from modelcheck.write.terminal import console_on  # noqa: PLC0415

    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn())
    with Progress(*columns, console=console_on(stream), transient=True) as bar:
        task = bar.add_task(what, total=None)
        yield lambda done, of: bar.update(task, completed=done, total=of)
