"""Boxes to practise on, each level with one more thing to see; the same seed, the same boxes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from modelcheck.model.element import ElementRef, Enclosure, RacewaySize, axis_of
from modelcheck.model.pull import BoxCase, BoxPull, Conductors
from modelcheck.model.run import Entry
from modelcheck.model.settings import Settings
from modelcheck.rules.raceways import by_trade_size, outside_diameter_m
from modelcheck.units import Unit, from_metres, to_metres

RACEWAY_TYPE = "EMT"
_CONDUCTORS = {  # what fits in such a raceway and is no smaller than 4 AWG
    "1-1/4": "1 AWG",
    "1-1/2": "1/0 AWG",
    "2": "3/0 AWG",
    "2-1/2": "250 kcmil",
    "3": "350 kcmil",
    "4": "500 kcmil",
}
_INSULATION = {"cec": "RW90", "nec": "THHN"}
_STEP = {"mm": 25.0, "in": 1.0}  # sides are whole steps
_CLEAR_M = to_metres(30.0, "mm")  # between raceways, and to the edge
_LEAST_FACTOR, _MOST_FACTOR = 5.5, 9.0  # of a side, times its largest raceway


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """What a box of one difficulty has: the walls of each pull, and of spares."""

    title: str
    pulls: tuple[tuple[str, ...], ...]
    spares: tuple[str, ...] = ()
    is_staggered: bool = False  # entries of one wall in two rows


LEVELS = (
    Level(title="one straight pull", pulls=(("-x", "+x"),)),
    Level(title="straight pulls of two sizes", pulls=(("-x", "+x"), ("-x", "+x"))),
    Level(title="one angle pull", pulls=(("-x", "+y"),)),
    Level(title="two angle pulls side by side", pulls=(("-x", "+y"), ("-x", "+y"))),
    Level(title="a U pull", pulls=(("-y", "-y"),)),
    Level(
        title="straight and angle pulls, a spare",
        pulls=(("-x", "+x"), ("-x", "-y")),
        spares=("-y",),
    ),
    Level(title="an entry opposite the cover", pulls=(("-z", "+y"), ("-x", "+x"))),
    Level(
        title="two rows in a wall, angle and U pulls",
        pulls=(("-x", "+y"), ("-x", "+y"), ("-x", "-x"), ("-y", "+y")),
        is_staggered=True,
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticeBox:
    """One box to work, without its answer."""

    title: str
    case: BoxCase


def practice_boxes(seed: int, count: int, settings: Settings) -> tuple[PracticeBox, ...]:
    """Make boxes from the easiest level to the hardest.

    Parameters
    ----------
    seed : int
    count : int
        How many, 1 or more.
    settings : Settings
        Say the code and the unit that the sides are whole in.
    """
    rng = Random(seed)
    boxes = []
    for number in range(count):
        level = LEVELS[number * len(LEVELS) // count]
        ref = ElementRef(
            model=f"practice, seed {seed}",
            guid=f"practice-{seed}-{number + 1}",
            name=f"{number + 1}",
            step_id=number + 1,
        )
        boxes.append(PracticeBox(title=level.title, case=_case(ref, level, rng, settings)))
    return tuple(boxes)


def _case(ref: ElementRef, level: Level, rng: Random, settings: Settings) -> BoxCase:
    sizes = [rng.choice(list(_CONDUCTORS)) for _ in level.pulls]
    walls = [(wall, size) for pull, size in zip(level.pulls, sizes, strict=True) for wall in pull]
    walls.extend((wall, rng.choice(list(_CONDUCTORS))) for wall in level.spares)
    inside_m = _inside_m(walls, level, rng, "in" if settings.units == "in" else "mm")
    enclosure = Enclosure(ref=ref, inside_m=inside_m, size_from="settings", cover=("+z",))
    spots = _spots(walls, inside_m, level, rng)
    entries = tuple(
        _entry(ref, place, wall, size, spots[place]) for place, (wall, size) in enumerate(walls)
    )
    pulls = [
        _pull(f"F{place // 2 + 1}", (place, place + 1), walls[place][1], settings)
        for place in range(0, 2 * len(level.pulls), 2)
    ]
    pulls.extend(
        BoxPull(name="spare", entries=(place,), is_spare=True)
        for place in range(2 * len(level.pulls), len(walls))
    )
    return BoxCase(enclosure=enclosure, entries=entries, pulls=tuple(pulls))


def _inside_m(
    walls: Sequence[tuple[str, str]], level: Level, rng: Random, unit: Unit
) -> tuple[float, float, float]:
    """Sides that the entries find room on, now short of what a code asks and now not."""
    rows = 2 if level.is_staggered else 1
    across = max(sum(_room_m(size) for own, size in walls if own == wall) for wall, _ in walls)
    largest = max(_room_m(size) for _, size in walls)
    x, y = (
        max(across + _CLEAR_M, rng.uniform(_LEAST_FACTOR, _MOST_FACTOR) * (largest - _CLEAR_M))
        for _ in range(2)
    )
    depth = rows * largest + _CLEAR_M + rng.uniform(0.0, 1.0) * largest
    return (_whole(x, unit), _whole(y, unit), _whole(depth, unit))


def _whole(length_m: float, unit: Unit) -> float:
    """Next whole step up."""
    step = _STEP[unit]
    return to_metres(-(-from_metres(length_m, unit) // step) * step, unit)


def _room_m(size: str) -> float:
    return (outside_diameter_m(RACEWAY_TYPE, size) or 0.0) + _CLEAR_M


def _spots(
    walls: Sequence[tuple[str, str]],
    inside_m: tuple[float, float, float],
    level: Level,
    rng: Random,
) -> dict[int, tuple[float, float]]:
    """Centre of each entry on its wall: in a row that has some play, or in two by turns."""
    spots = {}
    for wall in dict.fromkeys(own for own, _ in walls):
        places = [place for place, (own, _) in enumerate(walls) if own == wall]
        sides = [side for axis, side in enumerate(inside_m) if axis != axis_of(wall)]
        taken = sum(_room_m(walls[place][1]) for place in places)
        play = (sides[0] - _CLEAR_M - taken) / len(places)
        along = -sides[0] / 2 + _CLEAR_M / 2
        widest = max(_room_m(walls[place][1]) for place in places)
        is_double = level.is_staggered and len(places) > 1
        shift = (sides[1] - widest) / 2 if is_double else 0.0  # one for all: rows are rows
        for turn, place in enumerate(places):
            room = _room_m(walls[place][1])
            at = along + room / 2 + rng.uniform(0.0, play)
            along += room + play
            spots[place] = (_fine(at), _fine(shift if turn % 2 else -shift))
    return spots


def _fine(length_m: float) -> float:
    """Whole millimetres: what one can read off a drawing."""
    return to_metres(round(from_metres(length_m, "mm")), "mm")


def _entry(box: ElementRef, place: int, wall: str, size: str, spot: tuple[float, float]) -> Entry:
    name, row = chr(ord("A") + place), by_trade_size(size)
    return Entry(
        box=box,
        conduit=ElementRef(model=box.model, guid=name, name=name, step_id=place + 1),
        wall=wall,
        u_m=spot[0],
        v_m=spot[1],
        size=RacewaySize(
            raceway_type=RACEWAY_TYPE,
            trade_size_in=size,
            metric_designator=None if row is None else row.metric_designator,
            size_from="settings",
        ),
    )


def _pull(name: str, places: tuple[int, int], size: str, settings: Settings) -> BoxPull:
    conductors = Conductors(size=_CONDUCTORS[size], insulation=_INSULATION[settings.code], count=3)
    return BoxPull(name=name, entries=places, conductors=(conductors,))
