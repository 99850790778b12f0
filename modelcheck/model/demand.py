"""What the rows of a box ask of its size and of the places of its entries."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthDemand:
    """A least inside length; where raceways are summed by rows, with the entries as they stand."""

    axis: int
    length_m: float
    check: str
    working: str
    by_rows: bool = False  # another arrangement may ask less


@dataclass(frozen=True, slots=True, kw_only=True)
class SpacingDemand:
    """A least distance between two entries."""

    first: int  # places in `BoxCase.entries`
    second: int
    distance_m: float
    working: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RowSum:
    """What the entries of one wall ask, row by row, wherever they stand.

    An entry of `turned` asks `factor` x the largest of its row + the others of the row, by what
    each of `counts_m` adds; of each direction of the wall the larger.
    """

    wall: str
    turned: frozenset[int]
    counts_m: tuple[tuple[int, float], ...]  # entry, and its nominal size
    factor: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxDemands:
    """All that the rows of one box ask, under every pairing that is possible in it."""

    lengths: tuple[LengthDemand, ...] = ()
    spacings: tuple[SpacingDemand, ...] = ()
    row_sums: tuple[RowSum, ...] = ()
    volume_m3: float | None = None
    depth_axis: int = 2  # that the cover closes
    radii_m: tuple[float | None, ...] = ()  # outside, of each entry, at most
    names: tuple[str, ...] = ()  # of each entry, as the messages have it
    between_centres: bool = False  # spacing is measured between centres, not edges (D2)
    linked_rows: bool = True  # a row is everything linked through neighbours (D1)
