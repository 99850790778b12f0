"""The walls of a box on paper: outlines, knock-outs and the distances of their centres."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import hypot

from modelcheck.units import convert
from modelcheck.write.csv_tables import number
from modelcheck.write.drawing_marks import (
    LINE,
    SMALL,
    Circle,
    Line,
    Mark,
    Pair,
    Text,
    rectangle,
    spread,
    width_mm,
)
from modelcheck.write.drawing_net import Hole, Net, Panel

SCALES = (1, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200)
_PITCH = 3.4  # of two labels side by side [mm]
_REACH = 5.0  # from an edge to the labels of its distances [mm]
_CAPTION = 3 * LINE + 1.5
_GAP = 4.0  # between two walls [mm]
_IN_HOLE = (0.6, 0.7)  # from the centre of a hole to a number in it [mm]
_ZERO = 3.5  # room for the mark of the datum corner [mm]
_LIP = 1.2  # from the edge of a cover to the line that marks it [mm]
_COLUMN = {"left": 0, "centre": 1, "above": 1, "below": 1, "right": 2, "back": 3}
_ROW = {"above": 0, "left": 1, "centre": 1, "right": 1, "back": 1, "below": 2}

Place = tuple[float, float]  # of a distance: to the centre in life, of its label on paper [mm]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """Room that one wall takes on paper, from its lower left corner. [mm]"""

    panel: Panel
    scale: float  # how many times smaller than life
    across: tuple[Place, ...]
    upward: tuple[Place, ...]
    left: float
    right: float
    caption: float  # how far the caption begins left of the wall
    below: float
    above: float

    @property
    def size(self) -> Pair:
        """Width and height of the wall on paper."""
        return (self.panel.width_mm / self.scale, self.panel.height_mm / self.scale)


def both(length_mm: float) -> str:
    """Write a length in millimetres and, in brackets, in inches."""
    return f"{number(length_mm, 1)} [{number(convert(length_mm, 'mm', 'in'), 2)}]"


def net_marks(net: Net, low: Pair, high: Pair) -> tuple[list[Mark], float] | None:
    """Draw the walls of `net` as large as the room from `low` to `high` lets.

    Parameters
    ----------
    net : Net
    low, high : tuple of float
        Corners of the room on paper. [mm]

    Returns
    -------
    (list of Mark, float) or None
        With how many times smaller than life it is drawn; None if there is no room.
    """
    for scale in SCALES:
        cells = [_cell(panel, scale) for panel in net.panels]
        corners = _corners(cells, low, high)
        if corners is not None:
            marks = [
                mark
                for cell, corner in zip(cells, corners, strict=True)
                for mark in _drawn(cell, corner)
            ]
            return marks, scale
    return None


def _corners(cells: Sequence[Cell], low: Pair, high: Pair) -> list[Pair] | None:
    """Lower left corner of each wall, columns and rows in line; None if there is no room."""
    columns = [_COLUMN[each.panel.slot] for each in cells]
    rows = [_ROW[each.panel.slot] for each in cells]
    x = _in_line(columns, [(each.left, each.right) for each in cells], high[0] - low[0])
    y = _in_line(rows, [(each.above, each.below) for each in cells], high[1] - low[1])
    if x is None or y is None:
        return None
    return [
        (low[0] + x[column], high[1] - y[row]) for column, row in zip(columns, rows, strict=True)
    ]


def _in_line(
    slots: Sequence[int], sides: Sequence[tuple[float, float]], room: float
) -> Mapping[int, float] | None:
    """Where the corner of each column or row lies in `room`; None if they don't go in."""
    shares = {
        slot: tuple(
            max(side[end] for own, side in zip(slots, sides, strict=True) if own == slot)
            for end in (0, 1)
        )
        for slot in sorted(set(slots))
    }
    spare = room - sum(sum(share) for share in shares.values()) - _GAP * (len(shares) - 1)
    if spare < 0:
        return None
    places, at = {}, spare / 2
    for slot, (before, after) in shares.items():
        places[slot] = at + before
        at += before + after + _GAP
    return places


def _cell(panel: Panel, scale: float) -> Cell:
    width, height = panel.width_mm / scale, panel.height_mm / scale
    across = _labelled([hole.left_mm for hole in panel.holes], scale)
    upward = _labelled([hole.below_mm for hole in panel.holes], scale)
    longest = width_mm(captions(panel)[0], SMALL, is_bold=True) + 1.0
    half = _PITCH / 2
    left = max([_ZERO, _room_for(upward), *(half - place for _, place in across)])
    shift = min(left, max(0.0, longest - width))
    return Cell(
        panel=panel,
        scale=scale,
        across=across,
        upward=upward,
        left=left,
        caption=shift,
        right=max([width, longest - shift, *(place + half for _, place in across)]),
        below=max([_ZERO, _room_for(across), *(half - place for _, place in upward)]),
        above=max([height, *(place + half for _, place in upward)]) + _CAPTION,
    )


def _labelled(centres_mm: Sequence[float], scale: float) -> tuple[Place, ...]:
    """Each distance once, with the place on paper that its label has."""
    distances = sorted({round(each, 1) for each in centres_mm})
    places = spread([each / scale for each in distances], _PITCH)
    return tuple(zip(distances, places, strict=True))


