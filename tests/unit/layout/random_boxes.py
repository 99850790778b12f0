"""Boxes drawn by lot, and what proposals for them are made with."""

from dataclasses import replace
from functools import partial

from modelcheck.checks import RuledBox, check_box
from modelcheck.layout.means import MARKET, Means
from modelcheck.rules.catalogue import rulebook
from modelcheck.rules.standard_boxes import standard_sizes_m
from tests.box_cases import box, case, entry, pull

WALLS = ("-x", "+x", "-y", "+y", "-z")
SIZES = ("1", "1-1/4", "2", "3")


def means_for(settings):
    book = rulebook(settings)
    return Means(
        ruled=partial(RuledBox.of, rulebook=book, settings=settings),
        unit=settings.units,
        sizes_m=standard_sizes_m(),
        sizes_note=MARKET,
    )


def random_box(lot, *, most=5, walls=WALLS):
    """One box of two entries or more, most of them with a schedule."""
    inside = [lot.randrange(6, 24) * 25.0, lot.randrange(6, 24) * 25.0, lot.randrange(4, 12) * 25.0]
    count = lot.randint(2, most)
    entries = [_entry(f"C{n}", lot, inside, walls) for n in range(count)]
    order = list(range(count))
    lot.shuffle(order)
    pulls = tuple(pull(f"F{n}", *order[n : n + 2]) for n in range(0, count, 2))
    return case(box(tuple(inside)), *entries, pulls=pulls if lot.random() < 0.7 else None)


def _entry(name, lot, inside, walls):
    wall = lot.choice(walls)
    reach = [int(inside[axis] / 2 - 30) for axis in range(3) if "xyz"[axis] != wall[1]]
    at = tuple(float(lot.randint(-each, each)) for each in reach)
    return entry(name, wall, lot.choice(SIZES), at)


def outcomes(the_case, settings):
    """Outcomes of every row of a box, by the checks themselves."""
    return {str(each.outcome) for each in check_box(the_case, rulebook(settings), settings)}


def resized(the_case, inside_m):
    return replace(the_case, enclosure=replace(the_case.enclosure, inside_m=inside_m))


def smaller(inside_m, axis, by_m=0.001):
    return tuple(length - (by_m if axis == each else 0.0) for each, length in enumerate(inside_m))
