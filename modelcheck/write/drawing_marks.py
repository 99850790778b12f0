"""What a sheet is made of: lines, circles and texts in millimetres of paper, y upward."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations

Pair = tuple[float, float]

SMALL, BODY, TITLE = 2.5, 3.0, 4.5  # of the letters: an em [mm]
LINE = 3.4  # from one line of small letters to the next [mm]
STYLES: dict[str, tuple[float, tuple[float, ...]]] = {  # width, dashes and gaps [mm]
    "frame": (0.35, ()),
    "edge": (0.5, ()),
    "hole": (0.35, ()),
    "thin": (0.13, ()),
    "centre": (0.13, (3.0, 0.8, 0.6, 0.8)),
    "pull": (0.25, (1.6, 0.8)),
    "provided": (0.6, ()),
    "met": (0.25, ()),
    "unmet": (0.6, (2.4, 1.2)),
    "undecided": (0.4, (0.4, 1.0)),
}
_BELOW, _ABOVE = 0.2, 0.74  # how far letters reach from their base line, of an em


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line through two points or more."""

    points: tuple[Pair, ...]
    style: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """A circle."""

    centre: Pair
    radius_mm: float
    style: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """One line of letters; turned, it reads upward."""

    at: Pair  # on the base line
    text: str
    size_mm: float = SMALL
    anchor: str = "start"  # start, middle or end
    is_turned: bool = False
    is_bold: bool = False
    is_clear: bool = False  # stands on white: lines drawn before it don't run through it

    @property
    def length_mm(self) -> float:
        """Length on paper."""
        return width_mm(self.text, self.size_mm, is_bold=self.is_bold)

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least x and y, greatest x and y."""
        back = {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor] * self.length_mm
        low, high = -back, self.length_mm - back
        below, above = _BELOW * self.size_mm, _ABOVE * self.size_mm
        x, y = self.at
        if self.is_turned:
            return (x - above, y + low, x + below, y + high)
        return (x + low, y - below, x + high, y + above)


Mark = Line | Circle | Text


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One page."""

    paper: str
    width_mm: float
    height_mm: float
    marks: tuple[Mark, ...]
    title: str


def width_mm(text: str, size_mm: float, *, is_bold: bool = False) -> float:
    """Length of `text` on paper."""
    from reportlab.pdfbase.pdfmetrics import stringWidth  # noqa: PLC0415 - loads slowly

    return float(stringWidth(text, font(is_bold=is_bold), size_mm))


def font(*, is_bold: bool) -> str:
    """Name of the type face."""
    return "Helvetica-Bold" if is_bold else "Helvetica"


def fitted(text: str, room_mm: float, *, size_mm: float = SMALL, is_bold: bool = False) -> str:
    """Cut `text` where there is no room for more of it, and show that it was cut."""
    if width_mm(text, size_mm, is_bold=is_bold) <= room_mm:
        return text
    while text and width_mm(f"{text}...", size_mm, is_bold=is_bold) > room_mm:
        text = text[:-1]
    return f"{text.rstrip()}..."


def wrapped(text: str, room_mm: float, *, size_mm: float = SMALL) -> list[str]:
    """Break `text` into lines at its spaces; a word that is too long is cut."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if width_mm(longer, size_mm) <= room_mm or not lines[-1]:
            lines[-1] = longer
        else:
            lines.append(word)
    return [fitted(line, room_mm, size_mm=size_mm) for line in lines]


def paragraph(lines: Iterable[str], at: Pair) -> list[Mark]:
    """Lines of small letters, the first at `at`."""
    return [Text(at=(at[0], at[1] - LINE * number), text=line) for number, line in enumerate(lines)]


def rectangle(low: Pair, high: Pair, style: str) -> Line:
    """Closed line round an upright rectangle."""
    return Line(points=(low, (high[0], low[1]), high, (low[0], high[1]), low), style=style)


def spread(wanted: Sequence[float], pitch: float) -> list[float]:
    """Move places that are too near just as far apart as `pitch`, all together as little as can be.

    Parameters
    ----------
    wanted : sequence of float, shape (n,)
        In ascending order. [mm]
    pitch : float
        Least distance of two neighbours. [mm]
    """
    groups: list[list[float]] = []  # runs of neighbours, less what the pitch takes
    for number, place in enumerate(wanted):
        groups.append([place - number * pitch])
        while len(groups) > 1 and _mean(groups[-2]) > _mean(groups[-1]):
            last = groups.pop()
            groups[-1].extend(last)
    level = [_mean(group) for group in groups for _ in group]
    return [place + number * pitch for number, place in enumerate(level)]


def overlapping(marks: Iterable[Mark]) -> list[tuple[str, str]]:
    """Texts that lie on each other."""
    texts = [mark for mark in marks if isinstance(mark, Text) and mark.text]
    bounds = [text.bounds for text in texts]
    return [
        (texts[one].text, texts[other].text)
        for one, other in combinations(range(len(texts)), 2)
        if _meet(bounds[one], bounds[other])
    ]


def _meet(one: tuple[float, float, float, float], other: tuple[float, float, float, float]) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)
