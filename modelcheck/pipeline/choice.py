"""Which of the boxes or runs of a project a person means."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from pathlib import Path
from typing import TypeVar

from modelcheck.errors import InputFileError

_TOLD = 5
ThingT = TypeVar("ThingT")


def chosen(
    things: Sequence[ThingT],
    asked: str,
    *,
    names: Callable[[ThingT], Collection[str]],
    told: Callable[[ThingT], str],
    kind: tuple[str, str],
    path: Path,
) -> list[ThingT]:
    """Find what `asked` names.

    Parameters
    ----------
    things : sequence
    asked : str
    names : callable
        What a thing may be named by.
    told : callable
        How a thing is told of to a person.
    kind : tuple of str, shape (2,)
        What the things are, one and several.
    path : Path
        Where they were looked for.

    Raises
    ------
    InputFileError
        If there is none, with the names of some that there are.
    """
    found = [each for each in things if asked in names(each)]
    if not found:
        some = ", ".join(told(each) for each in things[:_TOLD])
        some += ", ..." if len(things) > _TOLD else ""
        there = f"the {kind[1]} are {some}" if things else f"there is no {kind[0]} in it"
        raise InputFileError(f"there is no {kind[0]} {asked!r}: {there}", path=path)
    return found
