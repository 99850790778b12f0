"""Runs the program on one model in a process of its own, with limits, and judges how it ended."""

from __future__ import annotations

import os
import resource
import shutil
import signal
import sys
import traceback
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from modelcheck.cli import main

LIMIT_S = 120  # of one run: bodies that hang cost up to 100 s together
_MEMORY = Path("/dev/shm")
SCRATCH = _MEMORY if _MEMORY.is_dir() else None  # where files cost no time
_MOST_BYTES = 4 * 2**30
_TRACEBACK = 70  # exit status of a run that ended in one
_TABLES = ("findings.csv", "runs.csv", "boxes.csv", "entries.csv", "summary.json")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """How one run ended."""

    status: int  # exit status, or minus the signal
    told: str  # on stderr
    seconds: float  # of processor time
    peak_bytes: int


def run(command: Sequence[str], folder: Path) -> Ended:
    """Run the program, in a fork of this process."""
    child = os.fork()
    if child == 0:
        os._exit(_status_of(command, folder))
    _, status, used = os.wait4(child, 0)
    return Ended(
        status=os.waitstatus_to_exitcode(status),
        told=(folder / "stderr").read_text(encoding="utf-8", errors="replace"),
        seconds=used.ru_utime + used.ru_stime,
        peak_bytes=used.ru_maxrss * 1024,
    )


def _status_of(command: Sequence[str], folder: Path) -> int:
    signal.alarm(LIMIT_S)  # ends the process
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_AS, (_MOST_BYTES, _MOST_BYTES))
    for name in ("stdout", "stderr"):
        stream = (folder / name).open("w", encoding="utf-8", errors="backslashreplace")
        os.dup2(stream.fileno(), {"stdout": 1, "stderr": 2}[name])
        setattr(sys, name, stream)
    try:
        main(list(command))
    except SystemExit as told:
        code = int(told.code or 0)
    except BaseException:
        traceback.print_exc()
        code = _TRACEBACK
    sys.stdout.flush()
    sys.stderr.flush()
    return code


def faults(text: bytes, folder: Path, *, is_whole: bool) -> tuple[Ended, list[str]]:
    """Run the program on a model of this `text`; gives what it must not do but did.

    A whole run writes results; another reads, traces and checks, and prints the runs.
    """
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    model = folder / "model.ifc"
    model.write_bytes(text)
    command = ["check", str(model), "--out", str(folder / "out")]
    ended = run(command if is_whole else ["runs", str(model)], folder)
    found = [*_of_ending(ended), *_of_folder(ended, folder, is_whole=is_whole)]
    if sha256(model.read_bytes()).digest() != sha256(text).digest():
        found.append("the input was changed")
    return ended, found


def _of_ending(ended: Ended) -> Iterator[str]:
    if ended.status == -signal.SIGALRM:
        yield f"still at work after {LIMIT_S} s"
    elif ended.status == _TRACEBACK:
        yield f"a traceback: {ended.told.strip().splitlines()[-1]}"
    elif ended.status not in (0, 1, 2):
        yield f"ended by {ended.status}"
    elif ended.status == 2:
        if not ended.told.endswith(".\n") or ended.told.count("\n") != 1:
            yield f"no one sentence: {ended.told!r}"
    elif ended.told:
        yield f"finished, but told {ended.told!r}"


def _of_folder(ended: Ended, folder: Path, *, is_whole: bool) -> Iterator[str]:
    there = sorted(each.name for each in folder.iterdir())
    expected = ["model.ifc", "stderr", "stdout"]
    if ended.status in (0, 1) and is_whole:
        expected.insert(1, "out")
        missing = [name for name in _TABLES if not (folder / "out" / name).is_file()]
        if missing:
            yield f"no {', '.join(missing)}"
    if ended.status in (0, 1, 2) and there != expected:
        yield f"left behind: {', '.join(there)}"
