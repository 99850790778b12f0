"""A box as its proposals see it: what is asked, and whether a size and its entries meet it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import dist, prod

from modelcheck.geometry.wall_gaps import gap_reaches
from modelcheck.geometry.walls import Circle, mouth
from modelcheck.model.demand import BoxDemands, SpacingDemand
from modelcheck.model.element import axis_of
from modelcheck.model.finding import Finding
from modelcheck.model.pull import BoxCase
from modelcheck.rules.locknuts import locknut
from modelcheck.rules.requirement import MEASURING_TOLERANCE_MM
from modelcheck.units import M_PER_CM, to_metres

TOLERANCE_M = to_metres(MEASURING_TOLERANCE_MM, "mm")
_FLOAT_NOISE_M = 1e-9

Lengths = tuple[float, float, float]  # inside along x, y and z [m]
Verdict = Callable[[BoxCase], Sequence[Finding]]  # every row of a box
Asks = Callable[[BoxCase], BoxDemands]  # what these rows ask


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortfall:
    """A row that a size and the places of the entries don't meet."""

    row: str
    working: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """The entries of a box with what is asked of them."""

    case: BoxCase
    demands: BoxDemands

    def resized(self, inside_m: Lengths) -> BoxCase:
        """Make the box so large; entries keep their place from the middle of their wall."""
        return replace(self.case, enclosure=replace(self.case.enclosure, inside_m=inside_m))

    def clearance_m(self, place: int) -> float:
        """Half of what an entry takes up on the inside of its wall: its locknut, or its mouth."""
        nut = locknut(self.case.entries[place].size.trade_size_in)
        return max(0.0 if nut is None else nut.radius_m, self.demands.radii_m[place] or 0.0)

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

    def shortfalls(self, inside_m: Lengths) -> list[Shortfall]:
        """What isn't met at this size, with the entries where they are."""
        return [
            *self._lengths_short(inside_m),
            *(
                Shortfall(row=self.spacing_name(pair), working=pair.working)
                for pair in self.demands.spacings
                if not self.is_apart(pair, inside_m)
            ),
            *self._volume_short(inside_m),
        ]

    def is_apart(self, pair: SpacingDemand, inside_m: Lengths) -> bool:
        """Whether two entries are far enough from each other, where they are."""
        ends = [self._mouth(place, inside_m) for place in (pair.first, pair.second)]
        first, second = ends
        if first is None or second is None:
            return False
        asked_m = pair.distance_m - TOLERANCE_M
        if self.demands.between_centres:
            return dist(first.centre, second.centre) >= asked_m
        return gap_reaches(first, second, asked_m)

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
        walls = [self.case.entries[place].wall for place in (pair.first, pair.second)]
        return axis_of(walls[0]) != axis_of(walls[1])

    def spacing_name(self, pair: SpacingDemand) -> str:
        """Name the row of two entries."""
        names = self.demands.names
        return f"entry-spacing of {names[pair.first]} and {names[pair.second]}"

    def _mouth(self, place: int, inside_m: Lengths) -> Circle | None:
        entry, radius_m = self.case.entries[place], self.demands.radii_m[place]
        if entry.u_m is None or entry.v_m is None or radius_m is None:
            return None
        return mouth(entry.wall, u_m=entry.u_m, v_m=entry.v_m, radius_m=radius_m, inside_m=inside_m)

    def _lengths_short(self, inside_m: Lengths) -> list[Shortfall]:
        return [
            Shortfall(row=f"{each.check} along {'xyz'[each.axis]}", working=each.working)
            for each in self.demands.lengths
            if inside_m[each.axis] + _FLOAT_NOISE_M < each.length_m - TOLERANCE_M
        ]

    def _volume_short(self, inside_m: Lengths) -> list[Shortfall]:
        volume_m3 = self.demands.volume_m3
        if volume_m3 is None or prod(inside_m) >= volume_m3:
            return []
        return [Shortfall(row="box-volume", working=f"{volume_m3 / M_PER_CM**3:.1f} cm3")]
