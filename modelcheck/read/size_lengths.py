"""Trade sizes read from lengths, plain numbers and drawn diameters: what each could mean."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from modelcheck.rules.raceways import (
    Designation,
    OutsideDiameter,
    by_metric_designator,
    by_trade_size,
    designations,
    outside_diameters,
)
from modelcheck.units import from_metres, to_metres

Alternatives = tuple[Designation, ...]  # what one value could mean, likeliest first

OUTSIDE, NOMINAL = "outside", "nominal"  # diameters that a body may be drawn with
CALLED = {OUTSIDE: "outside diameter", NOMINAL: "nominal size"}
EXACT_MM = 0.1  # a figure that was rounded to a tenth
_WHOLE_MM = 0.5  # a figure that was rounded to whole millimetres
_CHORDS = 0.005  # a mesh is thinner by its chords
_SAME_INCHES = 0.003
_FLEXIBLE = ("FMC", "LFMC")
_NARROWEST, SEGMENT_WIDEST = 0.97, 1.03  # of the nominal value, of the widest outside diameter
FITTING_WIDEST = 1.5  # a coupling or a hub is wider than its raceway
# Pipe sizes of ISO 6708 beside their inches; common practice in models, no source.
_DN = dict(
    zip(
        (15, 20, 25, 32, 40, 50, 65, 80, 90, 100, 125, 150),
        ("1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "3-1/2", "4", "5", "6"),
        strict=True,
    )
)


def sizes_of_number(value: float, *, unit_m: float, raceway_type: str = "") -> Alternatives:
    """What a plain number could mean: a size's name, or a length in the model's unit or mm.

    Parameters
    ----------
    value : float
        As the model holds it. [-]
    unit_m : float
        Length unit of the model. [m]
    raceway_type : str
    """
    bare = of_inches(value) or of_designator(value)
    if bare:
        return bare
    in_unit = sizes_of_length(value * unit_m, raceway_type=raceway_type)
    return in_unit or sizes_of_length(to_metres(value, "mm"), raceway_type=raceway_type)


def sizes_of_length(length_m: float, *, raceway_type: str = "") -> Alternatives:
    """What a length that is called a size could mean: designator, inches, outside diameter.

    Parameters
    ----------
    length_m : float
        [m]
    raceway_type : str
        Limits the outside diameters; empty if not known.
    """
    mm = from_metres(length_m, "mm")
    named = [size for size in designations() if _nominal_gap(mm, size) <= EXACT_MM]
    if abs(mm - round(mm)) <= EXACT_MM / 2:
        rounded = [size for size in designations() if _inch_gap(mm, size) <= _WHOLE_MM]
        named += [*of_dn(round(mm)), *rounded]
    tabulated = [row for row in _rows(raceway_type) if abs(_row_mm(row) - mm) <= EXACT_MM]
    outside = [by_trade_size(row.trade_size_in) for row in tabulated]
    return tuple(dict.fromkeys([*named, *(size for size in outside if size is not None)]))


def size_drawn(diameter_m: float, *, raceway_type: str = "") -> tuple[Designation | None, str]:
    """Size of a raceway by the diameter of its body alone, and the words that say so.

    Parameters
    ----------
    diameter_m : float
        As drawn. [m]
    raceway_type : str
        Limits the outside diameters; empty: those of the rigid types.

    Returns
    -------
    tuple of Designation or None, and str
        None where no size is near, or two are equally near.
    """
    mm = from_metres(diameter_m, "mm")
    outside, nominal = _nearest_outside(mm, raceway_type), _nearest_nominal(mm)
    if outside is not None and nominal is not None and outside[1] != nominal[1]:
        return _outside_or_nominal(mm, outside, nominal)
    if outside is not None:
        return outside[1], f"size taken from the drawn outside diameter of {mm:.1f} mm"
    if nominal is not None:
        return nominal[1], f"drawn {mm:.1f} mm in diameter: taken as drawn at the nominal size"
    of_type = f" of {raceway_type}" if raceway_type else ""
    return None, f"drawn {mm:.1f} mm in diameter, which is that of no size{of_type}"


def sizes_drawn(diameter_m: float, *, raceway_type: str = "") -> dict[str, Designation]:
    """Size by the diameter of its body, where that is outside, and where it is nominal.

    Parameters
    ----------
    diameter_m : float
        As drawn. [m]
    raceway_type : str
        Limits the outside diameters; empty: those of the rigid types.
    """
    mm = from_metres(diameter_m, "mm")
    near = {OUTSIDE: _nearest_outside(mm, raceway_type), NOMINAL: _nearest_nominal(mm)}
    return {drawn: each[1] for drawn, each in near.items() if each is not None}


def both_drawn(diameter_m: float, sizes: Mapping[str, Designation]) -> str:
    """Say what a drawn diameter is of each of two sizes.

    Parameters
    ----------
    diameter_m : float
        As drawn. [m]
    sizes : mapping of str to Designation
        As `sizes_drawn` gives them.
    """
    told = ", ".join(f"{CALLED[drawn]} of {size.label('in')}" for drawn, size in sizes.items())
    return f"drawn {from_metres(diameter_m, 'mm'):.1f} mm in diameter: {told}"


def could_be_drawn(diameter_m: float, size: Designation, *, widest: float = SEGMENT_WIDEST) -> bool:
    """True if a body of this diameter may be of `size`: from its nominal to its widest type's.

    Parameters
    ----------
    diameter_m : float
        As drawn. [m]
    size : Designation
    widest : float
        How far it may go over the largest outside diameter of the size. [-]
    """
    least_m = to_metres(size.inches, "in") * _NARROWEST
    return least_m <= diameter_m <= _widest_m(size.inches) * widest


@cache
def _widest_m(inches: float) -> float:
    """Largest outside diameter in metres of this size, or of the next that is tabulated."""
    by_inches: dict[float, float] = {}
    for row in outside_diameters():
        size = by_trade_size(row.trade_size_in)
        if size is not None and size.inches >= inches:
            by_inches[size.inches] = max(row.diameter_m, by_inches.get(size.inches, 0.0))
    return by_inches[min(by_inches)]


_Near = tuple[float, Designation, float]  # gap, size, and the diameter it was measured to [mm]


def _outside_or_nominal(
    mm: float, outside: _Near, nominal: _Near
) -> tuple[Designation | None, str]:
    """Choose between the outside diameter of one size and the nominal value of another."""
    both = both_drawn(to_metres(mm, "mm"), {OUTSIDE: outside[1], NOMINAL: nominal[1]})
    if abs(outside[2] - nominal[2]) <= EXACT_MM:  # 88.9 mm is both
        return outside[1], f"{both}; taken for the outside diameter"
    is_outside, is_nominal = outside[0] <= EXACT_MM, nominal[0] <= EXACT_MM
    if is_outside == is_nominal and abs(outside[0] - nominal[0]) <= EXACT_MM:
        return None, f"{both}; which of the two is not known"
    if is_outside or (not is_nominal and outside[0] < nominal[0]):
        return outside[1], f"size taken from the drawn outside diameter of {mm:.1f} mm"
    return nominal[1], f"{both}; taken as drawn at the nominal size"


def _nearest_outside(mm: float, raceway_type: str) -> _Near | None:
    rows = _rows(raceway_type)
    row = min(rows, key=lambda each: abs(_row_mm(each) - mm), default=None)
    loose_mm = _WHOLE_MM + _CHORDS * mm
    if row is None or abs(_row_mm(row) - mm) > loose_mm:
        return None
    size = by_trade_size(row.trade_size_in)
    return None if size is None else (abs(_row_mm(row) - mm), size, _row_mm(row))


def _nearest_nominal(mm: float) -> _Near | None:
    gap, _, size = min((_nominal_gap(mm, size), size.inches, size) for size in designations())
    if gap > _WHOLE_MM:
        return None
    inch_mm = from_metres(to_metres(size.inches, "in"), "mm")
    is_inch = _inch_gap(mm, size) <= gap
    return gap, size, inch_mm if is_inch else float(size.metric_designator)


@cache
def _rows(raceway_type: str) -> tuple[OutsideDiameter, ...]:
    """Outside diameters of a type; for an unknown one those of the rigid types.

    A flexible conduit of trade size 1/2 is as thick as a rigid one of 3/4.
    """
    return tuple(
        row
        for row in outside_diameters()
        if (row.raceway_type == raceway_type if raceway_type else row.raceway_type not in _FLEXIBLE)
    )


def _row_mm(row: OutsideDiameter) -> float:
    return from_metres(row.diameter_m, "mm")


def _inch_gap(mm: float, size: Designation) -> float:
    return abs(from_metres(to_metres(size.inches, "in"), "mm") - mm)


def _nominal_gap(mm: float, size: Designation) -> float:
    return min(_inch_gap(mm, size), abs(size.metric_designator - mm))


def of_inches(value: float) -> Alternatives:
    """Size of this trade size in inches, such as 1.25."""
    return tuple(size for size in designations() if abs(size.inches - value) <= _SAME_INCHES)


def of_designator(value: float) -> Alternatives:
    """Size of this metric designator."""
    size = by_metric_designator(round(value)) if value == round(value) else None
    return () if size is None else (size,)


def of_dn(value: int) -> Alternatives:
    """Size of this metric designator, or of this DN of ISO 6708."""
    size = by_metric_designator(value) or by_trade_size(_DN.get(value, ""))
    return () if size is None else (size,)
