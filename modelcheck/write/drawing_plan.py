"""A look into the open box: where its entries stand and the way that each pull takes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from modelcheck.geometry.vectors import dot
from modelcheck.model.pull import BoxCase, BoxPull
from modelcheck.model.run import Entry
from modelcheck.units import from_metres
from modelcheck.write.drawing_marks import (
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
from modelcheck.write.drawing_net import Net, Panel, hole_mm, outward, spot_m
from modelcheck.write.drawing_panels import both
from modelcheck.write.terminal import short_text

_STUB, _TAG = 3.5, 2.0  # length of a raceway outside the wall; from there to its number [mm]
_MARGIN = 11.0
_ROUND = 0.1  # two numbers nearer than this have one place [mm]
_PAIR, _ONLY = 2, "the only pairing there can be"
_TURN = 0.3  # how far into the box a U pull is drawn, of the least side


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Where an entry lies on the picture."""

    at: Pair
    out: tuple[int, int]  # which way its raceway leaves; (0, 0): toward or away from the eye
    radius: float
    is_near: bool  # in the wall that one looks through


def plan_marks(net: Net, low: Pair, high: Pair) -> list[Mark]:
    """Draw the box from its cover side into the room from `low` to `high`; nothing without a size.

    Parameters
    ----------
    net : Net
    low, high : tuple of float
        Corners of the room on paper. [mm]
    """
    panel = next((each for each in net.panels if each.slot == "centre"), None)
    if panel is None:
        return []
    room = (high[0] - low[0] - 2 * _MARGIN, high[1] - low[1] - 2 * _MARGIN)
    scale = max(panel.width_mm / room[0], panel.height_mm / room[1])
    width, height = panel.width_mm / scale, panel.height_mm / scale
    corner = ((low[0] + high[0] - width) / 2, (low[1] + high[1] - height) / 2)
    far = (corner[0] + width, corner[1] + height)
    spots = _spots(net, panel, corner, scale)
    marks: list[Mark] = [rectangle(corner, far, "edge")]
    turn = _TURN * min(width, height)
    middle = ((corner[0] + far[0]) / 2, (corner[1] + far[1]) / 2)
    for pull in known_pulls(net.case):
        marks.extend(_path(pull, spots, turn, middle))
    marks.extend(_numbers(spots))
    for spot in spots.values():
        marks.extend(_raceway(spot))
    return marks


def pull_lines(case: BoxCase) -> list[str]:
    """Say which entries each pull joins and what it carries."""
    pulls = known_pulls(case)
    if case.pulls is None and not pulls:
        return ["Which entries share conductors is not known: no path is drawn"]
    lines = []
    for pull in pulls:
        numbers = "-".join(str(place + 1) for place in pull.entries)
        carried = ", ".join(
            " ".join(
                filter(None, [f"{each.count} x" if each.count else "", each.size, each.insulation])
            )
            for each in pull.conductors
        )
        how = "spare" if pull.is_spare else "spliced here" if _ends(pull) else ""
        lines.append("; ".join(filter(None, [f"{short_text(pull.name)}: {numbers}", carried, how])))
    return lines


def known_pulls(case: BoxCase) -> tuple[BoxPull, ...]:
    """Pulls as scheduled; without a schedule two entries have one pairing, more have many.

    Parameters
    ----------
    case : BoxCase
    """
    if case.pulls is not None:
        return case.pulls
    pair = tuple(range(len(case.entries)))
    return (BoxPull(name=_ONLY, entries=pair),) if len(pair) == _PAIR else ()


def inside_text(panel: Panel) -> str:
    """Inside size of the box as one looks at it."""
    return f"{both(panel.width_mm)} x {both(panel.height_mm)}"


def _ends(pull: BoxPull) -> bool:
    return pull.spliced or len(pull.entries) == 1


def _spots(net: Net, panel: Panel, corner: Pair, scale: float) -> dict[int, Spot]:
    spots = {}
    for number, entry in enumerate(net.case.entries, start=1):
        place = spot_m(entry, net.case.enclosure)
        if place is None:
            continue
        out = outward(entry.wall)
        x = corner[0] + (from_metres(dot(place, panel.right), "mm") + panel.width_mm / 2) / scale
        y = corner[1] + (from_metres(dot(place, panel.up), "mm") + panel.height_mm / 2) / scale
        spots[number] = Spot(
            at=(x, y),
            out=(round(dot(out, panel.right)), round(dot(out, panel.up))),
            radius=_radius(entry, scale),
            is_near=entry.wall == net.centre,
        )
    return spots


