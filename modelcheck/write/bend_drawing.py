"""One run on one page: an isometric view with numbered bends, and the tables to bend it by."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise, product
from math import cos, dist, hypot, pi, sin

from modelcheck import __version__
from modelcheck.model.bend_sheet import BendSheet
from modelcheck.model.element import Point, RacewaySize
from modelcheck.model.run import RunEnd
from modelcheck.units import from_metres
from modelcheck.write import words
from modelcheck.write.bend_tables import rotation_text
from modelcheck.write.csv_tables import number
from modelcheck.write.drawing_marks import (
    LINE,
    TITLE,
    Circle,
    Line,
    Mark,
    Pair,
    Sheet,
    Text,
    fitted,
    paragraph,
    rectangle,
    wrapped,
)
from modelcheck.write.terminal import named, short_text

_WIDTH, _HEIGHT, _MARGIN = 297.0, 210.0, 10.0  # A4
_VIEW = ((20.0, 62.0), (150.0, 170.0))
_NUMBERS = ((15.0, 44.0), (163.0, 181.0))  # where numbers of bends may stand
_TABLE_LEFT, _TABLE_TOP, _TABLE_LOW = 172.0, 184.0, 48.0
_BENDS = (
    ("Bend", 9.0),
    ("Piece", 9.0),
    ("Angle", 15.0),
    ("Radius", 17.0),
    ("Mark", 20.0),
    ("From last", 20.0),
    ("Rotation", 20.0),
)
_PIECES = (("Piece", 9.0), ("Cut length", 22.0), ("Bends", 12.0), ("Elements", 60.0))
_LABEL = 2.6  # radius of the ring round a number [mm]
_REACH = (5.0, 8.0, 11.0, 15.0, 20.0)
_WAYS = 16
_NOTE = (
    "Lengths in mm along the centre line. A mark is where a bend begins, from the beginning of its"
    " piece. Rotation is about the axis against the bend before, clockwise as one looks along the"
    " run; the first is against a bend straight up (toward +y where the run begins upright)."
    " Parts that are drawn without a coupling between them are one piece. No allowance for threads,"
    " spring-back or the depth of couplings is in it."
)


@dataclass(frozen=True, slots=True)
class _View:
    """Isometric view from above, fitted into a room."""

    scale: float  # mm on paper a metre
    shift: Pair

    @classmethod
    def of(cls, points: Sequence[Point]) -> _View:
        flat = [_flat(point) for point in points]
        low = (min(u for u, _ in flat), min(v for _, v in flat))
        high = (max(u for u, _ in flat), max(v for _, v in flat))
        room = [b - a for a, b in zip(*_VIEW, strict=True)]
        spans = [max(b - a, 1e-6) for a, b in zip(low, high, strict=True)]
        scale = min(side / span for side, span in zip(room, spans, strict=True))
        middles = [(a + b) / 2 for a, b in zip(*_VIEW, strict=True)]
        return cls(
            scale,
            (
                middles[0] - scale * (low[0] + high[0]) / 2,
                middles[1] - scale * (low[1] + high[1]) / 2,
            ),
        )

    def at(self, point: Point) -> Pair:
        """Place on paper. [mm]"""
        u, v = _flat(point)
        return (self.shift[0] + self.scale * u, self.shift[1] + self.scale * v)


def _flat(point: Point) -> Pair:
    x, y, z = point
    return ((x - y) * cos(pi / 6), z - (x + y) * sin(pi / 6))


def draw_bends(sheet: BendSheet, *, project: str = "") -> Sheet:
    """Draw the bend sheet of one run.

    Parameters
    ----------
    sheet : BendSheet
    project : str
        Its name in the model.
    """
    marks: list[Mark] = [
        rectangle((_MARGIN, _MARGIN), (_WIDTH - _MARGIN, _HEIGHT - _MARGIN), "frame"),
        *_title(sheet, project),
        *_isometric(sheet),
        *_tables(sheet),
        *_foot(sheet),
    ]
    title = f"Bend sheet {short_text(sheet.run.name)}"
    return Sheet(paper="A4", width_mm=_WIDTH, height_mm=_HEIGHT, marks=tuple(marks), title=title)


def _title(sheet: BendSheet, project: str) -> list[Mark]:
    run, left, top = sheet.run, _MARGIN + 4, _HEIGHT - _MARGIN - 7
    count = sum(len(piece.bends) for piece in sheet.pieces)
    facts = (
        f"Project {short_text(project) or 'not named'}, model {short_text(run.elements[0].model)},"
        f" raceway {_raceway(run.size)}, length {_mm(run.length_m)} mm, {count} bends,"
        f" modelcheck {__version__}"
    )
    return [
        Text(at=(left, top), text=f"Run {short_text(run.name)}", size_mm=TITLE, is_bold=True),
        Text(at=(left, top - 5), text=fitted(facts, _WIDTH - 2 * left)),
    ]


def _isometric(sheet: BendSheet) -> list[Mark]:
    points = sheet.run.centreline
    view = _View.of(points)
    line = tuple(view.at(point) for point in points)
    marks: list[Mark] = [Line(points=line, style="edge")]
    taken: list[Pair] = list(line)
    for one, other in pairwise(line):
        steps = int(dist(one, other) / 3.0)
        taken += [_between(one, other, step / (steps + 1)) for step in range(1, steps + 1)]
    for piece in sheet.pieces:
        if piece.is_coupling:
            marks.append(Circle(centre=view.at(piece.start), radius_mm=0.8, style="hole"))
    for bend in (bend for piece in sheet.pieces for bend in piece.bends):
        at = view.at(bend.at)
        spot = _free(at, taken, clear=2 * _LABEL + 0.4)
        taken.append(spot)
        edge = _between(spot, at, _LABEL / max(dist(spot, at), _LABEL))
        marks += [
            Line(points=(at, edge), style="thin"),
            Circle(centre=spot, radius_mm=_LABEL, style="hole"),
            Text(at=(spot[0], spot[1] - 0.9), text=str(bend.number), anchor="middle"),
        ]
    for point, name in ((line[0], "start"), (line[-1], "end")):
        spot = _free(point, taken, clear=6.0)
        taken.append(spot)
        marks.append(Text(at=spot, text=name, anchor="middle", is_bold=True))
    return [*marks, *_compass()]


def _free(at: Pair, taken: Sequence[Pair], *, clear: float) -> Pair:
    """Place near `at` that keeps clear of what is taken; the clearest if none does."""
    best, found = -1.0, at
    for reach, way in product(_REACH, range(_WAYS)):
        angle = 2 * pi * (way + 0.5) / _WAYS
        spot = (at[0] + reach * cos(angle), at[1] + reach * sin(angle))
        if not all(a <= s <= b for a, s, b in zip(_NUMBERS[0], spot, _NUMBERS[1], strict=True)):
            continue
        gap = min(hypot(spot[0] - x, spot[1] - y) for x, y in taken)
        if gap >= clear:
            return spot
        if gap > best:
            best, found = gap, spot
    return found


def _between(one: Pair, other: Pair, share: float) -> Pair:
    return (one[0] + share * (other[0] - one[0]), one[1] + share * (other[1] - one[1]))


def _compass() -> list[Mark]:
    """Axes of the project as the view shows them."""
    origin = (22.0, 52.0)
    marks: list[Mark] = []
    for name, axis in (("x", (1.0, 0.0, 0.0)), ("y", (0.0, 1.0, 0.0)), ("z", (0.0, 0.0, 1.0))):
        u, v = _flat(axis)
        tip = (origin[0] + 7 * u, origin[1] + 7 * v)
        marks.append(Line(points=(origin, tip), style="thin"))
        letter = (origin[0] + 9 * u, origin[1] + 9 * v - 0.8)
        marks.append(Text(at=letter, text=name, anchor="middle"))
    return marks


def _tables(sheet: BendSheet) -> list[Mark]:
    bends = [
        (
            str(bend.number),
            str(piece.number),
            f"{number(bend.angle_deg, 1)}°",
            _mm(bend.radius_m) if bend.radius_m is not None else "corner",
            _mm(bend.mark_m),
            _mm(bend.from_last_mark_m),
            f"{rotation_text(bend.rotation_deg, 1)}°",
        )
        for piece in sheet.pieces
        for bend in piece.bends
    ]
    pieces = [
        (
            str(piece.number),
            _mm(piece.length_m),
            str(len(piece.bends)),
            ("coupling " if piece.is_coupling else "")
            + ", ".join(named(ref) for ref in piece.elements),
        )
        for piece in sheet.pieces
    ]
    room = int((_TABLE_TOP - _TABLE_LOW) / LINE) - 5
    for_bends = max(min(len(bends), room - min(len(pieces), room // 2)), 1)
    marks, y = _table(_BENDS, bends, _TABLE_TOP, for_bends, "bends.csv")
    more, _ = _table(
        _PIECES, pieces, y - LINE, max(room - min(len(bends), for_bends), 1), "pieces.csv"
    )
    return [*marks, *more]


def _table(
    columns: Sequence[tuple[str, float]],
    rows: Sequence[Sequence[str]],
    top: float,
    most: int,
    file: str,
) -> tuple[list[Mark], float]:
    """Draw a table from `top` down; gives where it ends."""
    shown = rows if len(rows) <= most else rows[: most - 1]
    marks: list[Mark] = []
    y = top
    for line, cells in enumerate([[name for name, _ in columns], *shown]):
        x = _TABLE_LEFT
        for cell, (_, width) in zip(cells, columns, strict=True):
            marks.append(Text(at=(x, y), text=fitted(cell, width - 1), is_bold=line == 0))
            x += width
        y -= LINE
    if len(shown) < len(rows):
        told = words.MORE_ROWS.format(count=len(rows) - len(shown), file=file)
        marks.append(Text(at=(_TABLE_LEFT, y), text=told))
        y -= LINE
    return marks, y


def _foot(sheet: BendSheet) -> list[Mark]:
    texts = [_NOTE, *words.CAUTIONS]
    if sheet.problem:
        texts.insert(0, f"Don't bend by this sheet: {sheet.problem}.")
    room = _WIDTH - 2 * _MARGIN - 8
    lines = [line for text in texts for line in wrapped(text, room)]
    ends = f"From {_end(sheet.run.start)} to {_end(sheet.run.end)}"
    return [
        Line(points=((_MARGIN, 40.0), (_WIDTH - _MARGIN, 40.0)), style="frame"),
        *paragraph([fitted(ends, room), *lines], (_MARGIN + 4, 35.5)),
    ]


def _end(end: RunEnd) -> str:
    return named(end.ref) if end.ref else f"an end that is {end.kind}"


def _raceway(size: RacewaySize) -> str:
    if not size.known:
        return "of unknown size"
    return f"{size.raceway_type} {size.metric_designator} ({size.trade_size_in} in)".strip()


def _mm(length_m: float) -> str:
    return number(from_metres(length_m, "mm"), 1)
