"""A picture of a box or a run as the camera of its topic sees it; the same bytes each time."""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from itertools import pairwise
from math import cos, pi, sin

from PIL import Image, ImageDraw, ImageFont

from modelcheck.geometry.vectors import minus, moved, out_of_frame
from modelcheck.model.element import Enclosure, Point, axis_of
from modelcheck.model.finding import Finding
from modelcheck.model.run import Entry, Run
from modelcheck.write.bcf_camera import ASPECT, Camera, corners
from modelcheck.write.drawing_net import spot_m
from modelcheck.write.finding_text import amounts_text, outcome_text
from modelcheck.write.topics import Topic

_HEIGHT = 480  # of what the camera sees [px]; with the lines below it the picture stays under 1500
_FINE = 2  # drawn so much larger, for smooth lines
_LETTERS, _LINE, _PAD = 15, 22, 12
_MOST_ROWS = 4
_PAPER, _INK, _PALE, _RACEWAY, _SUBJECT = "#ffffff", "#1a1a1a", "#b8bec6", "#5b7c99", "#a3310f"
_NEAR_M = 0.02  # what is nearer to the camera is not drawn
_ROUND = 24  # corners of a circle
_RADIUS_M = 0.02  # of a raceway whose size isn't known
_EDGES = tuple(
    (one, one | 1 << axis) for one in range(8) for axis in range(3) if not one >> axis & 1
)

Pixel = tuple[float, float]


@dataclass(frozen=True, slots=True)
class _Board:
    """What is drawn on, and how a place comes there."""

    draw: ImageDraw.ImageDraw
    camera: Camera
    fine: int = _FINE

    def at(self, point: Point) -> Pixel | None:
        """Place in the picture [px]; None behind the camera."""
        right, up, depth = self.camera.seen(point)
        if depth < _NEAR_M:
            return None
        half = _HEIGHT * self.fine / 2
        return (half * ASPECT + half * right, half - half * up)

    def line(self, points: Sequence[Point], colour: str, width: float) -> None:
        """Draw a line, but for what of it lies behind the camera."""
        for one, other in pairwise(points):
            ends = (self._before(one, other), self._before(other, one))
            first, last = (self.at(end) for end in ends)
            if first and last:
                self.draw.line((first, last), fill=colour, width=round(width * self.fine))

    def _before(self, end: Point, other: Point) -> Point:
        """`end`, or where the stretch to `other` comes before the camera."""
        depth, ahead = (self.camera.seen(point)[2] for point in (end, other))
        if depth >= _NEAR_M or ahead <= _NEAR_M:
            return end
        return moved(end, minus(other, end), (2 * _NEAR_M - depth) / (ahead - depth))

    def face(self, points: Sequence[Point], colour: str) -> None:
        """Fill a face that lies before the camera as a whole."""
        places = [place for point in points if (place := self.at(point))]
        if len(places) == len(points):
            self.draw.polygon(places, fill=colour, outline=_INK, width=self.fine)

    def text(self, point: Point, text: str) -> None:
        """Write beside a place."""
        if place := self.at(point):
            where = (place[0] + 8 * self.fine, place[1] - 8 * self.fine)
            self.draw.text(where, text, fill=_INK, font=_font(self.fine), anchor="ls")


def picture(topic: Topic, camera: Camera) -> bytes:
    """Draw what `camera` sees of the subject of `topic`, with its rows below, as PNG.

    Parameters
    ----------
    topic : Topic
    camera : Camera
    """
    lines = _lines(topic)
    size = (round(_HEIGHT * ASPECT), _HEIGHT)
    image = Image.new("RGB", (size[0] * _FINE, size[1] * _FINE), _PAPER)
    board = _Board(ImageDraw.Draw(image), camera)
    if topic.box is not None:
        _draw_box(board, topic.box.enclosure, topic)
    else:
        _draw_runs(board, topic.runs, _SUBJECT)
        for finding in topic.findings:
            _draw_cross(board, finding)
    whole = Image.new("RGB", (size[0], size[1] + 2 * _PAD + _LINE * len(lines)), _PAPER)
    whole.paste(image.reduce(_FINE))
    draw = ImageDraw.Draw(whole)
    draw.line(((0, size[1]), (size[0], size[1])), fill=_PALE, width=1)
    for place, line in enumerate(lines):
        y = size[1] + _PAD + _LINE * place
        draw.text((_PAD, y), line, fill=_INK if place else _SUBJECT, font=_font(1))
    file = BytesIO()
    few = whole.convert("P", dither=Image.Dither.NONE, palette=Image.Palette.WEB)
    few.save(file, "PNG", compress_type=zlib.Z_RLE)  # for lines on paper; twice as fast
    return file.getvalue()


def _draw_box(board: _Board, box: Enclosure, topic: Topic) -> None:
    """Draw the edges of a box, those in front over its raceways, those behind under them."""
    _draw_runs(board, topic.runs, _RACEWAY)
    places = corners(box)
    hidden = max(range(len(places)), key=lambda one: board.camera.seen(places[one])[2], default=-1)
    for one, other in _EDGES if places else ():
        if hidden in (one, other):
            board.line((places[one], places[other]), _PALE, 1.5)
    failing = {ref.key for finding in topic.findings for ref in finding.elements}
    for entry in topic.entries:
        ring = _ring(entry, box)
        if ring:
            board.face(ring, _SUBJECT if entry.conduit.key in failing else _RACEWAY)
    for one, other in _EDGES if places else ():
        if hidden not in (one, other):
            board.line((places[one], places[other]), _INK, 2.5)


def _ring(entry: Entry, box: Enclosure) -> list[Point]:
    """Outline of an entry on its wall; nothing if it isn't placed."""
    spot = spot_m(entry, box)
    if spot is None:
        return []
    middle = out_of_frame(spot, box.origin, box.axes)
    across = [axis for number, axis in enumerate(box.axes) if number != axis_of(entry.wall)]
    radius_m = (entry.size.outside_diameter_m or 2 * _RADIUS_M) / 2
    turns = [2 * pi * step / _ROUND for step in range(_ROUND)]
    return [
        moved(moved(middle, across[0], radius_m * cos(turn)), across[1], radius_m * sin(turn))
        for turn in turns
    ]


def _draw_runs(board: _Board, runs: Sequence[Run], colour: str) -> None:
    for run in runs:
        board.line(run.centreline, colour, 5.0)
    for bend in (bend for run in runs for bend in run.bends if colour == _SUBJECT):
        board.text(bend.at, f"{round(bend.angle_deg, 1):g}°")


def _draw_cross(board: _Board, finding: Finding) -> None:
    """Mark the place of a row of a run."""
    if place := board.at(finding.at):
        reach = 9 * board.fine
        x, y = place
        for side in (-1, 1):
            ends = ((x - reach, y - side * reach), (x + reach, y + side * reach))
            board.draw.line(ends, fill=_INK, width=2 * board.fine)


def _lines(topic: Topic) -> list[str]:
    """What is written below the picture: the subject, and its first rows."""
    rows = [f"{outcome_text(each)}  {each.check}  {amounts_text(each)}" for each in topic.findings]
    if len(rows) > _MOST_ROWS:
        rows = [*rows[: _MOST_ROWS - 1], f"and {len(rows) - _MOST_ROWS + 1} more"]
    return [topic.name, *rows]


def _font(fine: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    """Letters that come with the library, so that they are the same everywhere."""
    return ImageFont.load_default(_LETTERS * fine)
