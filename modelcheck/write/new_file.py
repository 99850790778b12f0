"""A single file that is written whole or not at all, and never over another."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from modelcheck.errors import OutputError
from modelcheck.write.output_dir import workplace


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
        If something else is there, nothing can be written there, or another run is writing there.
    """
    work = out.with_name(f".{out.name}.modelcheck")
    with _told(out, what):
        if not out.parent.is_dir():
            raise OutputError(f"{out}: there is no folder {out.parent}; make it first")
        if os.path.lexists(out) and not os.path.lexists(work):
            _refuse_other(out, text)
            return
        with workplace(work, out):  # also to tidy up after a run that was killed
            if os.path.lexists(out):
                _refuse_other(out, text)
            else:
                _write_new(out, text, part=work / "part")


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


def _write_new(out: Path, text: bytes, *, part: Path) -> None:
    """Write `part`, then give it the name `out`, unless another took that meanwhile."""
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
