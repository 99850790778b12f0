"""One box on one page: its walls to cut, its pulls, its distances, and a title block."""

from __future__ import annotations

from dataclasses import dataclass

from modelcheck.write.drawing_bars import HEAD, ROW, bars_marks
from modelcheck.write.drawing_marks import (
    LINE,
    Mark,
    Pair,
    Sheet,
    Text,
    fitted,
    overlapping,
    paragraph,
    rectangle,
    wrapped,
)
from modelcheck.write.drawing_net import Net, unfold
from modelcheck.write.drawing_panels import net_marks
from modelcheck.write.drawing_plan import inside_text, plan_marks, pull_lines
from modelcheck.write.drawing_table import table_height, table_marks
from modelcheck.write.drawing_title import BoxDrawing, title_height, title_marks

PAPERS = (  # ISO 216 [mm]
    ("A4", 210.0, 297.0),
    ("A3", 420.0, 297.0),
    ("A2", 594.0, 420.0),
    ("A1", 841.0, 594.0),
    ("A0", 1189.0, 841.0),
)
MARGIN = 10.0
_PAD = 3.0
_PLAN = 70.0  # side of the look into the box [mm]
_MOST_ROWS, _MOST_PULLS = 8, 8
_SIDE = 0.42  # of a wide sheet, for all but the walls
_LEAST_HOLE = 2.5  # on the smallest paper, before the next is taken [mm]
_LEAST = 30.0  # height of a part that is worth drawing [mm]
_UNSIZED = "The inside size is not known: no wall can be drawn."
_TOO_LARGE = "none, the walls are too large for paper"

Room = tuple[Pair, Pair]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rooms:
    """Corners of the parts of a sheet."""

    whole: Room
    net: Room
    table: Room
    plan: Room
    bars: Room
    title: Room


def lay_out(drawing: BoxDrawing) -> Sheet:
    """Draw one box on the smallest paper that holds it without a text on another.

    Parameters
    ----------
    drawing : BoxDrawing
    """
    net = unfold(drawing.case)
    for paper in PAPERS:
        marks, fits = _drawn(drawing, net, paper)
        if fits and not overlapping(marks):
            break
    name, width, height = paper
    return Sheet(
        paper=name,
        width_mm=width,
        height_mm=height,
        marks=tuple(marks),
        title=drawing.heading,
    )


def _drawn(
    drawing: BoxDrawing, net: Net, paper: tuple[str, float, float]
) -> tuple[list[Mark], bool]:
    """Marks of a sheet of this paper, and whether all of the box is on it."""
    rooms = _rooms(drawing, paper)
    if rooms is None:
        return [], False
    marks: list[Mark] = [rectangle(*rooms.whole, "frame")]
    is_smallest = paper == PAPERS[0]
    walls, scale = _walls(net, *rooms.net, least_hole=_LEAST_HOLE if is_smallest else 0.0)
    marks.extend(walls)
    marks.extend(table_marks(net, *rooms.table))
    marks.extend(_plan(net, *rooms.plan))
    left_out = 0
    if drawing.question:
        marks.extend(_question(drawing.question, *rooms.bars))
    else:
        rows, left_out = bars_marks(drawing.case, drawing.findings, *rooms.bars)
        marks.extend(rows)
    marks.extend(title_marks(drawing, *rooms.title, paper=paper[0], scale=scale or _TOO_LARGE))
    return marks, bool(scale) and not (left_out and is_smallest)


def _rooms(drawing: BoxDrawing, paper: tuple[str, float, float]) -> Rooms | None:
    """Share out a sheet: parts under each other if it is high, in two columns if it is wide."""
    _, width, height = paper
    whole = ((MARGIN, MARGIN), (width - MARGIN, height - MARGIN))
    title_top = MARGIN + title_height(drawing, width - 2 * MARGIN)
    low = (MARGIN + _PAD, title_top + _PAD)
    high = (width - MARGIN - _PAD, height - MARGIN - _PAD)
    share = _under_each_other if height > width else _in_columns
    net, table, plan, bars = share(drawing, low, high)
    if min(net[1][1] - net[0][1], bars[1][1] - bars[0][1]) < _LEAST:
        return None
    title = (whole[0], (whole[1][0], title_top))
    return Rooms(whole=whole, net=net, table=table, plan=plan, bars=bars, title=title)


def _under_each_other(drawing: BoxDrawing, low: Pair, high: Pair) -> tuple[Room, ...]:
    rows = min(len(drawing.findings), _MOST_ROWS)
    lower = low[1] + max(_PLAN + _pulls_height(drawing), HEAD + ROW * rows)
    split = lower + table_height(drawing.case) + _PAD
    middle = low[0] + _PLAN
    return (
        ((low[0], split + _PAD), high),
        ((low[0], lower), (high[0], split)),
        (low, (middle, lower)),
        ((middle + _PAD, low[1]), (high[0], lower)),
    )


def _in_columns(drawing: BoxDrawing, low: Pair, high: Pair) -> tuple[Room, ...]:
    middle = low[0] + (1 - _SIDE) * (high[0] - low[0])
    table = high[1] - table_height(drawing.case)
    plan = table - 2 * _PAD - _PLAN - _pulls_height(drawing)
    return (
        (low, (middle - 2 * _PAD, high[1])),
        ((middle, table), high),
        ((middle, plan), (high[0], table - _PAD)),
        ((middle, low[1]), (high[0], plan - _PAD)),
    )


def _pulls_height(drawing: BoxDrawing) -> float:
    return LINE * (min(len(pull_lines(drawing.case)), _MOST_PULLS) + 2)


def _walls(net: Net, low: Pair, high: Pair, *, least_hole: float) -> tuple[list[Mark], str]:
    """Draw the walls, and tell their scale; empty if there is no room to see the least hole."""
    if not net.panels:
        at = (low[0], high[1] - LINE)
        return [Text(at=at, text=_UNSIZED, is_bold=True)], "none"
    drawn = net_marks(net, low, high)
    holes = [hole.diameter_mm for panel in net.panels for hole in panel.holes if hole.diameter_mm]
    if drawn is None or min(holes, default=float("inf")) < least_hole * drawn[1]:
        return [], ""
    return drawn[0], f"1:{drawn[1]:g} (walls)"


def _plan(net: Net, low: Pair, high: Pair) -> list[Mark]:
    """Look into the box, with its heading above and its pulls below."""
    panel = next((each for each in net.panels if each.slot == "centre"), None)
    lines = pull_lines(net.case)
    if len(lines) > _MOST_PULLS:
        lines = [*lines[: _MOST_PULLS - 1], f"and {len(lines) - _MOST_PULLS + 1} more pulls"]
    room = high[0] - low[0]
    foot = low[1] + LINE * len(lines)
    marks = paragraph([fitted(line, room) for line in lines], (low[0], foot - LINE + 0.6))
    if panel is None:
        return marks
    through = f"cover {net.centre}" if panel.is_cover else f"wall {net.centre}, cover unknown"
    heads = (f"Pulls: look into the box through {through}", f"Inside {inside_text(panel)} mm [in]")
    marks.append(Text(at=(low[0], high[1] - LINE), text=fitted(heads[0], room), is_bold=True))
    marks.append(Text(at=(low[0], high[1] - 2 * LINE), text=fitted(heads[1], room)))
    return [*marks, *plan_marks(net, (low[0], foot), (high[0], high[1] - 2 * LINE))]


def _question(question: str, low: Pair, high: Pair) -> list[Mark]:
    lines = [line for part in question.split("\n") for line in wrapped(part, high[0] - low[0])]
    return paragraph(lines, (low[0], high[1] - LINE))
