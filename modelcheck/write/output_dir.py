"""The folder for the results: claimed at the start, changed at the end, whole or not at all."""

from __future__ import annotations

import json
import os
import shutil
import stat
import sys
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from hashlib import file_digest
from pathlib import Path
from typing import IO

from modelcheck.errors import OutputError
from modelcheck.write.put_in_place import is_unfinished, put_in_place, recover

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

SUMMARY = "summary.json"
_OURS = (".checked.ifc", ".csv", ".html", ".xlsx", ".bcf", ".pdf")  # ends of results' names


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """The right of one run to write to a folder."""

    target: Path
    work: Path

    @property
    def results(self) -> Path:
        """Where the run makes its files, on the disk of the target."""
        return self.work / "results"

    def refuse_inputs(self, names: Sequence[str], inputs: Sequence[Path]) -> None:
        """Refuse to write a file of one of these names where it is an input.

        Raises
        ------
        OutputError
            With the input.
        """
        for name in names:
            for path in inputs:
                if _is_same(self.target / name, path):
                    raise OutputError(
                        f"{path}: this input would be written over; "
                        "choose another folder with --out"
                    )

    def put_in_place(self) -> None:
        """Make the results those of the target, whole.

        Raises
        ------
        OutputError
            With the target as it was before.
        """
        new = {path.name for path in self.results.iterdir()}
        earlier = _earlier_results(self.target) if SUMMARY in new else []
        outdated = [name for name in earlier if name not in new]
        with _told(self.target):
            put_in_place(self.work, self.target, outdated=outdated)


@contextmanager
def claimed(out: Path) -> Iterator[Claim]:
    """Claim `out` for the results of one run; unless they are put in place it stays as it was.

    Raises
    ------
    OutputError
        If nothing can be written there, or another run is writing there.
    """
    with _told(out):
        target = _checked(out)
    with _told(out), parents_of(target), _locked(_home(target), out) as work:
        if is_unfinished(work):
            recover(work, target)
        with _emptied(work):
            claim = Claim(target=target, work=work)
            claim.results.mkdir()
            yield claim


@contextmanager
def workplace(work: Path, out: Path) -> Iterator[Path]:
    """Have the folder `work` alone and empty, to make the file `out` in; then it goes again.

    Raises
    ------
    OSError
        If it can't be made.
    OutputError
        If another run is writing there.
    """
    with _locked(work, out), _emptied(work):
        yield work


def digest(path: Path) -> str:
    """SHA-256 of the file at `path` in hexadecimal."""
    with path.open("rb") as handle:
        return file_digest(handle, "sha256").hexdigest()


def _checked(out: Path) -> Path:
    """Absolute path of `out`, if results may go there."""
    if out.is_symlink():
        raise OutputError(f"{out}: this is a link; give the folder that it leads to")
    has_name = out.name not in ("", "..")
    target = out.parent.resolve() / out.name if has_name else out.resolve()
    if not target.name:
        raise OutputError(f"{out}: results can't be written to the root of the file system")
    if not os.path.lexists(target):
        return target
    if not target.is_dir():
        raise OutputError(f"{out}: this is a file; give a folder for the results")
    if not target.stat().st_mode & stat.S_IWUSR or not os.access(target, os.W_OK | os.X_OK):
        raise OutputError(f"{out}: this folder is write-protected")
    return target


def _home(target: Path) -> Path:
    """Folder to work in: beside the target, or in it if that is a disk of its own."""
    parent = target.parent
    if target.exists() and (
        target.stat().st_dev != parent.stat().st_dev or not os.access(parent, os.W_OK | os.X_OK)
    ):
        return target / ".modelcheck"
    return parent / f".{target.name}.modelcheck"


@contextmanager
def _told(out: Path) -> Iterator[None]:
    """Say in one sentence what the system refused."""
    try:
        yield
    except OSError as error:
        what = error.strerror or str(error)
        where = f" ({Path(error.filename).name})" if isinstance(error.filename, str) else ""
        message = f"{out}: the results can't be written there: {what}{where}"
        raise OutputError(message) from None


@contextmanager
def parents_of(target: Path) -> Iterator[None]:
    """Make the folders above `target`; those that stay empty go again."""
    missing = [path for path in target.parents if not path.exists()]
    try:
        for path in reversed(missing):
            path.mkdir()
        yield
    finally:
        for path in missing:
            with suppress(OSError):
                path.rmdir()


@contextmanager
def _locked(work: Path, out: Path) -> Iterator[Path]:
    """Hold the folder `work` alone; a killed run's hold on it ends with the run."""
    if work.is_symlink():
        raise OutputError(f"{work}: a link stands where the results are made; delete it")
    try:
        handle = _held(work)
    except BlockingIOError:
        raise OutputError(
            f"{out}: another check is writing there; "
            "wait for it to end or choose another folder with --out"
        ) from None
    with handle:
        try:
            yield work
        finally:
            if not is_unfinished(work):
                (work / "lock").unlink(missing_ok=True)
                with suppress(OSError):
                    work.rmdir()


def _held(work: Path) -> IO[bytes]:
    """Open and hold the lock file, again if the run that held it has just tidied it away."""
    lock = work / "lock"
    while True:
        with suppress(FileExistsError):
            work.mkdir()
        with suppress(FileNotFoundError), ExitStack() as stack:
            handle = stack.enter_context(lock.open("ab"))
            _hold(handle)
            if os.path.samestat(os.fstat(handle.fileno()), lock.stat()):
                stack.pop_all()
                return handle


def _hold(handle: IO[bytes]) -> None:
    if sys.platform == "win32":
        msvcrt.locking(handle.fileno(), msvcrt.LK_NBLCK, 1)
    else:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


@contextmanager
def _emptied(work: Path) -> Iterator[None]:
    """Empty `work` now and at the end, but then not of what a next run has to see to."""
    _empty(work)
    try:
        yield
    finally:
        if not is_unfinished(work):
            _empty(work)


def _empty(work: Path) -> None:
    """Delete everything in `work` but the lock, also folders that are write-protected."""
    for folder in os.walk(work):
        Path(folder[0]).chmod(stat.S_IRWXU)
    for path in work.iterdir():
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        elif path.name != "lock":
            path.unlink()


def _earlier_results(target: Path) -> list[str]:
    """Files that an earlier run wrote to `target` and nobody changed since."""
    try:
        listed = json.loads((target / SUMMARY).read_bytes())["files"]
        pairs = [(name, sha256) for name, sha256 in listed.items() if _is_plain_name(name)]
    except (OSError, ValueError, LookupError, TypeError, AttributeError, RecursionError):
        return []  # not a summary of ours: nothing there is known to be an earlier result
    return [name for name, sha256 in pairs if _unlinked_digest(target / name) == sha256]


def _is_plain_name(name: str) -> bool:
    return name.endswith(_OURS) and Path(name).name == name


def _unlinked_digest(path: Path) -> str:
    """SHA-256 of a file in hexadecimal; empty if there is no such file."""
    return digest(path) if path.is_file() and not path.is_symlink() else ""


def _is_same(one: Path, other: Path) -> bool:
    try:
        return one.samefile(other)
    except OSError:
        return one.resolve() == other.resolve()
