"""Drawings into their files: SVG and DXF for each box, one PDF, one cut list."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from modelcheck.write.drawing_dxf import dxf
from modelcheck.write.drawing_net import unfold
from modelcheck.write.drawing_pdf import pdf
from modelcheck.write.drawing_sheet import lay_out
from modelcheck.write.drawing_svg import svg
from modelcheck.write.drawing_table import cut_list
from modelcheck.write.drawing_title import BoxDrawing

_NOT_IN_A_NAME = re.compile(r"[^A-Za-z0-9_$-]")
_LONGEST = 60
_ALL, _PROPOSED = "boxes", ".proposed"


def drawing_names(drawings: Sequence[BoxDrawing]) -> tuple[str, ...]:
    """Names of every file that drawings of boxes are written to.

    Parameters
    ----------
    drawings : sequence of BoxDrawing
        One or more, either all of proposals or none.
    """
    stems = _stems(drawings)
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
    stems = _stems(drawings)
    for stem, drawing, net, sheet in zip(stems, drawings, nets, sheets, strict=True):
        (folder / f"{stem}.svg").write_bytes(svg(sheet).encode("utf-8", errors="replace"))
        (folder / f"{stem}.dxf").write_bytes(dxf(drawing, net))
    for_all, list_name = _shared_names(stems)
    proposal = drawings[0].proposal
    change = proposal.change if proposal else ""
    (folder / for_all).write_bytes(pdf(sheets, title="Shop drawings of boxes"))
    (folder / list_name).write_bytes(cut_list(nets, change).encode("utf-8", errors="replace"))


def _shared_names(stems: Sequence[str]) -> tuple[str, str]:
    kind = _PROPOSED if stems[0].endswith(_PROPOSED) else ""
    stem = stems[0] if len(stems) == 1 else f"{_ALL}{kind}"
    return f"{stem}.pdf", f"{stem}.cut-list.csv"


def _stems(drawings: Sequence[BoxDrawing]) -> list[str]:
    """Make a name of each GlobalId that is a plain file name, no two alike in any system."""
    stems: list[str] = []
    taken: set[str] = set()
    for drawing in drawings:
        plain = "box-" + _NOT_IN_A_NAME.sub("_", drawing.ref.guid)[:_LONGEST]
        stem, number = plain, 1
        while stem.lower() in taken:
            number += 1
            stem = f"{plain}.{number}"
        taken.add(stem.lower())
        stems.append(f"{stem}{_PROPOSED}" if drawing.proposal else stem)
    return stems
