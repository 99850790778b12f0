"""Models and results behind URLs come to the same as in folders."""

import json
import sys
from hashlib import sha256
from pathlib import Path

import fsspec
import pytest

from modelcheck.errors import ModelcheckError
from modelcheck.model.batch import BatchTask
from modelcheck.pipeline import places
from modelcheck.pipeline.batch import BatchRequest, check_batch, projects_of
from modelcheck.pipeline.batch_task import check_project
from tests.unit.pipeline.batches import asked, content, write_model

MEMORY = "memory://projects"


def silent(_done: int, _of: int) -> None:
    """Count nothing."""


def write_projects(root: Path) -> None:
    write_model(root / "in" / "one.ifc")
    write_model(root / "in" / "two" / "model.ifc", number=2)
    (root / "in" / "broken.ifc").write_text("not a model", encoding="utf-8")


@pytest.fixture
def memory(tmp_path):
    """Give a file system in memory that holds the models, and nothing after the test."""
    write_projects(tmp_path)
    system = fsspec.filesystem("memory")
    system.put(f"{tmp_path / 'in'}/", f"{MEMORY}/in/", recursive=True)
    yield system
    system.rm(MEMORY, recursive=True)


def task_of(project: str) -> BatchTask:
    """Give the task of a project in memory."""
    tasks = projects_of(BatchRequest(folder=f"{MEMORY}/in", out=f"{MEMORY}/out"))
    return {task.project: task for task in tasks}[project]


def stored(system: fsspec.AbstractFileSystem, path: str) -> dict[str, bytes]:
    root = system._strip_protocol(path)
    return {name.removeprefix(f"{root}/"): system.cat_file(name) for name in system.find(root)}


def test_the_same_results_stand_behind_a_url(tmp_path):
    write_projects(tmp_path)
    check_batch(asked(tmp_path), counted=silent)
    url = f"file://{tmp_path}"
    rows = check_batch(BatchRequest(folder=f"{url}/in", out=f"{url}/behind"), counted=silent)
    here, there = content(tmp_path / "out"), content(tmp_path / "behind")
    tables = here.pop("batch.csv").decode(), there.pop("batch.csv").decode()
    assert here == there
    assert tables[1] == tables[0].replace(f"{tmp_path}/in", f"{url}/in")
    assert rows[0].broken.startswith(f"{url}/in/broken.ifc: this is not an IFC file")


def test_what_stands_behind_a_url_is_not_done_again_unless_something_changed(memory):
    task = task_of("one")
    assert not check_project(task).is_earlier
    first = stored(memory, task.out)
    assert check_project(task).is_earlier
    memory.pipe_file(f"{task.out}/runs.csv", b"changed")
    assert not check_project(task).is_earlier
    assert stored(memory, task.out) == first


def test_the_summary_comes_last_so_that_half_a_copy_is_not_taken_for_results(
    tmp_path, memory, monkeypatch
):
    task = task_of("one")
    check_project(task)
    whole = stored(memory, task.out)
    write_model(tmp_path / "other.ifc", number=5)
    memory.put_file(str(tmp_path / "other.ifc"), task.models[0])
    put_file = type(memory).put_file
    copied: list[str] = []

    def breaks(system, source, target, **given):
        if len(copied) == 3:
            raise OSError(28, "No space left on device")
        copied.append(target)
        put_file(system, source, target, **given)

    with monkeypatch.context() as patch:
        patch.setattr(type(memory), "put_file", breaks)
        row = check_project(task)
    assert row.broken == f"{task.out}: the results can't be written there: no space left on device"
    assert "summary.json" not in stored(memory, task.out)
    row = check_project(task)
    assert (row.is_earlier, row.broken) == (False, "")
    again = stored(memory, task.out)
    assert set(again) == set(whole)
    assert again["summary.json"] != whole["summary.json"]


def test_results_of_an_earlier_model_go_and_the_users_files_stay(memory):
    task = task_of("two")
    check_project(task)
    memory.pipe_file(f"{task.out}/notes.txt", b"mine")
    memory.pipe_file(f"{MEMORY}/out/outside.txt", b"mine")
    summary = json.loads(memory.cat_file(f"{task.out}/summary.json"))
    summary["files"]["../outside.txt"] = sha256(b"mine").hexdigest()
    memory.pipe_file(f"{task.out}/summary.json", json.dumps(summary).encode())
    memory.mv(task.models[0], f"{MEMORY}/in/two/renamed.ifc")
    check_project(task_of("two"))
    names = set(stored(memory, task.out))
    assert "renamed.checked.ifc" in names
    assert "model.checked.ifc" not in names
    assert "notes.txt" in names
    assert memory.exists(f"{MEMORY}/out/outside.txt")


@pytest.mark.parametrize(
    ("url", "told"),
    [
        pytest.param("memory://nothing-there", "no such file or folder", id="missing"),
        pytest.param("unheard-of://place", "nothing here reads such a URL", id="unknown"),
    ],
)
def test_a_url_that_leads_nowhere_is_told(url, told):
    with pytest.raises(ModelcheckError, match=told):
        places.entries(url)


def test_without_the_extra_a_url_says_what_to_install(monkeypatch):
    monkeypatch.setitem(sys.modules, "fsspec", None)
    with pytest.raises(ModelcheckError, match=r"pip install '\.\[cluster\]'"):
        places.entries(f"{MEMORY}/in")


def test_a_path_needs_no_extra(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "fsspec", None)
    write_projects(tmp_path)
    rows = [check_project(task) for task in projects_of(asked(tmp_path))]
    assert sorted(row.project for row in rows if not row.broken) == ["one", "two"]
