"""Boxes described by hand."""

from __future__ import annotations

from pathlib import Path

from modelcheck.checks import size_answer
from modelcheck.model.sized_box import SizedBox
from modelcheck.pipeline.request import Request, Terms
from modelcheck.read.box_toml import read_boxes


def sized_boxes(path: Path, request: Request) -> tuple[SizedBox, ...]:
    """Work the boxes that BOX.toml at `path` describes.

    Parameters
    ----------
    path : Path
    request : Request
        Without models.

    Raises
    ------
    ModelcheckError
        If a file can't be used.
    """
    terms = Terms.of(request)
    boxes = []
    for case in read_boxes(path):
        answer = size_answer(case, terms.rulebook, terms.settings)
        boxes.append(
            SizedBox(
                name=case.enclosure.ref.name,
                outcome=answer.outcome,
                findings=answer.findings,
                least_inside_mm=answer.least_inside_mm,
                steps=answer.steps,
            )
        )
    return tuple(boxes)
