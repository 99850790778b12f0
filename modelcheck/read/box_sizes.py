"""Inside sizes of boxes as properties say them, matched to the axes of the body."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import permutations
from typing import Literal

from modelcheck.read.lengths import UNITS_M, lengths_in
from modelcheck.read.mapping import entries, plain_words, ranked
from modelcheck.read.property_values import PropertyValue, plain_name
from modelcheck.units import M_PER_INCH, M_PER_MM, from_metres

Inside = tuple[float | None, float | None, float | None]
Role = Literal["length", "width", "height", "depth"]

STANDARD_SET = "Pset_JunctionBoxTypeCommon"
WALLS_EXPLAIN_M = 0.0121  # two walls of 6 mm, and a tenth for figures that were rounded
_WORTH_SAYING_M = M_PER_MM
_AXES = ("x", "y", "z")
_LEAST_DIMENSIONS = 2  # a lone "Height" may be that of mounting
_NAMED, _STANDARD, _ANY = range(3)  # sets of names that the settings give, of IFC, of anyone


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension:
    """One inside size of a box; several readings where the property gives no unit."""

    said_by: str
    role: Role
    readings_m: tuple[float, ...]  # likeliest first [m]
    is_clear: bool = False  # said to be inside


@dataclass(frozen=True, slots=True, kw_only=True)
class MatchedInside:
    """Inside size along the axes of the body, with what it rests on."""

    inside_m: Inside
    size_from: str = ""  # settings, property, body, or empty if nothing is known
    conflict: str = ""
    assumptions: tuple[str, ...] = ()


def dimensions(
    values: Sequence[PropertyValue], *, unit_m: float, named: Mapping[str, Role]
) -> tuple[tuple[Dimension, ...], tuple[str, ...]]:
    """Inside sizes that the properties of one box say, each role once, and what contradicts.

    Parameters
    ----------
    values : sequence of PropertyValue
    unit_m : float
        Length unit of the model, for plain numbers. [m]
    named : mapping of str to role
        Plain names that the settings give to width, height and depth.
    """
    by_set: dict[tuple[int, str, str], list[Dimension]] = {}
    for value in values:
        found = tuple(_dimensions_in(value, unit_m=unit_m, named=named))
        if found:
            is_standard = value.set_name == STANDARD_SET
            rank = _NAMED if plain_name(value.name) in named else _STANDARD if is_standard else _ANY
            by_set.setdefault((rank, value.source, value.set_name), []).extend(found)
    return _of_sets(by_set)


def match_inside(
    body_m: Inside, said: Sequence[Dimension], *, is_hollow: bool = False
) -> MatchedInside:
    """Match the sizes that properties say to the axes of the body by nearness.

    Parameters
    ----------
    body_m : tuple of 3 float or None
        Inside of the body along its axes; None where it can't be measured. [m]
    said : sequence of Dimension
    is_hollow : bool
        True where `body_m` lies between drawn inner faces: it then stands where a property differs
        by what the walls explain. The size of a solid block gives way.
    """
    if not said:
        is_known = any(side is not None for side in body_m)
        return MatchedInside(inside_m=body_m, size_from="body" if is_known else "")
    if all(side is None for side in body_m):
        return _without_body(said)
    readings = range(max(len(each.readings_m) for each in said))
    best = [_best_match(body_m, said, reading) for reading in readings]
    reading = next((at for at in readings if best[at].gap_m <= WALLS_EXPLAIN_M), 0)
    return _matched(body_m, said, best[reading], reading=reading, is_hollow=is_hollow)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Match:
    axes: tuple[tuple[int, int], ...]  # axis and place of the dimension on it
    gap_m: float  # largest difference from the body


def _best_match(body_m: Inside, said: Sequence[Dimension], reading: int) -> _Match:
    """Axes for the dimensions so that they differ least from the body in sum."""
    sizes = [_reading(each, reading) for each in said]
    count = min(len(sizes), len(body_m))
    matches = []
    for axes in permutations(range(len(body_m)), count):
        for places in permutations(range(len(sizes)), count):
            gaps = [
                abs(sizes[place] - side)
                for axis, place in zip(axes, places, strict=True)
                if (side := body_m[axis]) is not None
            ]
            pairing = tuple(sorted(zip(axes, places, strict=True)))
            matches.append((-len(gaps), sum(gaps), max(gaps, default=0.0), pairing))
    _, _, gap_m, pairs = min(matches)
    return _Match(axes=pairs, gap_m=gap_m)


def _matched(
    body_m: Inside, said: Sequence[Dimension], match: _Match, *, reading: int, is_hollow: bool
) -> MatchedInside:
    sizes = {axis: _reading(said[place], reading) for axis, place in match.axes}
    inside, against, notes = list(body_m), [], []
    for axis, place in match.axes:
        size_m, side_m = sizes[axis], body_m[axis]
        gap_m = 0.0 if side_m is None else abs(size_m - side_m)
        told = f"{said[place].said_by} says {_mm(size_m)}, the body {_mm(side_m or size_m)}"
        if gap_m > WALLS_EXPLAIN_M:
            against.append(told)
        elif gap_m > _WORTH_SAYING_M:
            stands = "drawn inner faces stand" if is_hollow else "property stands"
            notes.append(f"inside {_AXES[axis]}: {told}; the {stands}")
        if not is_hollow or gap_m <= _WORTH_SAYING_M:
            inside[axis] = size_m
    if reading:
        notes.append(f"{said[0].said_by} has no unit; read in the unit that agrees with the body")
    unmatched = [place for place in range(len(said)) if place not in dict(match.axes).values()]
    notes += [f"{said[place].said_by} fits no axis of the body" for place in unmatched]
    is_said = any(inside[axis] == size_m for axis, size_m in sizes.items())
    return MatchedInside(
        inside_m=(inside[0], inside[1], inside[2]),
        size_from="property" if is_said else "body",
        conflict=f"inside size: {'; '.join(against)}" if against else "",
        assumptions=tuple(notes),
    )


def _without_body(said: Sequence[Dimension]) -> MatchedInside:
    """Sizes in order of their roles: nothing tells which axis is which."""
    order = ("width", "length", "height", "depth")
    sizes = [each.readings_m[0] for each in sorted(said, key=lambda each: order.index(each.role))]
    padded = [*sizes, None, None, None]
    return MatchedInside(
        inside_m=(padded[0], padded[1], padded[2]),
        size_from="property",
        assumptions=("the box has no body: which side is which axis is taken in order",),
    )


def _of_sets(
    by_set: Mapping[tuple[int, str, str], list[Dimension]],
) -> tuple[tuple[Dimension, ...], tuple[str, ...]]:
    """Sizes of the most trusted sets, each role once, and those of others that agree with none."""
    kept: dict[Role, Dimension] = {}
    others: list[Dimension] = []
    for (rank, _, _), found in sorted(by_set.items(), key=lambda item: item[0]):
        is_full = len(kept) >= len(_AXES)
        is_lone = len(found) < _LEAST_DIMENSIONS and not found[0].is_clear
        if rank == _ANY and is_lone:
            continue
        for each in sorted(found, key=lambda one: (not one.is_clear, one.said_by)):
            if is_full or kept.setdefault(each.role, each) is not each:
                others.append(each)
    has_clear_depth = "depth" in kept and kept["depth"].is_clear
    if len(kept) > len(_AXES) and has_clear_depth:
        kept.pop("height", None)  # the nominal height is that of the clear depth
    sizes = [size for each in kept.values() for size in each.readings_m]
    notes = [
        f"{each.said_by} says {_mm(each.readings_m[0])}, which agrees with no size that was taken"
        for each in others
        if min(abs(size - own) for size in sizes for own in each.readings_m) > WALLS_EXPLAIN_M
    ]
    return tuple(kept.values()), tuple(notes)


def _dimensions_in(
    value: PropertyValue, *, unit_m: float, named: Mapping[str, Role]
) -> Iterator[Dimension]:
    name = plain_name(value.name)
    role = named.get(name) or _role(value.name)
    units_m = _units(value.name, unit_m)
    if name in ranked("inside_size"):
        texts = [lengths_in(text, units_m=units_m) for text in value.texts]
        triples = [lengths for lengths in texts if len(lengths) == len(_AXES)]
        roles: tuple[Role, ...] = ("width", "height", "depth")
        for lengths in triples[:1]:
            for each, its_role in zip(lengths, roles, strict=True):
                yield Dimension(said_by=value.label, role=its_role, readings_m=each, is_clear=True)
    elif role is not None and not value.is_quantity:
        readings = _lengths_m(value, units_m)
        if readings and min(readings) > 0:
            yield Dimension(
                said_by=value.label, role=role, readings_m=readings, is_clear=_is_clear(value.name)
            )


def _lengths_m(value: PropertyValue, units_m: tuple[float, ...]) -> tuple[float, ...]:
    if len(value.values) != 1:
        return ()
    if value.kind == "length":
        return value.numbers
    if value.kind == "number":
        return tuple(value.numbers[0] * each for each in units_m)
    lengths = lengths_in(value.texts[0], units_m=units_m) if value.kind == "text" else ()
    return lengths[0] if len(lengths) == 1 else ()


def _units(name: str, unit_m: float) -> tuple[float, ...]:
    """Units that a plain number may be in: that of its name, else the model's, mm or inches."""
    told = [UNITS_M[word] for word in _words(name) if word in UNITS_M]
    return tuple(told[:1]) or tuple(dict.fromkeys((unit_m, M_PER_MM, M_PER_INCH)))


@lru_cache(maxsize=4096)
def _role(name: str) -> Role | None:
    """Side that a property's name means, if it means nothing else."""
    sides = entries("box_sides")
    words = _words(name)
    nouns = [word for word in words if word in sides["noun"]]
    if len(nouns) != 1 or any(word not in (*sides["noun"], *sides["with"]) for word in words):
        return None
    roles: tuple[Role, ...] = ("length", "width", "height", "depth")
    return next(role for role in roles if role == nouns[0])


def _is_clear(name: str) -> bool:
    return any(word in entries("box_sides")["clear"] for word in _words(name))


def _words(name: str) -> tuple[str, ...]:
    return tuple(re.findall(r"[a-z]+", plain_words(name)))


def _reading(dimension: Dimension, reading: int) -> float:
    readings = dimension.readings_m
    return readings[min(reading, len(readings) - 1)]


def _mm(length_m: float) -> str:
    return f"{from_metres(length_m, 'mm'):.1f} mm"
