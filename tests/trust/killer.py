"""Runs commands in processes of their own and kills them: at a moment, or at a file operation."""

from __future__ import annotations

import importlib
import json
import os
import pkgutil
import random
import shutil
import signal
import sys
import time
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout, suppress
from pathlib import Path

import modelcheck
from modelcheck.cli import main
from modelcheck.write.output_dir import claimed

Files = dict[str, bytes]
_GONE_AFTER_S = 30.0
_KILLED = -signal.SIGKILL
_FINISHED = (0, 1)  # exit status of a command that did its work
_OF_A_FILE = ("requirements", "pulls")  # commands that write one file
_USED = ("modelcheck.pipeline.", "modelcheck.read.", "modelcheck.write.")


def content(folder: Path) -> Files:
    """Every file below `folder`, by its path from there."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def started(arguments: list[str], before: Callable[[], object] = lambda: None) -> int:
    """Start a command in a process group of its own; its process id."""
    child = os.fork()
    if child:
        return child
    os.setpgid(0, 0)
    with Path(os.devnull).open("w") as nothing, redirect_stdout(nothing), redirect_stderr(nothing):
        before()
        try:
            main(arguments)
        except SystemExit as done:
            os._exit(int(done.code or 0))
    os._exit(70)


def ended(child: int) -> int:
    """Wait for a command and all that it started; its exit status, minus a signal's number."""
    status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    until = time.monotonic() + _GONE_AFTER_S
    while time.monotonic() < until:
        try:
            os.killpg(child, 0)
        except ProcessLookupError:
            return status
        time.sleep(0.005)
    raise AssertionError("a process outlives the command that started it")


def killed_at(number: int, places: tuple[str, ...]) -> Callable[[], object]:
    """Have the process killed before its operation of that number on files below `places`."""

    def start() -> None:
        count = 0

        def hook(event: str, arguments: tuple[object, ...]) -> None:
            nonlocal count
            if event.startswith(("os.", "open", "shutil.", "ctypes.call")) and any(
                str(each).startswith(places) for each in arguments
            ):
                count += 1
                if count == number:
                    os.kill(os.getpid(), signal.SIGKILL)

        sys.addaudithook(hook)

    return start


class Trial:
    """One folder, or one file, that a command is killed over."""

    def __init__(self, out: Path, old: list[str], new: list[str]) -> None:
        self._out, self._home, self._new = out, out.parent, new
        self._before = out.parent.parent / "before"
        self._work = out.parent / f".{out.name}.modelcheck"
        if old:
            assert ended(started(old)) in _FINISHED
        if new[0] not in _OF_A_FILE:
            out.mkdir(exist_ok=True)
            (out / "notes.txt").write_text("mine", encoding="utf-8")
        shutil.copytree(self._home, self._before)
        began = time.monotonic()
        self.finish()
        self.seconds = time.monotonic() - began
        self._known = (content(self._before), content(self._home))
        assert self._known[0] != self._known[1]
        self._reset()

    def finish(self) -> None:
        """Run it to its end, and see that nothing but its results is left."""
        assert ended(started(self._new)) in _FINISHED
        assert [path.name for path in self._home.iterdir()] == [self._out.name]

    def kill_after(self, seconds: float) -> bool:
        """Kill it after so long; whether it was still there."""
        child = started(self._new)
        time.sleep(seconds)
        with suppress(ProcessLookupError):
            os.kill(child, signal.SIGKILL)
        return self._judged(child)

    def kill_at(self, number: int) -> bool:
        """Kill it before its file operation of that number; whether there was one."""
        places = (str(self._out), str(self._work))
        return self._judged(started(self._new, killed_at(number, places)))

    def _judged(self, child: int) -> bool:
        was_killed = ended(child) == _KILLED
        assert self._seen() in self._known
        if self._new[0] in _OF_A_FILE:
            self.finish()
        else:
            with suppress(ZeroDivisionError), claimed(self._out):
                raise ZeroDivisionError  # a next run that gives up at once
        assert content(self._home) in self._known
        assert {path.name for path in self._home.iterdir()} <= {self._out.name}
        self._reset()
        return was_killed

    def _seen(self) -> Files:
        """What a person sees: everything but the folder that the command works in."""
        work = f"{self._work.name}{os.sep}"
        return {name: raw for name, raw in content(self._home).items() if not name.startswith(work)}

    def _reset(self) -> None:
        shutil.rmtree(self._home)
        shutil.copytree(self._before, self._home)


def run_trials(plan: dict[str, object]) -> dict[str, int]:
    """Kill one command at so many moments and at each operation; how often it was killed."""
    for module in pkgutil.walk_packages(modelcheck.__path__, "modelcheck."):
        if module.name.startswith(_USED):
            importlib.import_module(module.name)  # once here, not in each process
    trial = Trial(Path(str(plan["out"])), list(plan["old"]), list(plan["new"]))  # type: ignore[call-overload]
    lot = random.Random(9)
    moments = [lot.uniform(0, 1.1 * trial.seconds) for _ in range(int(str(plan["moments"])))]
    killed = sum(trial.kill_after(each) for each in moments)
    operations = 0
    while plan["each_operation"] and trial.kill_at(operations + 1):
        operations += 1
    trial.finish()
    return {"killed": killed, "operations": operations}


if __name__ == "__main__":
    sys.stdout.write(json.dumps(run_trials(json.loads(sys.argv[1]))))
