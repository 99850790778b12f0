"""Places of entries and an inside size as whole steps, with every constraint that bears on them.

All are exact on these steps but one: round a corner the nearest points of two circles count as far
apart along the corner as their centres, or a share of it. With the whole of it whatever passes
meets the model, and its least volume is a lower bound.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import combinations, pairwise
from math import ceil, floor

from ortools.sat.python import cp_model

from modelcheck.layout.settle import FINE, Along
from modelcheck.layout.stand import TOLERANCE_M, Stand
from modelcheck.model.demand import RowSum, SpacingDemand
from modelcheck.model.element import axis_of

Var = cp_model.IntVar
Expr = cp_model.LinearExpr
_NOISE = 1e-6  # of a step
_PARTS = 10_000  # of a step, that sums of sizes are written in


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacementModel:
    """The box as variables: its lengths, and each entry's centre from the low wall of each axis."""

    model: cp_model.CpModel
    lengths: tuple[Var, Var, Var]  # [steps]
    centres: tuple[dict[int, Var], ...]  # by entry, then axis
    volume: Var
    alike: tuple[tuple[int, ...], ...]  # entries kept in order along the first axis of their wall


@dataclass(slots=True, kw_only=True)
class Builder:
    """Puts the constraints of one box into a model."""

    stand: Stand
    step_m: float
    low: tuple[int, int, int]  # least that each length may be [steps]
    high: tuple[int, int, int]
    along: Along  # what counts of pairs round a corner; if not all [1/FINE]
    least_volume: int = 0
    model: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    lengths: list[Var] = field(default_factory=list)
    centres: list[dict[int, Var]] = field(default_factory=list)

    def build(self) -> PlacementModel:
        """Make the model."""
        self.lengths = [
            self.model.new_int_var(self.low[axis], self.high[axis], f"length{axis}")
            for axis in range(3)
        ]
        self.centres = [self._centre(place) for place in range(len(self.stand.case.entries))]
        self._even_lengths()
        self._keep_untold_cover()
        for one, other in combinations(range(len(self.centres)), 2):
            if self._wall(one) == self._wall(other):
                self._apart_on_one_wall(one, other)
        for spacing in self.stand.demands.spacings:
            if self.stand.turns_corner(spacing):
                self._apart_round_a_corner(spacing)
        for row_sum in self.stand.demands.row_sums:
            self._rows(row_sum)
        x, y, z = self.lengths
        return PlacementModel(
            model=self.model,
            lengths=(x, y, z),
            centres=tuple(self.centres),
            volume=self._volume(),
            alike=self._in_order(),
        )

    def _wall(self, place: int) -> str:
        return self.stand.case.entries[place].wall

    def _centre(self, place: int) -> dict[int, Var]:
        clear = ceil(self.stand.clearance_m(place) / self.step_m - _NOISE)
        own = axis_of(self._wall(place))
        centre = {
            axis: self.model.new_int_var(clear, self.high[axis], f"at{place}-{axis}")
            for axis in range(3)
            if axis != own
        }
        for axis, at in centre.items():
            self.model.add(at + clear <= self.lengths[axis])
        return centre

    def _even_lengths(self) -> None:
        """Let the middle of each wall lie on a step, so that places are whole from there too."""
        for axis in range(3):
            half = self.model.new_int_var(0, self.high[axis], f"half{axis}")
            self.model.add(self.lengths[axis] == 2 * half)

    def _keep_untold_cover(self) -> None:
        """Keep the dimension that an untold cover is taken to lie on the shallowest."""
        depth = self.stand.demands.depth_axis
        if not self.stand.case.enclosure.cover:
            for axis in {0, 1, 2} - {depth}:
                self.model.add(self.lengths[axis] > self.lengths[depth])

    def _apart_on_one_wall(self, one: int, other: int) -> None:
        first, second = self.centres[one], self.centres[other]
        across = [first[axis] - second[axis] for axis in first]
        self._at_least(across, self.stand.apart_m(one, other) / self.step_m)

    def _apart_round_a_corner(self, spacing: SpacingDemand) -> None:
        ends = (spacing.first, spacing.second)
        one, other = (axis_of(self._wall(place)) for place in ends)
        edge = 0.0 if self.stand.demands.between_centres else FINE / self.step_m
        rounded = ceil if ends in self.along else floor  # no bound is asked of what counts in part
        radii = [rounded(edge * (self.stand.demands.radii_m[place] or 0.0)) for place in ends]
        terms = [
            self._from_wall(spacing.first, self._wall(spacing.second)) - radii[0],
            self._from_wall(spacing.second, self._wall(spacing.first)) - radii[1],
        ]
        for term in terms:
            self.model.add(term >= 0)
        first, second = (self.centres[place][3 - one - other] for place in ends)
        share = self.along.get(ends, FINE)
        terms.append(share * first - share * second)
        self._at_least(terms, FINE * (spacing.distance_m - TOLERANCE_M) / self.step_m)

    def _from_wall(self, place: int, wall: str) -> Expr:
        """Distance of an entry's centre from the plane of another wall. [fine steps]"""
        at = self.centres[place][axis_of(wall)]
        return FINE * at if wall[0] == "-" else FINE * self.lengths[axis_of(wall)] - FINE * at

    def _at_least(self, terms: Iterable[Expr | Var], distance: float) -> None:
        """Ask that the root of the sum of the squares of `terms` is at least `distance`."""
        most = FINE * max(self.high)
        squares = []
        for term in terms:
            size = self.model.new_int_var(-most, most, "")
            self.model.add(size == term)
            square = self.model.new_int_var(0, most * most, "")
            self.model.add_multiplication_equality(square, [size, size])
            squares.append(square)
        self.model.add(sum(squares) >= ceil(distance * distance - _NOISE))

    def _rows(self, row_sum: RowSum) -> None:
        """Ask of a wall what its rows add up to, along both of its directions."""
        parts = {place: self._parts(size_m) for place, size_m in row_sum.counts_m}
        axis = axis_of(row_sum.wall)
        for across in (each for each in range(3) if each != axis):
            joined = self._joined(tuple(parts), across)
            for own in sorted(row_sum.turned & set(parts)):
                total = sum(
                    parts[other] * joined[min(own, other), max(own, other)]
                    for other in parts
                    if other != own
                )
                for largest, size in parts.items():
                    is_in = 1 if largest == own else joined[min(own, largest), max(own, largest)]
                    extra = round((row_sum.factor - 1) * size)
                    asked = parts[own] + total + extra * is_in - self._parts(TOLERANCE_M) - 1
                    self.model.add(_PARTS * self.lengths[axis] >= asked)

    def _parts(self, length_m: float) -> int:
        return round(length_m / self.step_m * _PARTS)

    def _joined(self, places: Sequence[int], across: int) -> dict[tuple[int, int], Var]:
        """Whether two entries are in one row: set wherever they are in line, or linked."""
        joined = {}
        for pair in combinations(sorted(places), 2):
            joined[pair] = self.model.new_bool_var(f"row{across}-{pair}")
            reach_m = min(self.stand.demands.radii_m[place] or 0.0 for place in pair)
            out = floor(reach_m / self.step_m + _NOISE) + 1
            sides = [self.model.new_bool_var("") for _ in pair]
            first, second = (self.centres[place][across] for place in pair)
            self.model.add(first - second >= out).only_enforce_if(sides[0])
            self.model.add(second - first >= out).only_enforce_if(sides[1])
            self.model.add_bool_or([*sides, joined[pair]])
        if self.stand.demands.linked_rows:
            for three in combinations(sorted(places), 3):
                links = [joined[pair] for pair in combinations(three, 2)]
                for link in links:
                    others = [~each for each in links if each is not link]
                    self.model.add_bool_or([link, *others])
        return joined

    def _in_order(self) -> tuple[tuple[int, ...], ...]:
        """Leave out arrangements that differ only by which of like entries stands where."""
        alike: dict[object, list[int]] = {}
        for place, entry in enumerate(self.stand.case.entries):
            if any(place in (each.first, each.second) for each in self.stand.demands.spacings):
                continue
            turned = any(place in each.turned for each in self.stand.demands.row_sums)
            kind = (entry.wall, self.stand.clearance_m(place), entry.size.trade_size_in, turned)
            alike.setdefault(kind, []).append(place)
        for places in alike.values():
            for one, next_one in pairwise(places):
                axis = min(self.centres[one])
                self.model.add(self.centres[one][axis] <= self.centres[next_one][axis])
        return tuple(tuple(places) for places in alike.values())

    def _volume(self) -> Var:
        x, y, z = self.lengths
        area = self.model.new_int_var(
            self.low[0] * self.low[1], self.high[0] * self.high[1], "area"
        )
        least = self.least_volume
        if self.stand.demands.volume_m3:
            least = max(least, ceil(self.stand.demands.volume_m3 / self.step_m**3 - _NOISE))
        most = self.high[0] * self.high[1] * self.high[2]
        volume = self.model.new_int_var(least, max(least, most), "volume")
        self.model.add_multiplication_equality(area, [x, y])
        self.model.add_multiplication_equality(volume, [area, z])
        return volume
