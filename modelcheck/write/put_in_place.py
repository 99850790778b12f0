"""A folder of new results into the place of the old ones, whole or not at all.

Where the system can exchange two folders in one step, that is done: whoever looks, at any moment
and after a power cut, sees the old results or the new ones. The user's own files in the folder
come along as hard links, so they are the very same files. Where it can't (a mount point, a file
system without hard links, a folder that the user stands in), each file is replaced on its own;
should one fail all are put back, and after a kill the next run puts them back.
"""

from __future__ import annotations

import ctypes
import errno
import json
import os
import shutil
import sys
from collections.abc import Collection, Iterator
from contextlib import suppress
from pathlib import Path

_MOST_LINKS = 2000  # a folder that holds more of the user's than this is not ours to rebuild
_EXCHANGE = 2  # RENAME_EXCHANGE of Linux, RENAME_SWAP of macOS
_PLAN = "placing.json"


def put_in_place(work: Path, target: Path, *, outdated: Collection[str]) -> None:
    """Make the files of ``work/results`` those of `target`.

    Parameters
    ----------
    work : Path
        Folder of this run, on the file system of `target`.
    target : Path
        Folder for the results; it need not be there.
    outdated : collection of str
        Names of earlier results in `target` that have no successor.

    Raises
    ------
    OSError
        With `target` as it was before.
    """
    results = work / "results"
    names = sorted(path.name for path in results.iterdir())
    _refuse_folders(target, names)
    for path in (*results.iterdir(), results):
        _flush(path)
    if not os.path.lexists(target):
        results.rename(target)
    elif not _exchange_whole(work, target, ours={*names, *outdated}):
        _replace_each(work, target, names=names, outdated=outdated)
    with suppress(OSError):
        _flush(target.parent)


def recover(work: Path, target: Path) -> None:
    """Finish or undo what a killed run left half done; then all of `work` may be deleted."""
    if not is_unfinished(work):
        return
    plan = json.loads((work / _PLAN).read_text(encoding="utf-8"))
    if plan["way"] == "exchange":
        if target.stat().st_ino == plan["inode"]:
            _bring_late_files(work / "results", target, ours=plan["names"])
    else:
        _undo(work, target, names=plan["names"], saved=plan["saved"])
    (work / _PLAN).unlink()


def is_unfinished(work: Path) -> bool:
    """Whether `work` holds something that `recover` has to see to."""
    return (work / _PLAN).exists()


def _refuse_folders(target: Path, names: Collection[str]) -> None:
    for name in names:
        if (target / name).is_dir() and not (target / name).is_symlink():
            raise IsADirectoryError(errno.EISDIR, "a folder has the name of a result", name)


def _exchange_whole(work: Path, target: Path, *, ours: Collection[str]) -> bool:
    """Exchange the folders in one step; False, with nothing changed, where that can't be."""
    results = work / "results"
    try:
        if work.parent == target or Path.cwd().is_relative_to(target):
            return False
        _link_foreign(target, results, ours=ours)
        inode = results.stat().st_ino
        _write_plan(work, {"way": "exchange", "names": sorted(ours), "inode": inode})
        _exchange(results, target)
    except OSError:
        (work / _PLAN).unlink(missing_ok=True)
        return False
    _bring_late_files(results, target, ours=ours)
    (work / _PLAN).unlink()
    return True


def _link_foreign(target: Path, results: Path, *, ours: Collection[str]) -> None:
    """Give `results` everything in `target` that isn't ours, and its owner and mode."""
    room = _MOST_LINKS
    for folder, path in _foreign(target, ours=ours):
        room -= 1
        if room < 0:
            raise OSError(errno.EMLINK, "too many files of the user's to link")
        if folder:
            (results / path).mkdir()
        else:
            os.link(target / path, results / path, follow_symlinks=False)
    for folder_path, _, _ in os.walk(results, topdown=False):
        _copy_manners(target / Path(folder_path).relative_to(results), Path(folder_path))
        _flush(Path(folder_path))


