"""A batch checks every project once, whatever becomes of the others."""

import csv
import json
import os
import signal
import subprocess
import sys
from pathlib import Path
from threading import Thread

import psutil
import pytest

from modelcheck.errors import ModelcheckError
from modelcheck.model.settings import Options
from modelcheck.pipeline import batch_task, batch_workers
from modelcheck.pipeline.batch import check_batch, projects_of
from modelcheck.pipeline.batch_task import check_project
from modelcheck.pipeline.check import check_to
from modelcheck.pipeline.request import Request
from tests.unit.pipeline.batches import asked, caught, content, write_model, write_trap


def silent(_done: int, _of: int) -> None:
    """Count nothing."""


def rows_of(root: Path) -> dict[str, dict[str, str]]:
    with (root / "out" / "batch.csv").open(encoding="utf-8", newline="") as file:
        return {row["project"]: row for row in csv.DictReader(file, strict=True)}


def run_of(root: Path, **values: object) -> dict[str, object]:
    return {row.project: row for row in check_batch(asked(root, **values), counted=silent)}


def test_a_model_is_a_project_and_so_is_a_folder_of_models(tmp_path):
    for name in ("in/one.ifczip", "in/two/a.ifc", "in/two/b.IFC", "in/three/sub/deep.ifc"):
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.touch()
    for name in ("notes.txt", ".hidden.ifc", "two/PULLS.csv", "two/SETTINGS.toml"):
        (tmp_path / "in" / name).touch()
    found = {task.project: task for task in projects_of(asked(tmp_path))}
    assert set(found) == {"one", "two"}
    two = found["two"]
    folder = tmp_path / "in" / "two"
    assert two.models == (str(folder / "a.ifc"), str(folder / "b.IFC"))
    assert (two.pulls, two.settings) == (str(folder / "PULLS.csv"), str(folder / "SETTINGS.toml"))
    assert found["one"].out == str(tmp_path / "out" / "one")


def test_settings_of_the_command_hold_where_a_project_has_none(tmp_path):
    (tmp_path / "in" / "own").mkdir(parents=True)
    for name in ("one.ifc", "own/a.ifc", "own/SETTINGS.toml"):
        (tmp_path / "in" / name).touch()
    given = tmp_path / "GIVEN.toml"
    found = {task.project: task for task in projects_of(asked(tmp_path, settings=given))}
    assert found["one"].settings == str(given)
    assert found["own"].settings == str(tmp_path / "in" / "own" / "SETTINGS.toml")


def test_no_two_projects_share_a_folder_of_results(tmp_path):
    (tmp_path / "in" / "a").mkdir(parents=True)
    for name in ("a.ifc", "a/x.ifc", "b.ifc", "b.IFCZIP", "c.ifc", "c.ifc.ifc"):
        (tmp_path / "in" / name).touch()
    names = [task.project for task in projects_of(asked(tmp_path))]
    assert sorted(names) == ["a", "a.ifc", "b.IFCZIP", "b.ifc", "c", "c.ifc.ifc"]


@pytest.mark.parametrize(
    ("made", "out", "told"),
    [
        pytest.param([], "out", "no such file or folder", id="missing"),
        pytest.param(["in/notes.txt"], "out", "no model", id="empty"),
        pytest.param(["in/a.ifc"], "in", "choose another folder", id="over-the-models"),
        pytest.param(["in/a.ifc", "out"], "out", "this is a file", id="out-is-a-file"),
        pytest.param(["in"], "out", "this is no folder", id="folder-is-a-file"),
    ],
)
def test_what_cannot_be_begun_is_told_and_writes_nothing(tmp_path, made, out, told):
    for name in made:
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).touch()
    before = content(tmp_path)
    with pytest.raises(ModelcheckError, match=told):
        check_batch(asked(tmp_path, out=out), counted=silent)
    assert content(tmp_path) == before


def test_the_results_may_lie_in_the_folder_of_the_models(tmp_path):
    write_model(tmp_path / "in" / "one.ifc")
    for _ in range(2):
        (row,) = check_batch(asked(tmp_path, out="in/results"), counted=silent)
        assert (row.project, row.broken) == ("one", "")
    assert row.is_earlier


@pytest.fixture
def three(tmp_path):
    write_model(tmp_path / "in" / "one.ifc", number=1)
    write_model(tmp_path / "in" / "two" / "model.ifc", number=2)
    (tmp_path / "in" / "broken.ifc").write_text("not a model", encoding="utf-8")
    return tmp_path


def test_a_broken_project_is_told_and_the_others_are_checked(three):
    rows = run_of(three)
    assert rows_of(three)["broken"] == {
        "project": "broken",
        "models": "broken.ifc",
        "state": "broken",
        "outcome": "",
        "pass": "",
        "fail": "",
        "needs_input": "",
        "message": rows["broken"].broken,
    }
    assert "broken.ifc: this is not an IFC file" in rows["broken"].broken
    assert not (three / "out" / "broken").exists()
    alone = three / "alone"
    check_to(alone, Request(models=(three / "in" / "one.ifc",)))
    assert content(three / "out" / "one") == content(alone)
    told = json.loads((alone / "summary.json").read_text(encoding="utf-8"))["counts"].values()
    assert rows_of(three)["one"]["pass"] == str(sum(each["pass"] for each in told))


