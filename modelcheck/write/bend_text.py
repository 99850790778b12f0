"""What the terminal says of bend sheets."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console

from modelcheck.model.bend_sheet import BendSheet
from modelcheck.units import from_metres
from modelcheck.write import words
from modelcheck.write.terminal import amount, long_text, say, short_text


def print_bent(
    console: Console, sheets: Sequence[BendSheet], files: Sequence[str], folder: Path
) -> None:
    """Print the runs that have a sheet, what to see to, and where the files are.

    Parameters
    ----------
    console : Console
    sheets : sequence of BendSheet
    files : sequence of str
    folder : Path
    """
    if not sheets:
        say(console, words.NO_RUNS)
    for sheet in sheets:
        pieces = sum(not piece.is_coupling for piece in sheet.pieces)
        bends = sum(len(piece.bends) for piece in sheet.pieces)
        length = amount(from_metres(sheet.run.length_m, "mm"), "mm")
        text = f"{short_text(sheet.run.name)}: {pieces} to cut, {bends} to bend, {length}"
        if sheet.problem:
            text += f"; don't bend by it: {long_text(sheet.problem)}"
        say(console, text)
    listed = ", ".join(files)
    say(console, words.WRITTEN.format(folder=long_text(str(folder)), files=long_text(listed)))
    for caution in words.CAUTIONS:
        say(console, caution)
