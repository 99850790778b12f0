"""A picture of a box or a run as the camera of its topic sees it; the same bytes each time.

In few colours, with shades in letters only, so that many pictures take little time and room. What
is to be drawn is gathered in whole pixels first: what comes out alike is drawn and packed once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cache, lru_cache
from itertools import pairwise
from math import cos, isfinite, pi, sin

from PIL import Image, ImageDraw, ImageFont

from modelcheck.geometry.vectors import minus, moved, out_of_frame
from modelcheck.model.element import Enclosure, Point, axis_of
from modelcheck.model.finding import Finding
from modelcheck.model.run import Entry, Run
from modelcheck.write.bcf_camera import ASPECT, Camera, corners
from modelcheck.write.drawing_net import spot_m
from modelcheck.write.finding_text import amounts_text, outcome_text
from modelcheck.write.png import Upper, lines_of, png_of, upper_of
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

Place = tuple[float, float]
Pixel = tuple[int, int]


@dataclass(frozen=True, slots=True)
class _Stroke:
    """One thing that is drawn: a line of a width, a face where that is 0, or a text."""

    pixels: tuple[int, ...]  # to the right and down, in turn
    colour: int
    width: int = 0
    text: str = ""


@dataclass(frozen=True, slots=True)
class _Board:
    """What is drawn of what a camera sees."""

    camera: Camera
    strokes: list[_Stroke] = field(default_factory=list)

    def at(self, points: Sequence[Point]) -> list[Place | None]:
        """Places in the picture [px]; None behind the camera."""
        return [
            _place(right, up) if depth >= _NEAR_M else None
            for right, up, depth in self.camera.seen(points)
        ]

    def line(self, points: Sequence[Point], colour: int, width: int) -> None:
        """Draw a line, but for what of it lies behind the camera."""
        places = self.at(points)
        if all(places):
            self.stroke(places, colour, width)
            return
        for (one, first), (other, last) in pairwise(zip(points, places, strict=True)):
            if first or last:
                ends = (first or self._cut(one, other), last or self._cut(other, one))
                self.stroke(ends, colour, width)

    def _cut(self, end: Point, other: Point) -> Place:
        """Where the stretch to `other` from `end`, behind the camera, comes before it."""
        (*_, depth), (*_, ahead) = self.camera.seen((end, other))
        share = (_NEAR_M - depth) / (ahead - depth)
        ((right, up, _),) = self.camera.seen((moved(end, minus(other, end), share),))
        return _place(right, up)

    def face(self, points: Sequence[Point], colour: int) -> None:
        """Fill a face that lies before the camera as a whole."""
        places = self.at(points)
        if all(places):
            self.stroke(places, colour)

    def text(self, point: Point, text: str) -> None:
        """Write beside a place."""
        for x, y in filter(None, self.at((point,))):
            self.strokes.append(_Stroke((round(x) + 8, round(y) - 26), _INK, text=text))

    def stroke(self, places: Iterable[Place | None], colour: int, width: int = 0) -> None:
        """Draw through places, none of them behind the camera; a place may be no number."""
        known = [place for place in places if place and isfinite(sum(place))]
        pixels = tuple([int(along) for place in known for along in place])
        if len(known) > 1:
            self.strokes.append(_Stroke(pixels, colour, width))


def picture(topic: Topic, camera: Camera) -> bytes:
    """Draw what `camera` sees of the subject of `topic`, with its rows below, as PNG.

    Parameters
    ----------
    topic : Topic
    camera : Camera
    """
    board = _Board(camera)
    if topic.box is not None:
        _draw_box(board, topic.box.enclosure, topic)
    else:
        _draw_runs(board, topic.runs, _SUBJECT)
        for finding in topic.findings:
            _draw_cross(board, finding)
    return png_of(_drawn(tuple(board.strokes)), _written(_rows(topic)), _palette())


@lru_cache(maxsize=512)
def _drawn(strokes: tuple[_Stroke, ...]) -> Upper:
    """What the camera sees."""
    image = Image.new("L", (_WIDTH, _HEIGHT), _PAPER)
    draw = ImageDraw.Draw(image)
    for each in strokes:
        if each.text:
            _write(image, (each.pixels[0], each.pixels[1]), each.text, each.colour)
        elif each.width:
            draw.line(each.pixels, fill=each.colour, width=each.width)
        else:
            draw.polygon(each.pixels, fill=each.colour, outline=_INK)
    return upper_of(image)


def _written(rows: Sequence[str]) -> bytes:
    """Lines of pixels of what is written below."""
    above, below = _pads()
    strips = [_strip(row, _INK if place else _SUBJECT) for place, row in enumerate(rows)]
    return b"".join((above, *strips, below))


@cache
def _pads() -> tuple[bytes, bytes]:
    """Lines of pixels above and below what is written."""
    image = Image.new("L", (_WIDTH, _PAD), _PAPER)
    below = lines_of(image)
    ImageDraw.Draw(image).line(((0, 0), (_WIDTH, 0)), fill=_PALE)
    return lines_of(image), below


def _draw_box(board: _Board, box: Enclosure, topic: Topic) -> None:
    """Draw the edges of a box, those in front over its raceways, those behind under them."""
    _draw_runs(board, topic.runs, _RACEWAY)
    places = corners(box)
    depths = [depth for *_, depth in board.camera.seen(places)]
    hidden = depths.index(max(depths)) if depths else -1
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
    (x, y, z), (ax, ay, az), (bx, by, bz) = middle, *across
    shares = [(radius_m * along, radius_m * aside) for along, aside in _TURNS]
    return [(x + a * ax + b * bx, y + a * ay + b * by, z + a * az + b * bz) for a, b in shares]


def _draw_runs(board: _Board, runs: Sequence[Run], colour: int) -> None:
    for run in runs:
        board.line(run.centreline, colour, 5)
    for bend in (bend for run in runs for bend in run.bends if colour == _SUBJECT):
        board.text(bend.at, f"{round(bend.angle_deg, 1):g}°")


def _draw_cross(board: _Board, finding: Finding) -> None:
    """Mark the place of a row of a run."""
    for x, y in filter(None, board.at((finding.at,))):
        for side in (-9, 9):
            board.stroke(((x - 9, y - side), (x + 9, y + side)), _INK, 2)


def _rows(topic: Topic) -> list[str]:
    """What is written below the picture: the subject, and its first rows."""
    rows = [f"{outcome_text(each)}  {each.check}  {amounts_text(each)}" for each in topic.findings]
    if len(rows) > _MOST_ROWS:
        rows = [*rows[: _MOST_ROWS - 1], f"and {len(rows) - _MOST_ROWS + 1} more"]
    return [topic.name, *rows]


def _place(right: float, up: float) -> Place:
    half = _HEIGHT / 2
    return (half * ASPECT + half * right, half - half * up)


def _write(image: Image.Image, where: Pixel, text: str, colour: int) -> None:
    """Write one line with its upper left corner at `where`, in shades of `colour`."""
    letters = _letters(text)
    shades, anywhere = _shades(colour)
    image.paste(_looked_up(letters, shades), where, _looked_up(letters, anywhere))


@lru_cache(maxsize=256)
def _strip(text: str, colour: int) -> bytes:
    """Lines of pixels of one line of text on paper; rows of many boxes are alike."""
    letters = _letters(text).crop((-_PAD, 0, _WIDTH - _PAD, _LINE))
    return lines_of(_looked_up(letters, _shades(colour)[0]))


def _letters(text: str) -> Image.Image:
    """One line of text in white, letter by letter: all at once takes five times as long."""
    line, at = Image.new("L", (_WIDTH, _LINE)), 0
    for letter in text:
        shape, left, advance = _letter(letter)
        line.paste(255, (at + left, 0), shape)
        at += advance
    return line


def _looked_up(image: Image.Image, table: bytes) -> Image.Image:
    """`image` with what `table` has for the value of each pixel."""
    return Image.frombytes("L", image.size, image.tobytes().translate(table))


@lru_cache(maxsize=512)
def _letter(letter: str) -> tuple[Image.Image, int, int]:
    """One letter in white, how far right of its place it begins, and how far on the next one is."""
    left, _, right, _ = map(round, _font().getbbox(letter))
    shape = Image.new("L", (max(right - left, 1), _LINE))
    ImageDraw.Draw(shape).text((-left, 0), letter, fill=255, font=_font())
    return shape, left, round(_font().getlength(letter))


@cache
def _shades(colour: int) -> tuple[bytes, bytes]:
    """For each whiteness of a letter its place in the palette, and whether it is drawn.

    The darkest shade is `colour` itself.
    """
    shades = [round(_SHADES * white / 255) for white in range(256)]
    places = (colour - _SHADES + shade if shade else _PAPER for shade in shades)
    return bytes(places), bytes(255 if shade else 0 for shade in shades)


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