def test_the_same_bytes_come_of_any_number_of_workers_and_of_a_second_batch(three):
    run_of(three, workers=1)
    first = content(three / "out")
    rows = run_of(three, workers=1)
    assert content(three / "out") == first
    assert {name: row.is_earlier for name, row in rows.items()} == {
        "one": True, "two": True, "broken": False,
    }  # fmt: skip
    check_batch(asked(three, workers=2, out="other"), counted=silent)
    assert content(three / "other") == first


def _other_model(root: Path) -> dict[str, object]:
    write_model(root / "in" / "one.ifc", number=3)
    return {}


def _other_option(_: Path) -> dict[str, object]:
    return {"options": Options(code="nec")}


def _lost_table(root: Path) -> dict[str, object]:
    (root / "out" / "one" / "runs.csv").unlink()
    return {}


def _changed_table(root: Path) -> dict[str, object]:
    (root / "out" / "one" / "runs.csv").write_text("nothing", encoding="utf-8")
    return {}


def _spoilt_summary(root: Path) -> dict[str, object]:
    (root / "out" / "one" / "summary.json").write_text('{"files": 3}', encoding="utf-8")
    return {}


def _checked_otherwise(root: Path) -> dict[str, object]:
    models = (root / "in" / "one.ifc",)
    check_to(root / "out" / "one", Request(models=models, options=Options(code="nec")))
    return {}


@pytest.mark.parametrize(
    "change",
    [
        _other_model, _other_option, _lost_table, _changed_table, _spoilt_summary,
        _checked_otherwise,
    ],
)  # fmt: skip
def test_a_project_is_checked_again_if_anything_of_it_changed(tmp_path, change):
    write_model(tmp_path / "in" / "one.ifc")
    (task,) = projects_of(asked(tmp_path))
    assert not check_project(task).is_earlier
    (task,) = projects_of(asked(tmp_path, **change(tmp_path)))
    assert not check_project(task).is_earlier
    assert check_project(task).is_earlier


def test_another_version_checks_again_and_a_worker_of_another_version_refuses(
    tmp_path, monkeypatch
):
    write_model(tmp_path / "in" / "one.ifc")
    (task,) = projects_of(asked(tmp_path))
    assert not check_project(task).broken
    monkeypatch.setattr(batch_task, "__version__", "another")
    assert check_project(task).broken.startswith("the worker has modelcheck another")


def test_a_worker_that_is_killed_costs_its_own_project(tmp_path):
    write_trap(tmp_path / "in" / "trap.ifc")
    for number in (1, 2):
        write_model(tmp_path / "in" / f"{number}.ifc", number=number)
    rows = {}
    batch = Thread(target=lambda: rows.update(run_of(tmp_path, workers=2)))
    batch.start()
    with caught(tmp_path / "in" / "trap.ifc", psutil.Process().children) as worker:
        worker.kill()
    batch.join()
    assert "killed by signal 9" in rows["trap"].broken
    assert rows_of(tmp_path)["trap"]["state"] == "broken"
    assert not rows["1"].broken
    assert not rows["2"].broken


@pytest.mark.parametrize("sign", [signal.SIGKILL, signal.SIGINT])
def test_a_batch_that_is_ended_loses_nothing_that_was_finished(tmp_path, sign):
    write_model(tmp_path / "in" / "1.ifc")
    write_trap(tmp_path / "in" / "trap.ifc")
    command = ["-m", "modelcheck", "batch", "in", "--out", "out", "--workers", "1"]
    running = subprocess.Popen(
        [sys.executable, *command], cwd=tmp_path, stderr=subprocess.PIPE, text=True
    )
    workers = psutil.Process(running.pid).children
    with caught(tmp_path / "in" / "trap.ifc", lambda: workers(recursive=True)) as worker:
        os.kill(running.pid, sign)
        running.wait()
        if sign == signal.SIGKILL:  # then it can't end its workers
            worker.kill()
        told = running.communicate()[1]
    if sign == signal.SIGINT:
        assert running.returncode == 2
        assert told == "interrupted: what was finished stays, run it again.\n"
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["1"]
    (tmp_path / "in" / "trap.ifc").unlink()
    write_model(tmp_path / "in" / "trap.ifc", number=2)
    rows = run_of(tmp_path)
    assert (rows["1"].is_earlier, rows["trap"].is_earlier) == (True, False)
    assert not rows["trap"].broken


@pytest.mark.parametrize(("most_bytes", "processes"), [(2**40, 1), (0, 3)])
def test_a_worker_that_has_held_much_makes_way_for_a_fresh_one(
    tmp_path, monkeypatch, most_bytes, processes
):
    class Counted(batch_workers._Worker):
        started = 0

        def __init__(self, most):
            super().__init__(most)
            Counted.started += 1

    monkeypatch.setattr(batch_workers, "_Worker", Counted)
    for number in range(1, 4):
        write_model(tmp_path / "in" / f"{number}.ifc", number=number)
    tasks = projects_of(asked(tmp_path))
    rows = [*batch_workers.run_here(tasks, workers=1, most_bytes=most_bytes)]
    assert [row.broken for row in rows] == [""] * 3
    assert Counted.started == processes
