"""A picture of a box or a run as the camera of its topic sees it; the same bytes each time.

In few colours, with shades in letters only, so that many pictures take little time and room.
"""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
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
_WIDTH = round(_HEIGHT * ASPECT)
_LETTERS, _LINE, _PAD = 15, 22, 12
_MOST_ROWS = 4
_WHITE, _BLACK, _RED, _GREY, _BLUE = (
    (255, 255, 255),
    (26, 26, 26),
    (163, 49, 15),
    (184, 190, 198),
    (91, 124, 153),
)
_SHADES = 6  # of letters, from paper to their colour
_PAPER, _INK, _SUBJECT, _PALE, _RACEWAY = 0, 6, 12, 13, 14  # places in the palette
_NEAR_M = 0.02  # what is nearer to the camera is not drawn
_RADIUS_M = 0.02  # of a raceway whose size isn't known
_TURNS = tuple((cos(pi * step / 12), sin(pi * step / 12)) for step in range(24))  # of a circle
_EDGES = tuple(
    (one, one | 1 << axis) for one in range(8) for axis in range(3) if not one >> axis & 1
)

Pixel = tuple[float, float]


@dataclass(frozen=True, slots=True)
class _Board:
    """What is drawn on, and how a place comes there."""

    image: Image.Image
    draw: ImageDraw.ImageDraw
    camera: Camera

    def at(self, point: Point) -> Pixel | None:
        """Place in the picture [px]; None behind the camera."""
        right, up, depth = self.camera.seen(point)
        return None if depth < _NEAR_M else _pixel(right, up)

    def line(self, points: Sequence[Point], colour: int, width: int) -> None:
        """Draw a line, but for what of it lies behind the camera."""
        seen = [(point, self.at(point)) for point in points]
        for (one, first), (other, last) in pairwise(seen):
            if first or last:
                ends = (first or self._cut(one, other), last or self._cut(other, one))
                self.draw.line(ends, fill=colour, width=width)

    def _cut(self, end: Point, other: Point) -> Pixel:
        """Where the stretch to `other` from `end`, behind the camera, comes before it."""
        depth, ahead = (self.camera.seen(point)[2] for point in (end, other))
        share = (_NEAR_M - depth) / (ahead - depth)
        return _pixel(*self.camera.seen(moved(end, minus(other, end), share))[:2])

    def face(self, points: Sequence[Point], colour: int) -> None:
        """Fill a face that lies before the camera as a whole."""
        places = [place for point in points if (place := self.at(point))]
        if len(places) == len(points):
            self.draw.polygon(places, fill=colour, outline=_INK)

    def text(self, point: Point, text: str) -> None:
        """Write beside a place."""
        if place := self.at(point):
            _write(self.image, (round(place[0]) + 8, round(place[1]) - 26), text, _INK)


def picture(topic: Topic, camera: Camera) -> bytes:
    """Draw what `camera` sees of the subject of `topic`, with its rows below, as PNG.

    Parameters
    ----------
    topic : Topic
    camera : Camera
    """
    lines = _lines(topic)
    image = Image.new("L", (_WIDTH, _HEIGHT + 2 * _PAD + _LINE * len(lines)), _PAPER)
    board = _Board(image, ImageDraw.Draw(image), camera)
    if topic.box is not None:
        _draw_box(board, topic.box.enclosure, topic)
    else:
        _draw_runs(board, topic.runs, _SUBJECT)
        for finding in topic.findings:
            _draw_cross(board, finding)
    board.draw.rectangle(((0, _HEIGHT), image.size), fill=_PAPER)
    board.draw.line(((0, _HEIGHT), (_WIDTH, _HEIGHT)), fill=_PALE)
    for place, line in enumerate(lines):
        where = (_PAD, _HEIGHT + _PAD + _LINE * place)
        _write(image, where, line, _INK if place else _SUBJECT)
    image.putpalette(_palette())
    file = BytesIO()
    image.save(file, "PNG", compress_type=zlib.Z_RLE)  # for lines on paper; twice as fast
    return file.getvalue()


