"""Practice sheets with their answers, which come from the same functions as every other answer."""

from __future__ import annotations

from pathlib import Path

from modelcheck.checks import size_answer
from modelcheck.pipeline.request import Request, Terms
from modelcheck.write.output_dir import claimed
from modelcheck.write.practice import NAMES, Practice, write_practice
from modelcheck.write.practice_boxes import practice_boxes


def make_practice(out: Path, request: Request, *, seed: int, count: int) -> tuple[str, ...]:
    """Write `count` boxes to work, and their answers apart, into `out`.

    Parameters
    ----------
    out : Path
        Folder for the sheets.
    request : Request
        Without models.
    seed : int
        The same seed gives the same boxes.
    count : int

    Returns
    -------
    tuple of str
        Names of the files that were written.

    Raises
    ------
    ModelcheckError
        If the settings can't be used or nothing can be written.
    """
    terms = Terms.of(request)
    practices = []
    for box in practice_boxes(seed, count, terms.settings):
        answer = size_answer(box.case, terms.rulebook, terms.settings)
        practices.append(
            Practice(box=box, outcome=answer.outcome, findings=answer.findings, steps=answer.steps)
        )
    with claimed(out) as claim:
        claim.refuse_inputs(NAMES, request.inputs)
        write_practice(practices, terms.settings, claim.results, seed=seed)
        claim.put_in_place()
    return NAMES
