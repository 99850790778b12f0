"""What the terminal says of drawings."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console

from modelcheck.model.fix import Fix
from modelcheck.write import words
from modelcheck.write.drawing_title import BoxDrawing
from modelcheck.write.terminal import long_text, named, say, verdict

_MOST_FILES = 4


def print_drawn(
    console: Console,
    drawings: Sequence[BoxDrawing],
    files: Sequence[str],
    folder: Path,
    *,
    skipped: int = 0,
    not_proposed: Sequence[Fix] = (),
) -> None:
    """Print the boxes that were drawn, and where.

    Parameters
    ----------
    console : Console
    drawings : sequence of BoxDrawing
    files : sequence of str
    folder : Path
    skipped : int
        Boxes without an entry, which have nothing to punch.
    not_proposed : sequence of Fix
        Rows that say why nothing is proposed for their box.
    """
    for drawing in drawings:
        told = f" {named(drawing.ref)}{words.PROPOSED if drawing.proposal else ''}"
        console.print(verdict(console, drawing.outcome), told)
    print_not_proposed(console, not_proposed)
    if not drawings:
        say(console, words.NOTHING_DRAWN)
    if skipped:
        say(console, words.NOT_DRAWN.format(count=skipped))
    if files:
        each_box = words.EACH_BOX.format(example=files[0])
        listed = ", ".join(files if len(files) <= _MOST_FILES else [*files[-2:], each_box])
        say(console, words.WRITTEN.format(folder=long_text(str(folder)), files=long_text(listed)))
    for caution in words.CAUTIONS:
        say(console, caution)


def print_not_proposed(console: Console, fixes: Sequence[Fix]) -> None:
    """Print why nothing is proposed for some boxes."""
    for fix in fixes:
        say(console, words.NOT_PROPOSED.format(box=named(fix.box), why=long_text(fix.message)))
