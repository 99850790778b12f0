"""Drawings into their files: SVG and DXF for each box, one PDF, one cut list."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from modelcheck.model.element import ElementRef
from modelcheck.write.drawing_dxf import dxf
from modelcheck.write.drawing_net import unfold
from modelcheck.write.drawing_pdf import pdf
from modelcheck.write.drawing_sheet import lay_out
from modelcheck.write.drawing_svg import svg
from modelcheck.write.drawing_table import cut_list
from modelcheck.write.drawing_title import BoxDrawing

_NOT_IN_A_NAME = re.compile(r"[^A-Za-z0-9_$-]")
_LONGEST = 60
_ALL = "boxes"


def drawing_names(boxes: Sequence[ElementRef]) -> tuple[str, ...]:
    """Names of every file that drawings of these boxes are written to.

    Parameters
    ----------
    boxes : sequence of ElementRef
        In the order of the drawings.
    """
    stems = _stems(boxes)
    each = [f"{stem}.{kind}" for stem in stems for kind in ("svg", "dxf")]
    return (*each, *_shared_names(stems))


def write_drawings(drawings: Sequence[BoxDrawing], folder: Path) -> None:
    """Write the drawings into `folder`, under their `drawing_names`.

    Parameters
    ----------
    drawings : sequence of BoxDrawing
        One or more.
    folder : Path
    """
    nets = [unfold(drawing.case) for drawing in drawings]
    sheets = [lay_out(drawing) for drawing in drawings]
    stems = _stems([drawing.ref for drawing in drawings])
    for stem, drawing, net, sheet in zip(stems, drawings, nets, sheets, strict=True):
        (folder / f"{stem}.svg").write_bytes(svg(sheet).encode("utf-8", errors="replace"))
        (folder / f"{stem}.dxf").write_bytes(dxf(drawing, net))
    for_all, list_name = _shared_names(stems)
    (folder / for_all).write_bytes(pdf(sheets, title="Shop drawings of boxes"))
    (folder / list_name).write_bytes(cut_list(nets).encode("utf-8", errors="replace"))


def _shared_names(stems: Sequence[str]) -> tuple[str, str]:
    stem = stems[0] if len(stems) == 1 else _ALL
    return f"{stem}.pdf", f"{stem}.cut-list.csv"


def _stems(boxes: Sequence[ElementRef]) -> list[str]:
    """Make a name of each GlobalId that is a plain file name, no two alike in any system."""
    stems: list[str] = []
    taken: set[str] = set()
    for box in boxes:
        plain = "box-" + _NOT_IN_A_NAME.sub("_", box.guid)[:_LONGEST]
        stem, number = plain, 1
        while stem.lower() in taken:
            number += 1
            stem = f"{plain}.{number}"
        taken.add(stem.lower())
        stems.append(stem)
    return stems