def _radius(entry: Entry, scale: float) -> float:
    return (hole_mm(entry) or 0.0) / 2 / scale


def _raceway(spot: Spot) -> list[Mark]:
    (x, y), (right, up), half = spot.at, spot.out, spot.radius
    if (right, up) == (0, 0):
        style = "centre" if spot.is_near else "hole"
        return [Circle(centre=spot.at, radius_mm=max(half, 0.5), style=style)]
    across = (up * half, right * half)
    return [
        Line(
            points=(
                (x + side * across[0], y + side * across[1]),
                (x + side * across[0] + right * _STUB, y + side * across[1] + up * _STUB),
            ),
            style="hole",
        )
        for side in (-1, 1)
    ]


def _numbers(spots: dict[int, Spot]) -> list[Mark]:
    """Number of each entry beside its raceway; those behind each other share a place."""
    sides: dict[tuple[int, int], dict[float, list[int]]] = defaultdict(lambda: defaultdict(list))
    marks: list[Mark] = []
    for number, spot in spots.items():
        if spot.out == (0, 0):
            x, y, reach = *spot.at, 0.75 * spot.radius
            marks.append(
                Text(at=(x + reach + 0.5, y + reach), text=str(number), is_bold=True, is_clear=True)
            )
        else:
            along = spot.at[1] if spot.out[0] else spot.at[0]
            sides[spot.out][round(along / _ROUND) * _ROUND].append(number)
    for out, numbers in sides.items():
        wall = next(spot.at[0 if out[0] else 1] for spot in spots.values() if spot.out == out)
        marks.extend(_beside(out, wall, numbers))
    return marks


def _beside(out: tuple[int, int], wall: float, numbers: dict[float, list[int]]) -> list[Mark]:
    wanted = sorted(numbers)
    texts = [",".join(str(each) for each in numbers[along]) for along in wanted]
    widest = max(width_mm(text, SMALL, is_bold=True) for text in texts)
    is_beside = out[0] != 0
    given = spread(wanted, 3.0 if is_beside else widest + 1.2)
    marks: list[Mark] = []
    for along, place, text in zip(wanted, given, texts, strict=True):
        end, told = (wall + (out[0] or out[1]) * reach for reach in (_STUB, _STUB + _TAG))
        if is_beside:
            line = ((end, along), (told, place))
            at = (told + 0.5 * out[0], place - 0.9)
        else:
            line = ((along, end), (place, told))
            at = (place, told + (0.6 if out[1] > 0 else -2.4))
        anchor = {1: "start", -1: "end", 0: "middle"}[out[0]]
        marks.append(Line(points=line, style="thin"))
        marks.append(Text(at=at, text=text, anchor=anchor, is_bold=True))
    return marks


def _path(pull: BoxPull, spots: dict[int, Spot], turn: float, middle: Pair) -> list[Mark]:
    """Way of one pull: from its largest entry to each other, or to the splice."""
    placed = [spots[place + 1] for place in pull.entries if place + 1 in spots]
    if pull.is_spare or not placed:
        return []
    placed.sort(key=lambda spot: -spot.radius)
    first, *others = placed
    ways: list[Sequence[Pair]] = [_way(first, other, turn) for other in others]
    marks: list[Mark] = []
    if _ends(pull):
        ways = [(spot.at, middle) for spot in placed]
        marks.append(Circle(centre=middle, radius_mm=1.2, style="hole"))
    marks.extend(Line(points=tuple(way), style="pull") for way in ways)
    return marks


def _way(first: Spot, second: Spot, turn: float) -> Sequence[Pair]:
    """Straight from one to the other; of one wall, into the box and back."""
    if first.out != second.out or first.out == (0, 0):
        return (first.at, second.at)
    inward = (-first.out[0] * turn, -first.out[1] * turn)
    deep = [(spot.at[0] + inward[0], spot.at[1] + inward[1]) for spot in (first, second)]
    return (first.at, *deep, second.at)
