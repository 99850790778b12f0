"""A box as its proposals see it: what is asked, and whether a size and its entries meet it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import prod
from typing import Protocol

from modelcheck.geometry.wall_gaps import Mouth, OnOneWall, RoundCorner
from modelcheck.model.demand import BoxDemands, SpacingDemand
from modelcheck.model.element import axis_of
from modelcheck.model.finding import Outcome
from modelcheck.model.pull import BoxCase
from modelcheck.rules.locknuts import locknut
from modelcheck.rules.requirement import MEASURING_TOLERANCE_MM
from modelcheck.units import M_PER_CM, to_metres

TOLERANCE_M = to_metres(MEASURING_TOLERANCE_MM, "mm")
_FLOAT_NOISE_M = 1e-9

Lengths = tuple[float, float, float]  # inside along x, y and z [m]


class Ruled(Protocol):
    """A box under its rules."""

    @property
    def demands(self) -> BoxDemands:
        """What its rows ask."""

    def outcomes(self, inside_m: Lengths) -> Sequence[tuple[str, Outcome]]:
        """Check and outcome of its rows, were it so large inside."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortfall:
    """A row that a size and the places of the entries don't meet."""

    row: str
    working: str


@dataclass(frozen=True, kw_only=True)
class Stand:
    """The entries of a box with what is asked of them."""

    case: BoxCase
    ruled: Ruled

    @cached_property
    def demands(self) -> BoxDemands:
        """What is asked of the entries."""
        return self.ruled.demands

    def clearance_m(self, place: int) -> float:
        """Half of what an entry takes up on the inside of its wall: its locknut, or its mouth."""
        return self._clear_m[place]

    @cached_property
    def _clear_m(self) -> list[float]:
        nuts = [locknut(entry.size.trade_size_in) for entry in self.case.entries]
        return [
            max(0.0 if nut is None else nut.radius_m, radius_m or 0.0)
            for nut, radius_m in zip(nuts, self.demands.radii_m, strict=True)
        ]

    @cached_property
    def room_m(self) -> list[float | None]:
        """Length along each axis that the locknuts need where they are; None where none lies."""
        reach_m: list[float | None] = [None, None, None]
        for entry, clear_m in zip(self.case.entries, self._clear_m, strict=True):
            along = [axis for axis in range(3) if axis != axis_of(entry.wall)]
            for axis, offset_m in zip(along, (entry.u_m, entry.v_m), strict=True):
                reach_m[axis] = max(reach_m[axis] or 0.0, 2 * (abs(offset_m or 0.0) + clear_m))
        return reach_m

    def clearance_notes(self) -> tuple[str, ...]:
        """Tell the entries of whose locknut no measure is known."""
        untold = [
            name
            for name, entry in zip(self.demands.names, self.case.entries, strict=True)
            if locknut(entry.size.trade_size_in) is None
        ]
        if not untold:
            return ()
        return (f"no locknut is tabulated for {', '.join(untold)}: only the raceway is kept clear",)

    def shortfalls(self, inside_m: Lengths) -> Iterator[Shortfall]:
        """What isn't met at this size, with the entries where they are."""
        for length in self.demands.lengths:
            if inside_m[length.axis] + _FLOAT_NOISE_M < length.length_m - TOLERANCE_M:
                row = f"{length.check} along {'xyz'[length.axis]}"
                yield Shortfall(row=row, working=length.working)
        for pair, gap in self.gaps:
            if gap is None or not gap.reaches(pair.distance_m - TOLERANCE_M, inside_m):
                yield Shortfall(row=self.spacing_name(pair), working=pair.working)
        volume_m3 = self.demands.volume_m3
        if volume_m3 is not None and prod(inside_m) < volume_m3:
            yield Shortfall(row="box-volume", working=f"{volume_m3 / M_PER_CM**3:.1f} cm3")

    def meets(self, inside_m: Lengths) -> bool:
        """Whether all is met at this size, with the entries where they are."""
        return next(self.shortfalls(inside_m), None) is None

    def apart_m(self, one: int, other: int) -> float:
        """Least distance of the centres of two entries of one wall, their locknuts clear."""
        clear_m = self.clearance_m(one) + self.clearance_m(other)
        asked = next(
            (e for e in self.demands.spacings if {e.first, e.second} == {one, other}), None
        )
        if asked is None:
            return clear_m
        edges_m = 0.0
        if not self.demands.between_centres:
            edges_m = sum(self.demands.radii_m[place] or 0.0 for place in (one, other))
        return max(clear_m, asked.distance_m - TOLERANCE_M + edges_m)

    def keeps_cover(self, lengths: Sequence[float]) -> bool:
        """Whether an untold cover's dimension stays the shallowest."""
        depth = self.demands.depth_axis
        return bool(self.case.enclosure.cover) or all(
            length > lengths[depth] for axis, length in enumerate(lengths) if axis != depth
        )

    def turns_corner(self, pair: SpacingDemand) -> bool:
        """Whether a larger box takes the two apart."""
        first, second = self.axes(pair)
        return first != second

    def axes(self, pair: SpacingDemand) -> tuple[int, int]:
        """Axes that the walls of two entries are square to."""
        entries = self.case.entries
        return axis_of(entries[pair.first].wall), axis_of(entries[pair.second].wall)

    def spacing_name(self, pair: SpacingDemand) -> str:
        """Name the row of two entries."""
        names = self.demands.names
        return f"entry-spacing of {names[pair.first]} and {names[pair.second]}"

    @cached_property
    def gaps(self) -> tuple[tuple[SpacingDemand, OnOneWall | RoundCorner | None], ...]:
        """Entries that are to be apart with what tells it; None if one isn't placed or sized."""
        mouths = [self._mouth(place) for place in range(len(self.case.entries))]
        return tuple(
            (pair, _gap(mouths[pair.first], mouths[pair.second])) for pair in self.demands.spacings
        )

    def _mouth(self, place: int) -> Mouth | None:
        entry, radius_m = self.case.entries[place], self.demands.radii_m[place]
        if entry.u_m is None or entry.v_m is None or radius_m is None:
            return None
        edge_m = 0.0 if self.demands.between_centres else radius_m
        return Mouth(wall=entry.wall, u_m=entry.u_m, v_m=entry.v_m, radius_m=edge_m)


def _gap(first: Mouth | None, second: Mouth | None) -> OnOneWall | RoundCorner | None:
    if first is None or second is None:
        return None
    measure = OnOneWall if first.axis == second.axis else RoundCorner
    return measure.of(first, second)
