"""Folders of small projects, and a project that a worker stays at until it is killed."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from time import monotonic, sleep

import psutil

from modelcheck.pipeline.batch import BatchRequest
from tests.builders.habits import TIDY
from tests.builders.plant import Plant
from tests.builders.scenes import between, facing_boxes
from tests.builders.write_ifc import write

PATIENCE_S = 120


def write_model(path: Path, *, number: int = 1) -> None:
    """Write a model of two boxes and a run, larger boxes with a larger number."""
    side = 0.5 + 0.1 * number
    boxes = facing_boxes(first=(side, side, 0.3))
    plant = Plant(name=f"Plant {number}", boxes=boxes, routes=(between(),))
    path.parent.mkdir(parents=True, exist_ok=True)
    write(plant, replace(TIDY, ports="none"), path)


def asked(root: Path, *, out: str = "out", **values: object) -> BatchRequest:
    """Ask for ``root/in`` to be checked into ``root/out``."""
    return BatchRequest(folder=str(root / "in"), out=str(root / out), **values)  # type: ignore[arg-type]


def content(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, by its path there."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def write_trap(path: Path) -> None:
    """Write a pipe in place of a model: who reads it waits."""
    path.parent.mkdir(parents=True, exist_ok=True)
    os.mkfifo(path)


@contextmanager
def caught(path: Path, among: Callable[[], Iterable[psutil.Process]]) -> Iterator[psutil.Process]:
    """Wait for one of the processes to read the trap, and hold it there."""
    until = monotonic() + PATIENCE_S
    while (end := _opened(path)) is None:
        assert monotonic() < until, f"nobody reads {path}"
        sleep(0.05)
    try:
        while not (found := [each for each in among() if _reads(each, path)]):
            assert monotonic() < until, f"none of these reads {path}"
            sleep(0.05)
        yield found[0]
    finally:
        os.close(end)


def _opened(path: Path) -> int | None:
    """Open the trap for writing; None as long as nobody reads there."""
    try:
        return os.open(path, os.O_WRONLY | os.O_NONBLOCK)
    except OSError:
        return None


def _reads(process: psutil.Process, path: Path) -> bool:
    try:
        handles = list(Path(f"/proc/{process.pid}/fd").iterdir())
        return any(handle.resolve() == path.resolve() for handle in handles)
    except OSError:
        return False
