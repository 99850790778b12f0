"""The pages of what fails: the rows of each box and run, and its drawing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from reportlab.platypus import Flowable

from modelcheck.model.bend_sheet import BendSheet
from modelcheck.model.explanation import Explanation
from modelcheck.model.finding import BOX_CHECKS, Outcome
from modelcheck.model.pull import BoxCase
from modelcheck.model.report import Report
from modelcheck.write import words
from modelcheck.write.bend_drawing import draw_bends
from modelcheck.write.drawing_sheet import lay_out
from modelcheck.write.drawing_title import BoxDrawing
from modelcheck.write.finding_text import amounts, outcome_text, place_text
from modelcheck.write.pdf_parts import drawing_pages, grid, new_page, text
from modelcheck.write.topics import Topic

_ROWS = (36.0, 18.0, 18.0, 18.0, 30.0, 58.0)  # widths of columns [mm]
_HEADINGS = ("Check", "Outcome", "Required", "Provided", "Clause", "Working")
_KINDS = {"Box": "Boxes that fail", "Run": "Runs that fail", "Element": "Other elements that fail"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Extras:
    """What a report shows beside what is in it."""

    bend_sheets: Mapping[str, BendSheet]  # of failing runs, by their names
    explanations: Sequence[Explanation]  # of the checks that have rows


def failing(report: Report, topics: Sequence[Topic], extras: Extras) -> Iterator[Flowable]:
    """Pages of `topics`, boxes before runs.

    Parameters
    ----------
    report : Report
    topics : sequence of Topic
        Those that nobody accepted as a whole.
    extras : Extras
    """
    cases = {case.enclosure.ref.key: case for case in report.cases}
    projects = {each.model: each.project for each in report.inputs}
    for kind, heading in _KINDS.items():
        own = [topic for topic in topics if topic.kind == kind]
        if own:
            yield new_page()
            yield text("h1", heading)
        for number, topic in enumerate(own, start=1):
            yield from _topic(topic)
            project = projects[topic.subject.model]
            if case := cases.get(topic.subject.key) if kind == "Box" else None:
                drawing = _box(report, case, project, number=number, count=len(own))
                yield from drawing_pages(lay_out(drawing))
            if kind == "Run" and (sheet := extras.bend_sheets.get(topic.runs[0].name)):
                yield from drawing_pages(draw_bends(sheet, project=project))


def _topic(topic: Topic) -> Iterator[Flowable]:
    """What one box or run is, its rows, and what to do about each."""
    ref = topic.subject
    yield text("h2", topic.name)
    place = place_text(topic.findings[0].where)
    yield text("body", ", ".join(filter(None, (f"{ref.ifc_class} {ref.guid}", ref.model, place))))
    rows = [
        (
            each.check,
            outcome_text(each),
            *amounts(each),
            each.clause,
            each.working,
        )
        for each in topic.findings
    ]
    yield from grid(_HEADINGS, rows, _ROWS)
    for finding in topic.findings:
        yield text("body", f"{finding.check}: {finding.message}")
        for assumed in finding.assumptions:
            yield text("small", f"{words.ASSUMED} {assumed}")


def _box(report: Report, case: BoxCase, project: str, *, number: int, count: int) -> BoxDrawing:
    """Drawing of a box with every row of it, those that pass too."""
    key = case.enclosure.ref.key
    return BoxDrawing(
        case=case,
        settings=report.settings,
        project=project,
        outcome=str(Outcome.FAIL),
        findings=tuple(
            each for each in report.findings if each.subject.key == key and each.check in BOX_CHECKS
        ),
        number=number,
        count=count,
    )
