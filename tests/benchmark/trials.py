"""The trials: a check beside the yardstick, stage by stage, a federation, and the start alone."""

from __future__ import annotations

import json
import os
import platform
import re
import shutil
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib.metadata import version
from math import log
from pathlib import Path
from time import perf_counter, process_time
from typing import Any

import psutil

from tests.benchmark.processes import Cost, Spread, cost_of
from tests.builders.big_model import write_big_model

YARDSTICK = "import ifcopenshell, sys; ifcopenshell.open(sys.argv[1]).write(sys.argv[2])"
CHECKED = (0, 1)  # exit status of a check that was made
Tell = Callable[[str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """Where it is measured, and how often."""

    folder: Path
    script: Path
    repeats: int
    tell: Tell

    @property
    def out(self) -> Path:
        """Folder for results, an empty one each time."""
        shutil.rmtree(self.folder / "results", ignore_errors=True)
        return self.folder / "results"


def machine() -> dict[str, Any]:
    """On what it is measured."""
    names = re.findall(r"^model name\s*: (.*)$", _text(Path("/proc/cpuinfo")), re.MULTILINE)
    return {
        "processor": names[0] if names else platform.processor(),
        "cores": os.cpu_count(),
        "memory_gib": round(psutil.virtual_memory().total / 2**30, 1),
        "system": platform.system(),
        "python": platform.python_version(),
        "ifcopenshell": version("ifcopenshell"),
        "modelcheck": version("modelcheck"),
        "load_before": round(os.getloadavg()[0], 2),
    }


def _text(path: Path) -> str:
    return path.read_text(encoding="utf-8") if path.is_file() else ""


def of_size(bench: Bench, elements: int) -> dict[str, Any]:
    """Measure a check and the yardstick, in turn, on a model of so many elements."""
    path = bench.folder / f"{elements}.ifc"
    made = write_big_model(path, elements)
    path.read_bytes()  # so that neither is the first to read it
    yardstick, check = [], []
    for turn in range(bench.repeats):
        bench.tell(f"{elements} elements, {turn + 1} of {bench.repeats}: open and write")
        copy = bench.folder / "copy.ifc"
        yardstick.append(cost_of(["-c", YARDSTICK, path, copy]))
        copy.unlink()
        bench.tell(f"{elements} elements, {turn + 1} of {bench.repeats}: check")
        check.append(_check([path], bench.out))
    found = {
        "elements": made.elements,
        "bytes": path.stat().st_size,
        "yardstick": costs(yardstick),
        "check": costs(check),
        "ratio": ratios(check, yardstick),
        "stages": _stages(bench, path),
    }
    path.unlink()
    return found


def _check(models: Sequence[Path], out: Path, *options: str) -> Cost:
    return cost_of(["-m", "modelcheck", "check", *models, "--out", out, *options], allowed=CHECKED)


def costs(trials: Sequence[Cost]) -> dict[str, dict[str, float]]:
    """Medians and spread of some trials."""
    return {
        "wall_s": Spread.of([each.wall_s for each in trials]).as_json(),
        "cpu_s": Spread.of([each.cpu_s for each in trials]).as_json(),
        "peak_mb": Spread.of([each.peak_bytes / 1e6 for each in trials]).as_json(),
    }


def ratios(ours: Sequence[Cost], yardstick: Sequence[Cost]) -> dict[str, dict[str, float]]:
    """How many times the yardstick, trial by trial."""
    pairs = list(zip(ours, yardstick, strict=True))
    return {
        "wall": Spread.of([a.wall_s / b.wall_s for a, b in pairs]).as_json(),
        "cpu": Spread.of([a.cpu_s / b.cpu_s for a, b in pairs]).as_json(),
        "peak": Spread.of([a.peak_bytes / b.peak_bytes for a, b in pairs]).as_json(),
    }


def _stages(bench: Bench, path: Path) -> dict[str, dict[str, float]]:
    """Wall and processor time of each stage, in a process of its own."""
    bench.tell(f"{path.name}: stages")
    told = bench.folder / "stages.json"
    cost_of([bench.script, "--stages-of", path, "--out", told])
    stages: dict[str, dict[str, float]] = json.loads(told.read_text(encoding="utf-8"))
    told.unlink()
    return stages


def time_stages(path: Path, out: Path) -> dict[str, dict[str, float]]:
    """Check a model in this process and tell how long each announced stage took."""
    clock = _StageClock()
    clock("starting")
    from modelcheck.pipeline.check import check_to  # noqa: PLC0415 - its time is one of the stages
    from modelcheck.pipeline.request import Request  # noqa: PLC0415

    check_to(out, Request(models=(path,)), progress=clock)
    clock("end")
    return clock.stages


class _StageClock:
    """Takes the time between two messages."""

    def __init__(self) -> None:
        self.stages: dict[str, dict[str, float]] = {}
        self._last = ""
        self._since = (perf_counter(), process_time())

    def __call__(self, what: str) -> None:
        now = (perf_counter(), process_time())
        if self._last:
            stage = self.stages.setdefault(self._last, {"wall_s": 0.0, "cpu_s": 0.0})
            for key, before, after in zip(stage, self._since, now, strict=True):
                stage[key] = round(stage[key] + after - before, 4)
        self._last = re.sub(r"\S+\.ifc$|\d+( of \d+)?", "...", what)
        self._since = now


def growth(sizes: Sequence[dict[str, Any]], which: str) -> float | None:
    """Exponent of time against elements: a straight line through the logarithms."""
    points = [(log(each["elements"]), log(each[which]["wall_s"]["median"])) for each in sizes]
    mean_x, mean_y = (sum(values) / len(points) for values in zip(*points, strict=True))
    across = sum((x - mean_x) ** 2 for x, _ in points)
    if not across:
        return None
    return round(sum((x - mean_x) * (y - mean_y) for x, y in points) / across, 3)


def of_start(bench: Bench) -> dict[str, dict[str, float]]:
    """Measure the commands that read no model."""
    found = {}
    for name, command in (("--help", ["--help"]), ("rules", ["rules"])):
        bench.tell(f"modelcheck {name}")
        trials = [cost_of(["-m", "modelcheck", *command]) for _ in range(bench.repeats)]
        found[name] = Spread.of([each.wall_s for each in trials]).as_json()
    return found


def of_federation(bench: Bench, models: int, elements: int) -> dict[str, Any]:
    """Measure a project of so many models with one worker and with two, in turn."""
    paths, bay, total = [], 0, 0
    for number in range(models):
        paths.append(bench.folder / f"part-{number + 1}.ifc")
        made = write_big_model(paths[-1], elements, first_bay=bay)
        bay, total = made.first_bay + made.bays, total + made.elements
    trials: dict[int, list[Cost]] = {1: [], 2: []}
    for turn in range(bench.repeats):
        for workers, costs_so_far in trials.items():
            bench.tell(f"{models} models, {turn + 1} of {bench.repeats}: {workers} workers")
            costs_so_far.append(_check(paths, bench.out, "--workers", str(workers)))
    for path in paths:
        path.unlink()
    pairs = zip(trials[1], trials[2], strict=True)
    return {
        "models": models,
        "elements": total,
        "one_worker": costs(trials[1]),
        "two_workers": costs(trials[2]),
        "faster": Spread.of([one.wall_s / two.wall_s for one, two in pairs]).as_json(),
    }
