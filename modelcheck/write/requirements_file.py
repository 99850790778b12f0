"""The requirements on a model (IDS 1.0) that ship with the program, as a file of the user's."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from modelcheck.write.new_file import write_new_file


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
