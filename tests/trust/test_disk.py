"""No room, no right to write, two at once: DIR is as it was, and one sentence says why."""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.builders.habits import TIDY
from tests.builders.plant import Plant
from tests.builders.scenes import between, facing_boxes
from tests.builders.write_ifc import write
from tests.trust.killer import content

ROOT = Path(__file__).parents[2]
PLANT = Plant(name="Small plant", boxes=facing_boxes(), routes=(between(),))
NOBODY = 65534
IS_ROOT = hasattr(os, "geteuid") and os.geteuid() == 0


@pytest.fixture
def model(tmp_path):
    path = tmp_path / "plant.ifc"
    write(PLANT, TIDY, path)
    return path


def program(*arguments, **options):
    """Run the command in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "modelcheck", *map(str, arguments)],
        check=False,
        capture_output=True,
        text=True,
        cwd=ROOT,
        **options,
    )


def assert_one_sentence(done, part):
    assert done.returncode == 2, done.stdout + done.stderr
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert part in done.stderr


def lived_in(out):
    """A folder with old results and a file of the user's."""
    out.mkdir(parents=True)
    (out / "findings.csv").write_text("old", encoding="utf-8")
    (out / "notes.txt").write_text("mine", encoding="utf-8")
    return content(out)


COMMANDS = [
    pytest.param(["check", "MODEL", "--out", "OUT"], id="check"),
    pytest.param(["draw", "MODEL", "--all", "--out", "OUT"], id="draw"),
    pytest.param(["bends", "MODEL", "--all", "--out", "OUT"], id="bends"),
    pytest.param(["read", "MODEL", "--out", "OUT"], id="read"),
    pytest.param(["practice", "--seed", "1", "--count", "1", "--out", "OUT"], id="practice"),
]


def spelled(command, model, out):
    return [{"MODEL": str(model), "OUT": str(out)}.get(each, each) for each in command]


@pytest.mark.parametrize("command", COMMANDS)
def test_a_file_that_gets_too_large_leaves_the_folder_as_it_was(model, tmp_path, command):
    """The system lets no file grow past so many bytes: the first result meets that."""
    out = tmp_path / "home" / "out"
    before = lived_in(out)

    def limit():
        resource.setrlimit(resource.RLIMIT_FSIZE, (64, 64))

    done = program(*spelled(command, model, out), preexec_fn=limit)
    assert_one_sentence(done, "File too large")
    assert content(out) == before
    assert [path.name for path in out.parent.iterdir()] == ["out"]


@pytest.mark.parametrize("command", ["requirements", "pulls"])
def test_a_single_file_that_gets_too_large_is_not_there(model, tmp_path, command):
    out = tmp_path / "home" / "out.csv"
    out.parent.mkdir()
    models = [model] if command == "pulls" else []

    def limit():
        resource.setrlimit(resource.RLIMIT_FSIZE, (64, 64))

    done = program(command, *models, "--out", out, preexec_fn=limit)
    assert_one_sentence(done, "file too large")
    assert list(out.parent.iterdir()) == []


@pytest.fixture
def tiny_disk(tmp_path):
    """A disk of 64 KiB, where the system lets one be made."""
    disk = tmp_path / "disk"
    disk.mkdir()
    made = shutil.which("mount") and subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(disk)],
        check=False,
        capture_output=True,
    )
    if not made or made.returncode:
        pytest.skip("no disk can be made here")
    yield disk
    subprocess.run(["umount", str(disk)], check=True)


def test_a_full_disk_leaves_the_folder_as_it_was(model, tiny_disk):
    out = tiny_disk / "out"
    before = lived_in(out)
    done = program("check", model, "--out", out)
    assert_one_sentence(done, "No space left on device")
    assert content(out) == before
    assert [path.name for path in tiny_disk.iterdir()] == ["out"]


def test_a_disk_of_its_own_that_is_full_is_left_as_it_was(model, tiny_disk):
    """The results are made in the folder itself where it is the disk."""
    (tiny_disk / "notes.txt").write_text("mine", encoding="utf-8")
    done = program("check", model, "--out", tiny_disk)
    assert_one_sentence(done, "No space left on device")
    assert content(tiny_disk) == {"notes.txt": b"mine"}
    assert [path.name for path in tiny_disk.iterdir()] == ["notes.txt"]


