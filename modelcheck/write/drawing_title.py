"""What is drawn of a box, and the title block that says so."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from modelcheck import __version__
from modelcheck.model.element import ElementRef
from modelcheck.model.finding import Finding
from modelcheck.model.fix import LIKELIEST, Fix
from modelcheck.model.pull import BoxCase
from modelcheck.model.settings import Settings
from modelcheck.units import Unit
from modelcheck.write import words
from modelcheck.write.drawing_bars import is_unchecked
from modelcheck.write.drawing_marks import (
    LINE,
    TITLE,
    Line,
    Mark,
    Pair,
    Text,
    fitted,
    paragraph,
    width_mm,
    wrapped,
)
from modelcheck.write.drawing_net import clashes, is_hole_unchecked, unfold
from modelcheck.write.fixes_table import inside_text
from modelcheck.write.terminal import long_text, short_text

_MOST_TOLD = 4
_NAME, _FACTS = 10.6, 3 * LINE  # from the top to the facts, and to the cautions [mm]
_PAD = 3.0
_CHECK_BAR = 50.0  # on paper, to see whether a print is to scale [mm]
_SHOP = (
    "Edges drawn are the inner faces of the walls: thickness, flanges and bends are not in them."
    " All distances in mm [in], to centres of holes."
)
_GUESS = " That pairing is a guess: confirm by a pull schedule which entries share conductors."
_STAR = "* rests on a figure that was not checked against the code book: read it there first."


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxDrawing:
    """What is drawn of one box."""

    case: BoxCase
    settings: Settings
    project: str = ""  # its name in the model
    outcome: str = ""  # empty: no answer is shown
    findings: tuple[Finding, ...] = ()
    number: int = 1
    count: int = 1
    question: str = ""  # in place of the answer
    proposal: Fix | None = None  # row of fixes.csv that the box is drawn by, not as in the model

    @property
    def ref(self) -> ElementRef:
        """The box."""
        return self.case.enclosure.ref

    @property
    def heading(self) -> str:
        """Name of the box, and that it is a proposal where it is one."""
        name = f"Box {short_text(self.ref.name or self.ref.guid)}"
        return f"PROPOSAL for {name}" if self.proposal else name


def title_marks(
    drawing: BoxDrawing, low: Pair, high: Pair, *, paper: str, scale: str
) -> list[Mark]:
    """Draw the title block into the room from `low` to `high`.

    Parameters
    ----------
    drawing : BoxDrawing
    low, high : tuple of float
        Corners of the room on paper. [mm]
    paper : str
    scale : str
        As it is told.
    """
    left, right = low[0] + _PAD, high[0] - _PAD
    marks: list[Mark] = [Line(points=((low[0], high[1]), high), style="frame")]
    y = high[1] - 6.0
    word = words.OUTCOME_WORDS[drawing.outcome].upper() if drawing.outcome else ""
    room = right - left - width_mm(word, TITLE, is_bold=True) - 4
    name = fitted(drawing.heading, room, size_mm=TITLE, is_bold=True)
    marks.append(Text(at=(left, y), text=name, size_mm=TITLE, is_bold=True))
    marks.append(Text(at=(right, y), text=word, size_mm=TITLE, anchor="end", is_bold=True))
    bar_x = right - _CHECK_BAR
    marks.extend(_check_bar((bar_x, y - 5.0)))
    marks.extend(
        _facts(drawing, (left, high[1] - _NAME), bar_x - left - 4, paper=paper, scale=scale)
    )
    marks.extend(paragraph(_cautions(drawing, right - left), (left, high[1] - _NAME - _FACTS)))
    return marks


def title_height(drawing: BoxDrawing, width: float) -> float:
    """Height that the title block takes on a sheet where it is so wide. [mm]"""
    return _NAME + _FACTS + LINE * len(_cautions(drawing, width - 2 * _PAD))


def _cautions(drawing: BoxDrawing, room: float) -> list[str]:
    """What whoever cuts by the sheet must know, the fixed sentences first."""
    box = drawing.case.enclosure
    entries = drawing.case.entries
    texts = [*proposal_texts(drawing), _SHOP, *words.CAUTIONS]
    if any(map(is_unchecked, drawing.findings)) or any(map(is_hole_unchecked, entries)):
        texts.append(_STAR)
    if told := clashes(unfold(drawing.case)):
        texts.append(f"DO NOT CUT AS DRAWN: {some_of(told)}.")
    if box.size_conflict:
        texts.append(f"DO NOT CUT BEFORE THE SIZE IS SETTLED: {long_text(box.size_conflict)}")
    if not box.cover:
        texts.append("Which side the cover is on is not known.")
    return [line for text in texts for line in wrapped(text, room)]


def proposal_texts(drawing: BoxDrawing) -> list[str]:
    """What is proposed, from what and on what it rests; nothing for a box as it is."""
    fix, unit = drawing.proposal, drawing.settings.units
    if fix is None or fix.before_m is None or fix.after_m is None:
        return []
    unit_of_rows: Unit = "in" if unit == "in" else "mm"
    before, after = (inside_text(each, unit_of_rows) for each in (fix.before_m, fix.after_m))
    return [
        f"PROPOSAL, NOT AS IN THE MODEL: {fix.change}, inside {before} becomes {after}"
        f" {unit_of_rows} along x, y, z. It was put back through the check under this pairing:"
        f" {fix.pairing}.{_GUESS if fix.pairing == LIKELIEST else ''}",
        *(f"{text[:1].upper()}{text[1:]}." for text in fix.assumptions),
    ]


def some_of(told: Sequence[str]) -> str:
    """Join the first few of them, and say how many more there are."""
    more = len(told) - _MOST_TOLD
    return ", ".join(told[:_MOST_TOLD]) + (f" and {more} more" if more > 0 else "")


def _facts(drawing: BoxDrawing, at: Pair, room: float, *, paper: str, scale: str) -> list[Mark]:
    settings, ref = drawing.settings, drawing.ref
    lines = (
        f"Project {short_text(drawing.project) or 'not named'}, model {short_text(ref.model)}",
        f"GlobalId {short_text(ref.guid)}, {words.CODE_NAMES[settings.code]} {settings.edition},"
        f" sizes by {words.BASIS_NAMES[settings.basis]}",
        f"Scale {scale} on {paper}, sheet {drawing.number} of {drawing.count},"
        f" modelcheck {__version__}",
    )
    return paragraph([fitted(line, room) for line in lines], at)


def _check_bar(at: Pair) -> list[Mark]:
    (x, y), end = at, at[0] + _CHECK_BAR
    strokes = [Line(points=((tip, y - 1), (tip, y + 1)), style="thin") for tip in (x, end)]
    told = f"{_CHECK_BAR:g} mm if printed to scale"
    return [
        Line(points=(at, (end, y)), style="thin"),
        *strokes,
        Text(at=((x + end) / 2, y - 3.6), text=told, anchor="middle"),
    ]
