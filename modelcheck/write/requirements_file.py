"""The requirements on a model (IDS 1.0) that ship with the program, as a file of the user's."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.resources import files
from pathlib import Path

from modelcheck.errors import OutputError


def requirements_text() -> bytes:
    """Text of the requirements that ship."""
    return (files("modelcheck.write") / "requirements.ids").read_bytes()


def write_requirements(out: Path) -> None:
    """Write the requirements to `out`, whole or not at all; a file that is there stays.

    Parameters
    ----------
    out : Path
        If it is there and holds the very same, nothing is done.

    Raises
    ------
    OutputError
        If something else is there, or nothing can be written there.
    """
    write_new_file(out, requirements_text(), what="the requirements")


def write_new_file(out: Path, text: bytes, *, what: str) -> None:
    """Write `text` to `out`, whole or not at all; a file that is there stays.

    Parameters
    ----------
    out : Path
        If it is there and holds the very same, nothing is done.
    text : bytes
    what : str
        What it is, for errors.

    Raises
    ------
    OutputError
        If something else is there, or nothing can be written there.
    """
    with _told(out, what):
        if os.path.lexists(out):
            _refuse_other(out, text)
        elif not out.parent.is_dir():
            raise OutputError(f"{out}: there is no folder {out.parent}; make it first")
        else:
            _write_new(out, text)


@contextmanager
def _told(out: Path, what: str) -> Iterator[None]:
    """Say in one sentence what the system refused."""
    try:
        yield
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise OutputError(f"{out}: {what} can't be written there: {reason}") from None


def _refuse_other(out: Path, text: bytes) -> None:
    if out.is_dir():
        raise OutputError(f"{out}: this is a folder; give the name of a file in it")
    if not out.is_file() or out.read_bytes() != text:
        raise OutputError(f"{out}: there is something else of this name; choose another with --out")


def _write_new(out: Path, text: bytes) -> None:
    """Write beside `out`, then give it its name, unless another took that meanwhile."""
    part = out.with_name(f".{os.getpid()}.modelcheck")
    try:
        with part.open("wb") as handle:
            handle.write(text)
            handle.flush()
            os.fsync(handle.fileno())
        try:
            os.link(part, out)
        except FileExistsError:
            raise
        except OSError:  # a file system without hard links
            if os.path.lexists(out):
                raise
            part.rename(out)
    finally:
        part.unlink(missing_ok=True)