def _room_for(places: Sequence[Place]) -> float:
    longest = max((width_mm(both(distance), SMALL) for distance, _ in places), default=0.0)
    return _REACH + longest + 0.5 if places else 0.0


def captions(panel: Panel) -> tuple[str, str, str]:
    """Lines over a wall: its name and side, and the edges that its distances start from."""
    return (
        f"{'COVER' if panel.is_cover else 'Wall'} {panel.wall} seen from OUTSIDE",
        f"0: left edge at wall {panel.left_wall},",
        f"lower edge at wall {panel.lower_wall}",
    )


def _drawn(cell: Cell, corner: Pair) -> list[Mark]:
    (x, y), (width, height) = corner, cell.size
    top = cell.above - _CAPTION
    far = (x + width, y + height)
    marks: list[Mark] = [
        *_caption(captions(cell.panel), (x - cell.caption, y + top + 1.2)),
        Circle(centre=corner, radius_mm=0.9, style="hole"),
        Text(at=(x - 1.2, y - 2.9), text="0", anchor="end"),
    ]
    if cell.panel.is_cover:
        low, high = (x + _LIP, y + _LIP), (x + width - _LIP, y + height - _LIP)
        marks.append(rectangle(low, high, "centre"))
    for distance, place in cell.across:
        marks.extend(_distance_across(cell, corner, distance, place))
    for distance, place in cell.upward:
        marks.extend(_distance_upward(cell, corner, distance, place))
    marks.extend(_tag(hole, corner, far, cell.scale) for hole in cell.panel.holes)
    for hole in cell.panel.holes:
        marks.extend(_hole(hole, corner, cell.scale))
    return [*marks, rectangle(corner, far, "edge")]


def _caption(lines: Sequence[str], at: Pair) -> list[Mark]:
    """Lines above each other, the first in bold, the last at `at`."""
    return [
        Text(at=(at[0], at[1] + LINE * number), text=line, is_bold=line is lines[0])
        for number, line in enumerate(reversed(lines))
    ]


def _tag(hole: Hole, corner: Pair, far: Pair, scale: float) -> Text:
    """Number of a hole: in it, or beside it on the side where the wall goes on."""
    x, y = corner[0] + hole.left_mm / scale, corner[1] + hole.below_mm / scale
    radius, text = (hole.diameter_mm or 0.0) / 2 / scale, str(hole.number)
    width = width_mm(text, SMALL, is_bold=True)
    if hypot(_IN_HOLE[0] + width, _IN_HOLE[1] + 0.74 * SMALL) < radius:
        at = (x + _IN_HOLE[0], y + _IN_HOLE[1])
        return Text(at=at, text=text, is_bold=True, is_clear=True)
    aside, room = 0.75 * radius, width + 1.0
    is_at_right = x + aside + room > far[0]
    is_at_top = y + aside + SMALL > far[1]
    at = (
        x - aside - 0.5 if is_at_right else x + aside + 0.5,
        y - aside - 0.7 * SMALL if is_at_top else y + aside,
    )
    anchor = "end" if is_at_right else "start"
    return Text(at=at, text=text, anchor=anchor, is_bold=True, is_clear=True)


def _hole(hole: Hole, corner: Pair, scale: float) -> list[Mark]:
    x, y = corner[0] + hole.left_mm / scale, corner[1] + hole.below_mm / scale
    radius = (hole.diameter_mm or 0.0) / 2 / scale
    arm = radius + 1.2
    marks: list[Mark] = [
        Line(points=((x - arm, y), (x + arm, y)), style="centre"),
        Line(points=((x, y - arm), (x, y + arm)), style="centre"),
    ]
    if radius:
        marks.append(Circle(centre=(x, y), radius_mm=radius, style="hole"))
    return marks


def _distance_across(cell: Cell, corner: Pair, distance: float, place: float) -> list[Mark]:
    """Distance from the left edge, told below the wall."""
    x, y = corner[0] + distance / cell.scale, corner[1]
    told_x = corner[0] + place
    lowest = min(h.below_mm for h in cell.panel.holes if round(h.left_mm, 1) == distance)
    path = ((x, y + lowest / cell.scale), (x, y - 1.5), (told_x, y - _REACH + 0.8))
    text = Text(at=(told_x + 0.9, y - _REACH), text=both(distance), anchor="end", is_turned=True)
    return [Line(points=path, style="thin"), text]


def _distance_upward(cell: Cell, corner: Pair, distance: float, place: float) -> list[Mark]:
    """Distance from the lower edge, told left of the wall."""
    x, y = corner[0], corner[1] + distance / cell.scale
    told_y = corner[1] + place
    leftmost = min(h.left_mm for h in cell.panel.holes if round(h.below_mm, 1) == distance)
    path = ((x + leftmost / cell.scale, y), (x - 1.5, y), (x - _REACH + 0.8, told_y))
    text = Text(at=(x - _REACH, told_y - 0.9), text=both(distance), anchor="end")
    return [Line(points=path, style="thin"), text]
