"""Centres of the entries on their walls in the least box that passes, with a lower bound."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil, prod

from ortools.sat.python import cp_model

from modelcheck.layout.placement_model import Builder, PlacementModel
from modelcheck.layout.stand import TOLERANCE_M, Lengths, Stand
from modelcheck.model.demand import LengthDemand
from modelcheck.model.element import axis_of
from modelcheck.model.pull import BoxCase
from modelcheck.units import Unit, to_metres

STEPS: dict[Unit, float] = {"mm": to_metres(1.0, "mm"), "in": to_metres(0.05, "in")}
_EFFORT, _EFFORT_OF_NEATNESS = 2.0, 0.3  # deterministic seconds: the same on every machine
_SOLVED = (cp_model.OPTIMAL, cp_model.FEASIBLE)
Steps = tuple[int, int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """An inside size with a place for every entry, and how good it can be known to be."""

    inside_m: Lengths
    centres_m: tuple[tuple[float, float], ...]  # of each entry, from the middle of its wall
    least_volume_m3: float  # no placement has less

    @property
    def excess(self) -> float:
        """By how much the volume may be above the least, as a share of the least."""
        return max(0.0, prod(self.inside_m) / self.least_volume_m3 - 1)

    def of(self, case: BoxCase) -> BoxCase:
        """Return the box with this size and its entries in these places."""
        entries = tuple(
            replace(entry, u_m=u_m, v_m=v_m)
            for entry, (u_m, v_m) in zip(case.entries, self.centres_m, strict=True)
        )
        enclosure = replace(case.enclosure, inside_m=self.inside_m)
        return replace(case, enclosure=enclosure, entries=entries)


def place_entries(stand: Stand, unit: Unit) -> Placement | None:
    """Place the entries in the least box; None if no placement was found.

    First the box is tried that has on each axis no more than its rows and its widest locknut ask:
    if the entries have places in it, nothing is less. Else the size is searched with the places.

    Parameters
    ----------
    stand : Stand
        With every entry of a known size.
    unit : {"mm", "in"}
        Of the results: sizes go by 2 mm or 0.1 in, places by half of that.
    """
    step_m = STEPS[unit]
    low = _least(stand, step_m)
    tight = Builder(stand=stand, step_m=step_m, is_loose=False, low=low, high=low).build()
    solver = _solved(tight)
    bound = prod(low)
    if solver is None or (stand.demands.volume_m3 or 0.0) > bound * step_m**3:
        high = _most(stand, low, step_m)
        strict = Builder(stand=stand, step_m=step_m, is_loose=False, low=low, high=high).build()
        strict.model.minimize(strict.volume)
        solver = _solved(strict)
        if solver is None:
            return None
        loose = Builder(stand=stand, step_m=step_m, is_loose=True, low=low, high=high).build()
        loose.model.minimize(loose.volume)
        bound = max(bound, _bound(loose))
        tight = strict
    size = tuple(solver.value(each) for each in tight.lengths)
    nearest = _nearest(stand, (size[0], size[1], size[2]), step_m)
    return _placement(*(nearest or (tight, solver)), step_m=step_m, bound=bound)


def _least(stand: Stand, step_m: float) -> Steps:
    x, y, z = (2 * ceil(_asked_m(stand, axis) / step_m / 2 - 1e-6) for axis in range(3))
    return (x, y, z)


def _asked_m(stand: Stand, axis: int) -> float:
    rows = [
        row_sum.factor * max(size for place, size in row_sum.counts_m if place in row_sum.turned)
        for row_sum in stand.demands.row_sums
        if axis_of(row_sum.wall) == axis and row_sum.turned
    ]
    lengths = [each.length_m for each in stand.demands.lengths if _is_fixed(each, axis)]
    room_m = [
        2 * stand.clearance_m(place)
        for place, entry in enumerate(stand.case.entries)
        if axis_of(entry.wall) != axis
    ]
    drawn_m = stand.case.enclosure.inside_m[axis] or 0.0  # kept where nothing bears on it
    return max([*(each - TOLERANCE_M for each in (*rows, *lengths)), *room_m], default=drawn_m)


def _is_fixed(demand: LengthDemand, axis: int) -> bool:
    return demand.axis == axis and not demand.by_rows


def _most(stand: Stand, low: Steps, step_m: float) -> Steps:
    """Lengths in which the entries surely have places: all in one line, fully spread."""
    furthest_m = max((each.distance_m for each in stand.demands.spacings), default=0.0)
    spread_m = sum(
        2 * stand.clearance_m(place) + furthest_m for place in range(len(stand.case.entries))
    )
    sums_m = [
        row.factor * max(size for _, size in row.counts_m) + sum(size for _, size in row.counts_m)
        for row in stand.demands.row_sums
    ]
    more = ceil((spread_m + max(sums_m, default=0.0)) / step_m / 2) * 2
    volume = ceil((stand.demands.volume_m3 or 0.0) ** (1 / 3) / step_m) * 2
    x, y, z = (each + max(more, volume) for each in low)
    return (x, y, z)


def _nearest(
    stand: Stand, size: Steps, step_m: float
) -> tuple[PlacementModel, cp_model.CpSolver] | None:
    """Places in a box of this size that move the entries least from where they are drawn."""
    made = Builder(stand=stand, step_m=step_m, is_loose=False, low=size, high=size).build()
    moves = []
    for entry, centre in zip(stand.case.entries, made.centres, strict=True):
        for (axis, at), offset_m in zip(centre.items(), (entry.u_m, entry.v_m), strict=True):
            drawn = size[axis] // 2 + round((offset_m or 0.0) / step_m)
            move = made.model.new_int_var(0, 2 * max(size) + abs(drawn), "")
            made.model.add_abs_equality(move, at - drawn)
            moves.append(move)
    made.model.minimize(sum(moves))
    solver = _solved(made, effort=_EFFORT_OF_NEATNESS)
    return None if solver is None else (made, solver)


def _solver(effort: float) -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1  # the same answer on every machine
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = effort
    return solver


def _solved(made: PlacementModel, *, effort: float = _EFFORT) -> cp_model.CpSolver | None:
    solver = _solver(effort)
    return solver if solver.solve(made.model) in _SOLVED else None


def _bound(made: PlacementModel) -> int:
    solver = _solver(_EFFORT)
    status = solver.solve(made.model)
    known = status in (*_SOLVED, cp_model.UNKNOWN)
    return ceil(solver.best_objective_bound - 1e-6) if known else 0


def _placement(
    made: PlacementModel, solver: cp_model.CpSolver, *, step_m: float, bound: int
) -> Placement:
    x, y, z = (solver.value(each) for each in made.lengths)
    size = (x, y, z)
    centres = []
    for centre in made.centres:
        u_m, v_m = ((solver.value(at) - size[axis] // 2) * step_m for axis, at in centre.items())
        centres.append((u_m, v_m))
    return Placement(
        inside_m=(x * step_m, y * step_m, z * step_m),
        centres_m=tuple(centres),
        least_volume_m3=bound * step_m**3,
    )