def _foreign(root: Path, *, ours: Collection[str]) -> Iterator[tuple[bool, Path]]:
    """Everything below `root` that isn't ours: whether it is a folder, and its path from there."""
    waiting = [path for path in sorted(root.iterdir()) if path.name not in ours]
    while waiting:
        path = waiting.pop()
        is_folder = path.is_dir() and not path.is_symlink()
        yield is_folder, path.relative_to(root)
        if is_folder:
            waiting.extend(sorted(path.iterdir()))


def _copy_manners(source: Path, copy: Path) -> None:
    wanted, found = source.stat(), copy.stat()
    if (wanted.st_uid, wanted.st_gid) != (found.st_uid, found.st_gid):
        os.chown(copy, wanted.st_uid, wanted.st_gid)
    shutil.copystat(source, copy)


def _exchange(one: Path, other: Path) -> None:
    paths = os.fsencode(one), os.fsencode(other)
    library = ctypes.CDLL(None, use_errno=True)
    here = -100  # AT_FDCWD: the paths are absolute
    if sys.platform == "linux" and hasattr(library, "renameat2"):
        failed = library.renameat2(here, paths[0], here, paths[1], _EXCHANGE)
    elif sys.platform == "darwin" and hasattr(library, "renamex_np"):
        failed = library.renamex_np(*paths, _EXCHANGE)
    else:
        raise OSError(errno.ENOSYS, "no exchange of folders on this system")
    if failed:
        raise OSError(ctypes.get_errno(), "the folders can't be exchanged")


def _bring_late_files(old: Path, target: Path, *, ours: Collection[str]) -> None:
    """Move over what somebody put into the old folder after its files were linked."""
    for is_folder, path in _foreign(old, ours=ours):
        if is_folder:
            (target / path).mkdir(exist_ok=True)
        elif not os.path.lexists(target / path) or _is_later(old / path, target / path):
            (old / path).replace(target / path)


def _is_later(one: Path, other: Path) -> bool:
    return one.lstat().st_mtime_ns > other.lstat().st_mtime_ns


def _replace_each(
    work: Path, target: Path, *, names: Collection[str], outdated: Collection[str]
) -> None:
    saved = [name for name in (*names, *outdated) if os.path.lexists(target / name)]
    shutil.rmtree(work / "old", ignore_errors=True)
    (work / "old").mkdir()
    for name in saved:
        _save(target / name, work / "old" / name)
    _flush(work / "old")
    _write_plan(work, {"way": "each", "names": [*names], "saved": saved})
    try:
        for name in names:
            (work / "results" / name).replace(target / name)
        for name in outdated:
            (target / name).unlink(missing_ok=True)
        _flush(target)
    except OSError:
        recover(work, target)
        raise
    (work / _PLAN).unlink()


def _save(path: Path, copy: Path) -> None:
    try:
        os.link(path, copy, follow_symlinks=False)
    except OSError:
        shutil.copy2(path, copy, follow_symlinks=False)
        _flush(copy)


def _undo(work: Path, target: Path, *, names: Collection[str], saved: Collection[str]) -> None:
    for name in names:
        if name not in saved and not (work / "results" / name).exists():
            (target / name).unlink(missing_ok=True)
    for name in saved:
        if os.path.lexists(work / "old" / name):
            (work / "old" / name).replace(target / name)


def _write_plan(work: Path, plan: dict[str, object]) -> None:
    part = work / f"{_PLAN}.part"
    part.write_text(json.dumps(plan), encoding="utf-8")
    _flush(part)
    part.replace(work / _PLAN)
    _flush(work)


def _flush(path: Path) -> None:
    """Have the disk hold what was written."""
    if path.is_symlink() or (sys.platform == "win32" and path.is_dir()):
        return
    handle = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