def _draw_box(board: _Board, box: Enclosure, topic: Topic) -> None:
    """Draw the edges of a box, those in front over its raceways, those behind under them."""
    _draw_runs(board, topic.runs, _RACEWAY)
    places = corners(box)
    hidden = max(range(len(places)), key=lambda one: board.camera.seen(places[one])[2], default=-1)
    for one, other in _EDGES if places else ():
        if hidden in (one, other):
            board.line((places[one], places[other]), _PALE, 1)
    failing = {ref.key for finding in topic.findings for ref in finding.elements}
    for entry in topic.entries:
        ring = _ring(entry, box)
        if ring:
            board.face(ring, _SUBJECT if entry.conduit.key in failing else _RACEWAY)
    for one, other in _EDGES if places else ():
        if hidden not in (one, other):
            board.line((places[one], places[other]), _INK, 2)


def _ring(entry: Entry, box: Enclosure) -> list[Point]:
    """Outline of an entry on its wall; nothing if it isn't placed."""
    spot = spot_m(entry, box)
    if spot is None:
        return []
    middle = out_of_frame(spot, box.origin, box.axes)
    across = [axis for number, axis in enumerate(box.axes) if number != axis_of(entry.wall)]
    radius_m = (entry.size.outside_diameter_m or 2 * _RADIUS_M) / 2
    return [
        moved(moved(middle, across[0], radius_m * along), across[1], radius_m * aside)
        for along, aside in _TURNS
    ]


def _draw_runs(board: _Board, runs: Sequence[Run], colour: int) -> None:
    for run in runs:
        board.line(run.centreline, colour, 5)
    for bend in (bend for run in runs for bend in run.bends if colour == _SUBJECT):
        board.text(bend.at, f"{round(bend.angle_deg, 1):g}°")


def _draw_cross(board: _Board, finding: Finding) -> None:
    """Mark the place of a row of a run."""
    if place := board.at(finding.at):
        x, y = place
        for side in (-9, 9):
            board.draw.line(((x - 9, y - side), (x + 9, y + side)), fill=_INK, width=2)


def _lines(topic: Topic) -> list[str]:
    """What is written below the picture: the subject, and its first rows."""
    rows = [f"{outcome_text(each)}  {each.check}  {amounts_text(each)}" for each in topic.findings]
    if len(rows) > _MOST_ROWS:
        rows = [*rows[: _MOST_ROWS - 1], f"and {len(rows) - _MOST_ROWS + 1} more"]
    return [topic.name, *rows]


def _pixel(right: float, up: float) -> Pixel:
    half = _HEIGHT / 2
    return (half * ASPECT + half * right, half - half * up)


def _write(image: Image.Image, where: tuple[int, int], text: str, colour: int) -> None:
    """Write one line with its upper left corner at `where`, in shades of `colour`."""
    letters, mask = _letters(text, colour)
    image.paste(letters, where, mask)


@lru_cache(maxsize=256)
def _letters(text: str, colour: int) -> tuple[Image.Image, Image.Image]:
    """One line of text, and where there is any of it; rows of many boxes are alike."""
    letters = Image.new("L", (_WIDTH, _LINE))
    ImageDraw.Draw(letters).text((0, 0), text, fill=255, font=_font())
    return letters.point(_shades(colour)), letters.point(_shades(255))


@cache
def _shades(colour: int) -> tuple[int, ...]:
    """Place in the palette for each whiteness of a letter; the darkest shade is `colour` itself."""
    shades = [round(_SHADES * white / 255) for white in range(256)]
    return tuple(colour - _SHADES + shade if shade else _PAPER for shade in shades)


@cache
def _font() -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    """Letters that come with the library, so that they are the same everywhere."""
    return ImageFont.load_default(_LETTERS)


@cache
def _palette() -> bytes:
    """Paper, the shades of ink and of what a topic is about, and the colours without shades."""
    shaded = [
        tuple(round(255 + (tone - 255) * shade / _SHADES) for tone in colour)
        for colour in (_BLACK, _RED)
        for shade in range(1, _SHADES + 1)
    ]
    return bytes(tone for colour in (_WHITE, *shaded, _GREY, _BLUE) for tone in colour)
