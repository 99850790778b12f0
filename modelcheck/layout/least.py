"""The least size that meets what is asked, in steps along each axis."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from heapq import heappop, heappush
from math import ceil, floor, inf, prod

from modelcheck.layout.stand import Lengths

_NOISE = 1e-6  # of a step

Meets = Callable[[Lengths], bool]  # once met, met by everything larger
Bounds = Callable[[int, Lengths], tuple[float, float]]  # of an axis, the others being so long
Steps = tuple[int, int, int]


@dataclass(frozen=True, kw_only=True)
class Scale:
    """Lengths that each axis may have: the first, then whole steps."""

    first_m: Lengths
    step_m: float

    def at(self, steps: Steps) -> Lengths:
        """Lengths so many steps up."""
        (x, y, z), (whole_x, whole_y, whole_z) = steps, self._whole
        (x_m, y_m, z_m), step_m = self.first_m, self.step_m
        return (
            (whole_x + x) * step_m if x else x_m,
            (whole_y + y) * step_m if y else y_m,
            (whole_z + z) * step_m if z else z_m,
        )

    def steps_to(self, axis: int, length_m: float) -> int:
        """How many steps up an axis is at least so long."""
        if length_m <= self.first_m[axis]:
            return 0
        return max(1, ceil(length_m / self.step_m - self._whole[axis]))

    @cached_property
    def _whole(self) -> list[int]:
        """Whole steps in the first lengths."""
        return [floor(first_m / self.step_m + _NOISE) for first_m in self.first_m]


def step_up(length_m: float, step_m: float) -> float:
    """Round up to a whole step.

    Parameters
    ----------
    length_m, step_m : float
        [m]
    """
    return ceil(length_m / step_m - _NOISE) * step_m


def least_length(
    first_m: float, most_m: float, step_m: float, meets: Callable[[float], bool]
) -> float:
    """Return the least length on the scale that meets, where the greatest does."""
    base = floor(first_m / step_m + _NOISE)
    low, high = 0, max(0, ceil((most_m - first_m) / step_m) + 1)
    while low < high:
        middle = (low + high) // 2
        length_m = first_m if not middle else (base + middle) * step_m
        low, high = (low, middle) if meets(length_m) else (middle + 1, high)
    return first_m if not low else (base + low) * step_m


def _no_bounds(_: int, __: Lengths) -> tuple[float, float]:
    return 0.0, inf


def least_lengths(
    scale: Scale, most: Steps, meets: Meets, *, bounds: Bounds = _no_bounds
) -> Lengths | None:
    """Find the lengths of least volume that meet, or None if the greatest don't.

    Branch and bound: as growing never harms, a range of sizes is no better than its least corner,
    and holds nothing if its greatest fails. The first least corner that meets is the answer.

    Parameters
    ----------
    scale : Scale
    most : tuple of int, shape (3,)
        How many steps up each axis may be.
    meets : callable
    bounds : callable
        Length of an axis that nothing shorter meets, and one from which on all meet, if any do
        with the others so long: what lies between is tried.
    """
    search = _Search(scale=scale, meets=meets, bounds=bounds)
    start = (0, 0, 0)
    if meets(scale.at(start)):
        return scale.at(start)
    if not meets(scale.at(most)):
        return None
    queue = [search.range_of(start, most, axes=range(3))]
    while queue:
        _, low, high = heappop(queue)
        if meets(scale.at(low)):
            return scale.at(low)
        widths = [most_steps - least for least, most_steps in zip(low, high, strict=True)]
        axis = widths.index(max(widths))
        middle = (low[axis] + high[axis]) // 2
        far = _with(low, axis, middle + 1)  # its greatest is the same, so each axis needs the same
        heappush(queue, (prod(scale.at(far)), far, high))
        near = _with(high, axis, middle)
        if meets(scale.at(near)):
            others = [each for each in range(3) if each != axis]
            heappush(queue, search.range_of(low, near, axes=others))
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Search:
    scale: Scale
    meets: Meets
    bounds: Bounds

    def range_of(
        self, low: Steps, high: Steps, *, axes: Iterable[int]
    ) -> tuple[float, Steps, Steps]:
        """Raise the least corner to what `axes` need with the others at their greatest."""
        scale = self.scale
        high_m = scale.at(high)
        for axis in axes:
            if low[axis] == high[axis]:
                continue
            too_short_m, enough_m = self.bounds(axis, high_m)
            least = max(low[axis], scale.steps_to(axis, too_short_m))
            most = high[axis] if enough_m == inf else scale.steps_to(axis, enough_m)
            most = max(least, min(most, high[axis]))
            while least < most:
                middle = (least + most) // 2
                if self.meets(scale.at(_with(high, axis, middle))):
                    most = middle
                else:
                    least = middle + 1
            low = _with(low, axis, least)
        return prod(scale.at(low)), low, high


def _with(steps: Steps, axis: int, count: int) -> Steps:
    x, y, z = steps
    return ((count, y, z), (x, count, z), (x, y, count))[axis]
