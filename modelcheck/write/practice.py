"""Practice sheets: boxes to work, and their answers apart, as PDF and as pages."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from importlib.resources import files
from pathlib import Path

from jinja2 import Environment
from markupsafe import Markup

from modelcheck.model.finding import Finding
from modelcheck.model.settings import Settings
from modelcheck.rules.raceways import outside_diameter_m
from modelcheck.units import from_metres
from modelcheck.write import words
from modelcheck.write.drawing_marks import LINE, Mark, Sheet, Text, paragraph, wrapped
from modelcheck.write.drawing_panels import both
from modelcheck.write.drawing_pdf import pdf
from modelcheck.write.drawing_sheet import MARGIN, PAPERS, lay_out
from modelcheck.write.drawing_svg import svg
from modelcheck.write.drawing_title import BoxDrawing
from modelcheck.write.practice_boxes import PracticeBox
from modelcheck.write.terminal import amount

NAMES = ("practice.pdf", "practice.html", "answers.pdf", "answers.html")
_TASK = (
    "Work every minimum that the code asks of this box: for each row its clause, its arithmetic,"
    " what is required, what there is, and the verdict. Then the least inside size."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """One box with its worked answer."""

    box: PracticeBox
    outcome: str
    findings: tuple[Finding, ...]
    steps: tuple[str, ...]


def write_practice(
    practices: Sequence[Practice], settings: Settings, folder: Path, *, seed: int
) -> None:
    """Write the four files of `NAMES` into `folder`.

    Parameters
    ----------
    practices : sequence of Practice
    settings : Settings
        The boxes were worked under.
    folder : Path
    seed : int
        The boxes were made from.
    """
    title = f"Pull boxes to practise on, seed {seed}"
    questions = [_question(each, settings, len(practices)) for each in practices]
    answers = [_answer(each, settings, len(practices)) for each in practices]
    asked = [lay_out(drawing) for drawing in questions]
    worked = [lay_out(drawing) for drawing in answers]
    with_steps = [
        sheet
        for drawn, practice in zip(worked, practices, strict=True)
        for sheet in (drawn, *_step_sheets(practice))
    ]
    pages = (
        pdf(asked, title=title),
        _page(practices, settings, asked, title=title, with_answers=False),
        pdf(with_steps, title=f"Answers: {title}"),
        _page(practices, settings, worked, title=f"Answers: {title}", with_answers=True),
    )
    for name, content in zip(NAMES, pages, strict=True):
        (folder / name).write_bytes(content)


def given(practice: Practice) -> list[str]:
    """Say what is to be worked and what the drawing doesn't show."""
    sizes = dict.fromkeys(
        (entry.size.raceway_type, entry.size.trade_size_in) for entry in practice.box.case.entries
    )
    told = [
        f"{kind} {size}: {both(from_metres(diameter_m, 'mm'))}"
        for kind, size in sizes
        if (diameter_m := outside_diameter_m(kind, size)) is not None
    ]
    return [_TASK, f"Outside diameters in mm [in]: {'; '.join(told)}."]


def _question(practice: Practice, settings: Settings, count: int) -> BoxDrawing:
    return BoxDrawing(
        case=practice.box.case,
        settings=settings,
        project=f"practice, {practice.box.title}",
        number=practice.box.case.enclosure.ref.step_id,
        count=count,
        question="\n".join(given(practice)),
    )


def _answer(practice: Practice, settings: Settings, count: int) -> BoxDrawing:
    blank = _question(practice, settings, count)
    return replace(blank, question="", outcome=practice.outcome, findings=practice.findings)


def _step_sheets(practice: Practice) -> list[Sheet]:
    """Pages with the steps of one answer and what each row says."""
    paper, width, height = PAPERS[0]
    room = width - 2 * MARGIN
    texts = [
        *(f"{number}. {step}" for number, step in enumerate(practice.steps, start=1)),
        *(f"{each.check}: {each.message}." for each in practice.findings),
        *(f"{words.ASSUMED} {text}" for text in dict.fromkeys(_assumptions(practice))),
        *words.CAUTIONS,
    ]
    lines = [line for text in texts for line in [*wrapped(text, room), ""]]
    title = f"Box {practice.box.case.enclosure.ref.name}, worked step by step"
    most = int((height - 2 * MARGIN) / LINE) - 3
    sheets = []
    for start in range(0, len(lines), most):
        top = height - MARGIN - 5.0
        heading: Mark = Text(at=(MARGIN, top), text=title, size_mm=4.5, is_bold=True)
        body = paragraph(lines[start : start + most], (MARGIN, top - 2 * LINE))
        sheets.append(
            Sheet(
                paper=paper,
                width_mm=width,
                height_mm=height,
                marks=(heading, *body),
                title=title,
            )
        )
    return sheets


def _assumptions(practice: Practice) -> list[str]:
    return [text for finding in practice.findings for text in finding.assumptions]


def _page(
    practices: Sequence[Practice],
    settings: Settings,
    sheets: Sequence[Sheet],
    *,
    title: str,
    with_answers: bool,
) -> bytes:
    template = (files("modelcheck.write") / "practice.html.j2").read_text(encoding="utf-8")
    boxes = [
        {
            "number": practice.box.case.enclosure.ref.name,
            "title": practice.box.title,
            "lines": [] if with_answers else given(practice),
            "rows": [_cells(each) for each in practice.findings] if with_answers else [],
            "steps": practice.steps,
            "drawing": Markup(svg(sheet)),  # every text in it is escaped
        }
        for practice, sheet in zip(practices, sheets, strict=True)
    ]
    terms = words.HEAD.format(
        code=words.CODE_NAMES[settings.code],
        edition=settings.edition,
        basis=words.BASIS_NAMES[settings.basis],
        units=words.UNIT_NAMES[settings.units],
    )
    page = Environment(autoescape=True, trim_blocks=True).from_string(template)
    text = page.render(title=title, terms=terms, cautions=words.CAUTIONS, boxes=boxes)
    return text.encode("utf-8", errors="replace")


def _cells(finding: Finding) -> list[str]:
    return [
        finding.check,
        words.OUTCOME_WORDS[finding.outcome],
        amount(finding.required, finding.unit),
        amount(finding.provided, finding.unit),
        finding.clause,
        finding.working,
        "; ".join(finding.assumptions),
    ]
