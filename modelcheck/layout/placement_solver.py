"""Places of entries found by the solver, the same on every machine: its work is counted, not timed.

A start that is known is handed to it, so that it never gives back less.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from operator import le

from ortools.sat.python import cp_model

from modelcheck.layout.placement_model import Builder, PlacementModel
from modelcheck.layout.settle import Along, Placed, Settler, Steps

_WORK = 1.0  # allowed, in the solver's own deterministic seconds
_NOISE = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizing:
    """The least box that was found with places in it, and a volume that none is less than."""

    placed: Placed | None
    least_volume: int  # [steps]


def least_box(
    settler: Settler,
    low: Steps,
    high: Steps,
    along: Along,
    *,
    least_volume: int,
    start: Placed | None,
) -> Sizing:
    """Search the box of least volume, then depth, together with the places of its entries.

    Parameters
    ----------
    settler : Settler
    low, high : tuple of int, shape (3,)
        Between which each length lies. [steps]
    along : mapping
        What counts of the distance of pairs along their corner, if not all of it [1/FINE]. Where
        it is empty, no placement has less than the volume that is told.
    least_volume : int
        That no placement has less than. [steps]
    start : Placed or None
        A placement that is known.
    """
    made = Builder(
        stand=settler.stand,
        step_m=settler.step_m,
        low=low,
        high=high,
        along=along,
        least_volume=least_volume,
    ).build()
    depth = settler.stand.demands.depth_axis
    above = high[depth] + 1  # so that of two boxes of one volume the less deep is less
    made.model.minimize(above * made.volume + made.lengths[depth])
    if start is not None and all(map(le, start.size, high)):
        _hint(made, start)
    solver = _solver()
    status = solver.solve(made.model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE, cp_model.UNKNOWN):
        return Sizing(placed=None, least_volume=0)
    least = ceil((solver.best_objective_bound - high[depth]) / above - _NOISE)
    return Sizing(
        placed=None if status == cp_model.UNKNOWN else _placed(made, solver), least_volume=least
    )


def _hint(made: PlacementModel, start: Placed) -> None:
    for length, steps in zip(made.lengths, start.size, strict=True):
        made.model.add_hint(length, steps)
    centres = list(start.centres)
    for places in made.alike:
        in_order = sorted((centres[place] for place in places), key=lambda each: each[min(each)])
        for place, centre in zip(places, in_order, strict=True):
            centres[place] = centre
    for variables, centre in zip(made.centres, centres, strict=True):
        for axis, at in variables.items():
            made.model.add_hint(at, centre[axis] + start.size[axis] // 2)


def _solver() -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.interleave_search = True  # strategies in turn, by work and not by time
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = _WORK
    return solver


def _placed(made: PlacementModel, solver: cp_model.CpSolver) -> Placed:
    x, y, z = (solver.value(each) for each in made.lengths)
    size = (x, y, z)
    centres = tuple(
        {axis: solver.value(at) - size[axis] // 2 for axis, at in centre.items()}
        for centre in made.centres
    )
    return Placed(size=size, centres=centres)
