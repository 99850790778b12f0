"""What each check asks and what there is, as two lines to one scale under each other."""

from __future__ import annotations

from collections.abc import Sequence

from modelcheck.model.finding import Finding, Outcome
from modelcheck.model.pull import BoxCase
from modelcheck.rules.tables import UNCHECKED
from modelcheck.units import convert
from modelcheck.write import words
from modelcheck.write.drawing_marks import LINE, Line, Mark, Pair, Text, fitted, width_mm
from modelcheck.write.drawing_panels import both
from modelcheck.write.terminal import amount, long_text

ROW = 3 * LINE + 1.4  # height of one row [mm]
HEAD = 2 * LINE + 1.0
_ARROW = 1.2
_SHARE = 0.52  # of the width, for the words
_STYLES = {Outcome.PASS: "met", Outcome.FAIL: "unmet", Outcome.NEEDS_INPUT: "undecided"}
_KEY = "Thick line: there is. Under it what is required: thin if met, dashed if not, dots if open."


def bars_marks(
    case: BoxCase, findings: Sequence[Finding], low: Pair, high: Pair
) -> tuple[list[Mark], int]:
    """Draw the rows that the room from `low` to `high` holds, the worst first.

    Returns
    -------
    (list of Mark, int)
        With how many rows there was no room for.
    """
    room = int((high[1] - low[1] - HEAD) / ROW)
    ordered = sorted(findings, key=lambda each: -each.outcome.rank)
    shown = ordered[: room if len(ordered) <= room else max(0, room - 1)]
    width = high[0] - low[0]
    bar_x = low[0] + _SHARE * width
    longest = max((length for each in shown for length in _lengths_mm(each)), default=0.0)
    texts = [label for each in shown for label in _labels(each)]
    label_room = max((width_mm(text, 2.5) for text in texts), default=0.0) + 2.0
    scale = max(0.0, high[0] - bar_x - label_room) / longest if longest else 0.0
    marks: list[Mark] = [
        Text(at=(low[0], high[1] - LINE), text="Required and provided distances", is_bold=True),
        Text(at=(low[0], high[1] - 2 * LINE), text=fitted(_KEY, width)),
    ]
    y = high[1] - HEAD
    for finding in shown:
        y -= ROW
        marks.extend(_words(case, finding, (low[0], y), bar_x - low[0] - 2))
        marks.extend(_bars(finding, (bar_x, y), scale))
    left_out = len(ordered) - len(shown)
    if left_out:
        text = f"and {left_out} more rows, none worse: see the tables"
        marks.append(Text(at=(low[0], y - LINE), text=text))
    return marks, left_out


def is_unchecked(finding: Finding) -> bool:
    """Whether a figure behind it was not read in the code book."""
    return any(text.startswith(UNCHECKED) for text in finding.assumptions)


def _words(case: BoxCase, finding: Finding, at: Pair, room: float) -> list[Mark]:
    word = words.OUTCOME_WORDS[finding.outcome].upper()
    places = [
        number
        for number, entry in enumerate(case.entries, start=1)
        if entry.conduit in finding.elements
    ]
    walls = dict.fromkeys(case.entries[number - 1].wall for number in places)
    who = (
        f"entries {', '.join(str(each) for each in places)} of {', '.join(walls)}" if places else ""
    )
    working = finding.working or finding.message.partition(": ")[2] or finding.message
    lines = (f"{word}  {finding.check}", who, long_text(working))
    return [
        Text(
            at=(at[0], at[1] + (2 - number) * LINE + 1.2),
            text=fitted(line, room, is_bold=number == 0),
            is_bold=number == 0,
        )
        for number, line in enumerate(lines)
    ]


def _bars(finding: Finding, at: Pair, scale: float) -> list[Mark]:
    marks: list[Mark] = []
    pairs = zip(
        _lengths_mm(finding),
        ("provided", _STYLES[finding.outcome]),
        _labels(finding),
        (2, 1),
        strict=True,
    )
    for length_mm, style, label, line in pairs:
        y = at[1] + line * LINE + 1.2
        length = scale * length_mm
        if length:
            marks.extend(_dimension((at[0], y + 0.8), length, style))
        marks.append(Text(at=(at[0] + (length + 1.5 if length else 0.0), y), text=label))
    star = " *" if is_unchecked(finding) else ""
    marks.append(Text(at=(at[0], at[1] + 1.2), text=f"{long_text(finding.clause)}{star}"))
    return marks


def _dimension(at: Pair, length: float, style: str) -> list[Mark]:
    """Line with arrow heads and a stroke at each end."""
    (x, y), end = at, at[0] + length
    head = min(_ARROW, length / 3)
    heads = [
        Line(
            points=((tip + turn * head, y + 0.5), (tip, y), (tip + turn * head, y - 0.5)),
            style="thin",
        )
        for tip, turn in ((x, 1), (end, -1))
    ]
    strokes = [Line(points=((tip, y - 1.0), (tip, y + 1.0)), style="thin") for tip in (x, end)]
    return [Line(points=(at, (end, y)), style=style), *heads, *strokes]


def _labels(finding: Finding) -> tuple[str, str]:
    return (_told(finding, finding.provided, "is"), _told(finding, finding.required, "needs"))


def _told(finding: Finding, value: float | None, verb: str) -> str:
    if value is None:
        return f"{verb} ?"
    if _is_length(finding):
        return f"{verb} {both(_in_mm(value, finding.unit))}"
    return f"{verb} {amount(value, finding.unit)}"


def _is_length(finding: Finding) -> bool:
    return finding.unit in ("mm", "in")


def _lengths_mm(finding: Finding) -> tuple[float, float]:
    """Provided and required length, 0 where it isn't known or no length."""
    provided, required = (
        0.0 if value is None or not _is_length(finding) else _in_mm(value, finding.unit)
        for value in (finding.provided, finding.required)
    )
    return provided, required


def _in_mm(value: float, unit: str) -> float:
    return convert(value, "in", "mm") if unit == "in" else value
