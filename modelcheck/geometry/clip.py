"""Which stretches of paths lie in blocks along the axes of boxes, worked for all at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import NamedTuple

import numpy as np

from modelcheck.geometry.vector_rows import Array, lengths, rows_of
from modelcheck.model.element import WALLS, Point, Vector

_PARALLEL_M = 1e-12
_MERGE_M = 1e-7
_NO_WALL = -1


@dataclass(frozen=True, slots=True)
class Block:
    """Block along the axes of a box."""

    low: Vector
    high: Vector

    def gap_m(self, point: Point) -> float:
        """Distance of `point` from the block along the axis where it is farthest; 0 inside."""
        sides = zip(point, self.low, self.high, strict=True)
        return max(0.0, *(max(low - value, value - high) for value, low, high in sides))

    def beyond_m(self, point: Point, wall: str) -> float:
        """Distance of `point` from the plane of `wall`, outward."""
        axis = "xyz".index(wall[1])
        if wall[0] == "+":
            return point[axis] - self.high[axis]
        return self.low[axis] - point[axis]


class Stretch(NamedTuple):
    """Part of a path that lies in a block, with the walls through which it comes and goes."""

    start_m: float
    end_m: float
    wall_in: str  # empty: the path begins inside
    wall_out: str
    cosine_in: float  # between the path and the normal of the wall
    cosine_out: float


class LocalPaths:
    """Paths, each in the axes of a box.

    Parameters
    ----------
    paths : sequence of sequence of Point
        Two points at least each, in project coordinates.
    at_m : sequence of sequence of float
        Length of each path up to each of its points. [m]
    origins : sequence of Point
        Of the box of each path.
    axes : sequence of (Vector, Vector, Vector)
    """

    def __init__(
        self,
        paths: Sequence[Sequence[Point]],
        at_m: Sequence[Sequence[float]],
        origins: Sequence[Point],
        axes: Sequence[tuple[Vector, Vector, Vector]],
    ) -> None:
        counts = np.array([len(points) for points in paths], int)
        owners = np.repeat(np.arange(len(paths)), counts)
        offsets = rows_of(chain.from_iterable(paths)) - rows_of(origins)[owners]
        frames = rows_of(chain.from_iterable(axes)).reshape(-1, 3, 3)[owners]
        x, y, z = (offsets[:, axis, None] for axis in range(3))
        local = x * frames[:, :, 0] + y * frames[:, :, 1] + z * frames[:, :, 2]
        places_m = np.fromiter(chain.from_iterable(at_m), float)
        goes_on = np.flatnonzero(owners[1:] == owners[:-1])  # to the next point of its path
        self._owners = owners[goes_on]
        self._starts, self._along = local[goes_on], local[goes_on + 1] - local[goes_on]
        self._from_m, self._metres = places_m[goes_on], places_m[goes_on + 1] - places_m[goes_on]
        self._count = len(paths)

    def stretches(self, blocks: Sequence[Block]) -> list[list[Stretch]]:
        """Stretches of each path inside its block, in order.

        Parameters
        ----------
        blocks : sequence of Block
            One for each path.
        """
        found: list[list[Stretch]] = [[] for _ in range(self._count)]
        for owner, part in self._parts(blocks):
            own = found[owner]
            if own and part.start_m - own[-1].end_m < _MERGE_M:
                start_m, _, wall_in, _, cosine_in, _ = own.pop()
                own.append(part._replace(start_m=start_m, wall_in=wall_in, cosine_in=cosine_in))
            else:
                own.append(part)
        return found

    def _parts(self, blocks: Sequence[Block]) -> Iterator[tuple[int, Stretch]]:
        """What of each straight piece is inside, with the number of its path."""
        lows = rows_of([block.low for block in blocks])[self._owners]
        highs = rows_of([block.high for block in blocks])[self._owners]
        span = lengths(self._along)
        at_corner = _MERGE_M / np.maximum(span, _MERGE_M)  # a wall through a point of the path
        low, high = np.zeros(len(span)), np.ones(len(span))
        wall_in, wall_out = (np.full(len(span), _NO_WALL) for _ in range(2))
        is_beside = np.zeros(len(span), bool)
        for axis in range(3):
            step, at = self._along[:, axis], self._starts[:, axis]
            least, most = lows[:, axis], highs[:, axis]
            is_up, crosses = step > 0, np.abs(step) >= _PARALLEL_M
            is_beside |= ~crosses & ~((least <= at) & (at <= most))
            divisor = np.where(crosses, step, 1.0)
            enter = (np.where(is_up, least, most) - at) / divisor
            leave = (np.where(is_up, most, least) - at) / divisor
            enters = crosses & ((enter > low) | ((wall_in == _NO_WALL) & (enter > -at_corner)))
            low = np.where(enters, np.maximum(low, enter), low)
            wall_in = np.where(enters, 2 * axis + ~is_up, wall_in)
            leaves = crosses & (
                (leave < high) | ((wall_out == _NO_WALL) & (leave < 1.0 + at_corner))
            )
            high = np.where(leaves, np.minimum(high, leave), high)
            wall_out = np.where(leaves, 2 * axis + is_up, wall_out)
        inside = np.flatnonzero(~is_beside & ((high - low) * span >= _PARALLEL_M))
        start_m, end_m = (self._from_m + share * self._metres for share in (low, high))
        cosine_in, cosine_out = (self._cosines(wall, span) for wall in (wall_in, wall_out))
        names = np.array([*WALLS, ""])  # that of no wall is the last
        walls = (names[wall_in], names[wall_out])
        columns = (self._owners, start_m, end_m, *walls, cosine_in, cosine_out)
        for owner, *part in zip(*(column[inside].tolist() for column in columns), strict=True):
            yield owner, Stretch(*part)

    def _cosines(self, wall: Array, span: Array) -> Array:
        """Between each piece and the normal of a wall; 0 where there is none."""
        across = np.abs(self._along[np.arange(len(wall)), wall // 2])
        return np.where(wall == _NO_WALL, 0.0, across / np.maximum(span, _PARALLEL_M))