AS_NOBODY = f"""
import importlib, os, pkgutil, sys
import modelcheck
from modelcheck.cli import main
for module in pkgutil.walk_packages(modelcheck.__path__, "modelcheck."):
    if module.name.startswith(("modelcheck.pipeline.", "modelcheck.read.", "modelcheck.write.")):
        importlib.import_module(module.name)  # nobody may not come where Python lies
os.setgroups([])
os.setgid({NOBODY})
os.setuid({NOBODY})
main(sys.argv[1:])
"""


def by_nobody(*arguments):
    """Run the command as a user who owns nothing."""
    return subprocess.run(
        [sys.executable, "-c", AS_NOBODY, *map(str, arguments)],
        check=False,
        capture_output=True,
        text=True,
        cwd=ROOT,
    )


@pytest.fixture
def of_root(tmp_path):
    """A folder that everybody may come through, and whose content is root's."""
    if not IS_ROOT:
        pytest.skip("only root can be somebody else")
    for path in (tmp_path, *tmp_path.parents):
        if not path.stat().st_mode & 0o001:
            path.chmod(path.stat().st_mode | 0o001)
    return tmp_path


def lived_in_by_all(out):
    before = lived_in(out)
    out.chmod(0o755)
    return before


def test_a_folder_that_one_may_not_even_look_into_is_one_sentence(model, of_root):
    out = of_root / "home" / "out"
    out.parent.mkdir()
    out.parent.chmod(0o700)
    assert_one_sentence(by_nobody("check", model, "--out", out), "Permission denied")
    assert list(out.parent.iterdir()) == []


@pytest.mark.parametrize("is_there", [True, False], ids=["of-another", "cannot-be-made"])
def test_a_folder_that_one_may_not_write_to_is_left_as_it_was(model, of_root, is_there):
    out = of_root / "home" / "out"
    out.parent.mkdir()
    out.parent.chmod(0o755)
    before = lived_in_by_all(out) if is_there else {}
    done = by_nobody("check", model, "--out", out)
    assert_one_sentence(done, "write-protected" if is_there else "Permission denied")
    assert content(out.parent) == {f"out/{name}": raw for name, raw in before.items()}


def test_a_model_that_one_may_not_read_is_one_sentence(model, of_root):
    model.chmod(0o600)
    out = of_root / "open" / "out"
    out.parent.mkdir()
    out.parent.chmod(0o777)
    done = by_nobody("check", model, "--out", out)
    assert_one_sentence(done, "plant.ifc")
    assert list(out.parent.iterdir()) == []


def test_of_two_checks_into_one_folder_each_wins_whole_or_says_so(model, tmp_path):
    out = tmp_path / "home" / "out"
    before = lived_in(out)
    command = [sys.executable, "-m", "modelcheck", "check", str(model), "--out", str(out), "--code"]
    both = [
        subprocess.Popen([*command, code], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        for code in ("cec", "nec")
    ]
    told = [process.communicate() for process in both]
    statuses = [process.returncode for process in both]
    assert any(status in (0, 1) for status in statuses), told
    for status, (_, stderr) in zip(statuses, told, strict=True):
        assert status in (0, 1) or b"another check is writing there" in stderr
    assert (out / "notes.txt").read_bytes() == before["notes.txt"]
    codes = {line.split(b",")[11] for line in (out / "findings.csv").read_bytes().splitlines()[1:]}
    assert len(codes) == 1
    assert [path.name for path in out.parent.iterdir()] == ["out"]


@pytest.mark.parametrize("command", COMMANDS)
def test_the_inputs_are_only_ever_read(model, tmp_path, command):
    was = model.read_bytes(), model.stat().st_mtime_ns, model.stat().st_mode
    model.chmod(0o444)
    done = program(*spelled(command, model, tmp_path / "home" / "out"))
    assert done.returncode in (0, 1), done.stderr
    assert (model.read_bytes(), model.stat().st_mtime_ns) == was[:2]
