import json
import os
import subprocess
import sys
from hashlib import sha256
from pathlib import Path

import pytest

from modelcheck.errors import OutputError
from modelcheck.write.output_dir import claimed

TABLES = ("findings.csv", "runs.csv")


def write(claim, version, names=TABLES):
    for name in names:
        (claim.results / name).write_text(f"{version} {name}")


def run(out, version, names=TABLES):
    with claimed(out) as claim:
        write(claim, version, names)
        claim.put_in_place()


def run_that_fails(out, error):
    with claimed(out) as claim:
        write(claim, "new")
        raise error


def content(folder):
    return {
        str(path.relative_to(folder)): path.read_text()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def results(version, names=TABLES):
    return {name: f"{version} {name}" for name in names}


@pytest.fixture
def out(tmp_path):
    return tmp_path / "deep" / "out"


@pytest.fixture
def lived_in(out):
    """A folder with old results and files of the user's."""
    run(out, "old")
    (out / "notes.txt").write_text("mine")
    (out / "photos" / "site").mkdir(parents=True)
    (out / "photos" / "site" / "1.jpg").write_text("picture")
    (out / "link").symlink_to("notes.txt")
    return out


USERS = {"notes.txt": "mine", "photos/site/1.jpg": "picture", "link": "mine"}


def test_results_appear_with_the_folders_above_them(out):
    run(out, "new")
    assert content(out) == results("new")
    assert [path.name for path in out.parent.iterdir()] == ["out"]


def test_new_results_replace_the_old_ones_and_leave_the_users_files(lived_in):
    before = {name: (lived_in / name).lstat() for name in USERS}
    run(lived_in, "new")
    assert content(lived_in) == results("new") | USERS
    for name, stat in before.items():
        after = (lived_in / name).lstat()
        assert (after.st_ino, after.st_mtime_ns, after.st_mode) == (
            stat.st_ino,
            stat.st_mtime_ns,
            stat.st_mode,
        )
    assert (lived_in / "link").is_symlink()
    assert [path.name for path in lived_in.parent.iterdir()] == ["out"]


def test_the_folder_keeps_its_mode(lived_in):
    lived_in.chmod(0o750)
    run(lived_in, "new")
    assert lived_in.stat().st_mode & 0o777 == 0o750


def test_a_folder_that_somebody_stands_in_stays_the_same_folder(lived_in, monkeypatch):
    monkeypatch.chdir(lived_in)
    inode = lived_in.stat().st_ino
    run(Path(), "new")
    assert content(lived_in) == results("new") | USERS
    assert lived_in.stat().st_ino == inode
    assert [path.name for path in lived_in.parent.iterdir()] == ["out"]


def test_a_run_that_fails_leaves_everything_as_it_was(lived_in):
    before = content(lived_in)
    with pytest.raises(ZeroDivisionError):
        run_that_fails(lived_in, ZeroDivisionError())
    assert content(lived_in) == before
    assert [path.name for path in lived_in.parent.iterdir()] == ["out"]


def test_a_run_that_fails_leaves_no_new_folder(tmp_path):
    with pytest.raises(ZeroDivisionError), claimed(tmp_path / "a" / "b" / "c"):
        raise ZeroDivisionError
    assert list(tmp_path.iterdir()) == []


def test_what_the_system_refuses_is_one_sentence(lived_in):
    before = content(lived_in)
    with pytest.raises(OutputError, match=r"out: the results can't be written there: No space"):
        run_that_fails(lived_in, OSError(28, "No space left on device"))
    assert content(lived_in) == before


def test_a_failure_half_way_puts_all_files_back(lived_in, monkeypatch):
    monkeypatch.chdir(lived_in)
    before = content(lived_in)
    replace = Path.replace

    def refuse(self, target):
        if self.parent.name == "results" and Path(target).name == TABLES[-1]:
            raise PermissionError(13, "Permission denied")
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(OutputError, match="Permission denied"):
        run(lived_in, "new")
    monkeypatch.undo()
    assert content(lived_in) == before
    assert [path.name for path in lived_in.parent.iterdir()] == ["out"]


def test_a_file_in_the_place_of_the_folder_is_an_error(tmp_path):
    (tmp_path / "out").write_text("mine")
    with pytest.raises(OutputError, match="this is a file"), claimed(tmp_path / "out"):
        pass
    assert content(tmp_path) == {"out": "mine"}


def test_a_file_above_the_folder_is_an_error(tmp_path):
    (tmp_path / "file").write_text("mine")
    with pytest.raises(OutputError, match="can't be written there"), claimed(tmp_path / "file/out"):
        pass
    assert content(tmp_path) == {"file": "mine"}


def test_a_link_is_an_error(tmp_path):
    (tmp_path / "real").mkdir()
    (tmp_path / "out").symlink_to("real")
    with pytest.raises(OutputError, match="this is a link"), claimed(tmp_path / "out"):
        pass
    assert list((tmp_path / "real").iterdir()) == []


def test_a_write_protected_folder_is_an_error(lived_in):
    before = content(lived_in)
    lived_in.chmod(0o555)
    with pytest.raises(OutputError, match="write-protected"), claimed(lived_in):
        pass
    lived_in.chmod(0o755)
    assert content(lived_in) == before


def test_a_folder_with_the_name_of_a_result_is_an_error(out):
    (out / "runs.csv").mkdir(parents=True)
    (out / "runs.csv" / "mine").write_text("mine")
    with pytest.raises(OutputError, match=r"a folder has the name of a result \(runs.csv\)"):
        run(out, "new")
    assert content(out) == {"runs.csv/mine": "mine"}


def test_the_root_is_an_error():
    with pytest.raises(OutputError, match="root of the file system"), claimed(Path("/")):
        pass


def test_an_input_is_never_written_over(out):
    out.mkdir(parents=True)
    model = out / "m.checked.ifc"
    model.write_text("model")
    (out / "alias.csv").symlink_to(model)
    with claimed(out) as claim:
        claim.refuse_inputs(["n.checked.ifc", "findings.csv"], [model])
        for name in ("m.checked.ifc", "alias.csv"):
            with pytest.raises(OutputError, match=r"m\.checked\.ifc: this input would be written"):
                claim.refuse_inputs(["findings.csv", name], [model])


def test_two_runs_at_once_one_wins_whole_and_the_other_says_so(lived_in):
    with claimed(lived_in) as first:
        write(first, "new")
        with pytest.raises(OutputError, match="another check is writing there"):
            run(lived_in, "newer")
        first.put_in_place()
    assert content(lived_in) == results("new") | USERS
    run(lived_in, "newer")
    assert content(lived_in) == results("newer") | USERS


def test_a_checked_model_of_an_earlier_run_goes_unless_somebody_changed_it(out):
    names = (*TABLES, "a.checked.ifc", "b.checked.ifc", "../c.checked.ifc")
    run(out, "old", names[:-1])
    (out.parent / "c.checked.ifc").write_text("mine")
    digests = {name: sha256((out / name).read_bytes()).hexdigest() for name in names}
    (out / "summary.json").write_text(json.dumps({"files": digests}))
    (out / "b.checked.ifc").write_text("edited")
    run(out, "new", (*TABLES, "summary.json"))
    assert content(out) == results("new") | {
        "b.checked.ifc": "edited",
        "summary.json": "new summary.json",
    }
    assert (out.parent / "c.checked.ifc").read_text() == "mine"


def test_results_without_a_summary_leave_those_of_an_earlier_check(out):
    run(out, "old", (*TABLES, "a.checked.ifc"))
    digests = {"a.checked.ifc": sha256((out / "a.checked.ifc").read_bytes()).hexdigest()}
    summary = json.dumps({"files": digests})
    (out / "summary.json").write_text(summary)
    run(out, "new", ("elements.csv",))
    assert content(out) == results("old") | {
        "a.checked.ifc": "old a.checked.ifc",
        "elements.csv": "new elements.csv",
        "summary.json": summary,
    }


@pytest.mark.parametrize("summary", ["", "[", "[]", '{"files": 3}', '{"files": {"a": []}}'])
def test_a_summary_that_is_not_ours_says_nothing(out, summary):
    out.mkdir(parents=True)
    (out / "summary.json").write_text(summary)
    (out / "a.checked.ifc").write_text("mine")
    run(out, "new", (*TABLES, "summary.json"))
    assert content(out)["a.checked.ifc"] == "mine"


KILLED_AT_EACH_OPERATION = """
import os, signal, sys
from pathlib import Path
from tests.unit.write.test_output_dir import USERS, content, results, run
from modelcheck.write.output_dir import claimed

out, inside = Path(sys.argv[1]), sys.argv[2] == "inside"
if inside:
    os.chdir(out)
known = (results("old") | USERS, results("new") | USERS)

def killed_at(number):
    count = 0
    def hook(event, _):
        nonlocal count
        if event.startswith(("os.", "open", "shutil.", "ctypes.")):
            count += 1
            if count == number:
                os.kill(os.getpid(), signal.SIGKILL)
    if not os.fork():
        sys.addaudithook(hook)
        run(out, "new")
        os._exit(0)
    return os.wait()[1] != 0

number = 0
while killed_at(number := number + 1):
    if not inside:
        assert content(out) in known, (number, content(out))
    try:
        with claimed(out):
            raise ZeroDivisionError
    except ZeroDivisionError:
        pass
    assert content(out) in known, (number, content(out))
    assert os.listdir(out.parent) == ["out"], (number, os.listdir(out.parent))
    run(out, "old")
print(number)
"""


@pytest.mark.parametrize("where", ["outside", "inside"])
def test_killed_at_any_file_operation_old_or_new_results_are_whole(lived_in, where):
    done = subprocess.run(
        [sys.executable, "-c", KILLED_AT_EACH_OPERATION, str(lived_in), where],
        check=False,
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[3])},
    )
    assert done.stderr == ""
    assert int(done.stdout) > 20
    assert content(lived_in) == results("new") | USERS
