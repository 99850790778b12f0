"""Bend sheets into their files: two tables, an SVG a run, one PDF."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from modelcheck.model.bend_sheet import BendSheet
from modelcheck.write.bend_drawing import draw_bends
from modelcheck.write.bend_tables import BENDS, PIECES, bends_text, pieces_text
from modelcheck.write.drawing_pdf import pdf
from modelcheck.write.drawing_svg import svg

_ALL = "bends.pdf"


def bend_file_names(runs: Sequence[str]) -> tuple[str, ...]:
    """Names of every file for the bend sheets of these runs."""
    return (PIECES, BENDS, *((_ALL,) if runs else ()), *(_svg_name(run) for run in runs))


def write_bends(sheets: Sequence[BendSheet], projects: Mapping[str, str], folder: Path) -> None:
    """Write bend sheets into `folder`, under their `bend_file_names`.

    Parameters
    ----------
    sheets : sequence of BendSheet
    projects : mapping of str to str
        Name of the project of each model.
    folder : Path
    """
    (folder / PIECES).write_bytes(pieces_text(sheets).encode("utf-8", errors="replace"))
    (folder / BENDS).write_bytes(bends_text(sheets).encode("utf-8", errors="replace"))
    drawn = [
        draw_bends(sheet, project=projects.get(sheet.run.elements[0].model, "")) for sheet in sheets
    ]
    for sheet, page in zip(sheets, drawn, strict=True):
        text = svg(page).encode("utf-8", errors="replace")
        (folder / _svg_name(sheet.run.name)).write_bytes(text)
    if drawn:
        (folder / _ALL).write_bytes(pdf(drawn, title="Bend sheets of runs"))


def _svg_name(run: str) -> str:
    return f"bends-{run}.svg"
