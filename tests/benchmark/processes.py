"""What a process costs: wall clock, processor time and memory, its children's with its own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from statistics import median
from threading import Event, Thread
from time import perf_counter

import psutil

_LOOK_S = 0.1  # between two looks at the memory of all processes


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What one process cost."""

    wall_s: float
    cpu_s: float  # user and system, with its children's
    peak_bytes: int  # resident, of all its processes together at one time


@dataclass(frozen=True, slots=True)
class Spread:
    """Median, least and most of some trials."""

    median: float
    least: float
    most: float

    @classmethod
    def of(cls, values: Sequence[float]) -> Spread:
        """Give that of `values`."""
        return cls(float(median(values)), float(min(values)), float(max(values)))

    def __str__(self) -> str:
        return f"{self.median:.2f} ({self.least:.2f} to {self.most:.2f})"

    def as_json(self) -> dict[str, float]:
        """Plain data."""
        return {key: round(value, 4) for key, value in asdict(self).items()}


def cost_of(arguments: Sequence[str | Path], *, allowed: Sequence[int] = (0,)) -> Cost:
    """Run Python with these arguments until it ends.

    Raises
    ------
    SystemExit
        If it ends with another exit status than those that are allowed.
    """
    command = [sys.executable, *map(str, arguments)]
    start = perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    watch = _Watch(process.pid)
    watch.start()
    told = process.stderr.read() if process.stderr else b""
    _, status, usage = os.wait4(process.pid, 0)
    wall_s = perf_counter() - start
    watch.stop()
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.stderr:
        process.stderr.close()
    if process.returncode not in allowed:
        sys.exit(f"{' '.join(command)} ended with {process.returncode}: {told.decode()}")
    return Cost(
        wall_s=wall_s,
        cpu_s=usage.ru_utime + usage.ru_stime,
        peak_bytes=max(watch.peak_bytes, usage.ru_maxrss * 1024),  # Linux counts in KiB
    )


class _Watch(Thread):
    """Looks every now and then at the memory of a process that has children.

    A page that several of them share counts once. One without children is looked at by the system.
    """

    def __init__(self, pid: int) -> None:
        super().__init__(daemon=True)
        self.peak_bytes = 0
        self._process = psutil.Process(pid)
        self._ended = Event()

    def run(self) -> None:
        while not self._ended.wait(_LOOK_S):
            self.peak_bytes = max(self.peak_bytes, self._now())

    def stop(self) -> None:
        """Stop looking."""
        self._ended.set()
        self.join()

    def _now(self) -> int:
        try:
            children = self._process.children(recursive=True)
        except psutil.NoSuchProcess:
            return 0
        return sum(_bytes_of(each) for each in (self._process, *children)) if children else 0


def _bytes_of(process: psutil.Process) -> int:
    try:
        return int(process.memory_full_info().pss)
    except (psutil.NoSuchProcess, psutil.AccessDenied):
        return 0
