"""All ends of all pieces at once: which are near, face each other, or lie in another piece."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from functools import cached_property
from itertools import chain

import numpy as np

from modelcheck.geometry.neighbours import Line, close_pairs, points_near_lines
from modelcheck.geometry.vector_rows import (
    Array,
    angles_deg,
    dots,
    lengths,
    off_lines_m,
    pairs_of,
    rows_of,
)
from modelcheck.model.element import End

EndId = tuple[int, int]  # number of the piece and of its end
Pair = tuple[int, int]  # numbers of two ends


class EndTable:
    """Ends as rows of arrays, numbered through piece by piece.

    Parameters
    ----------
    ends : sequence of sequence of End
        Of each piece.
    lines : sequence of sequence of (Point, Point)
        Straight pieces of the centre line of each piece.
    slack : float
        Share of the smaller of two radii that one piece may lie off the axis of the other.
    join_m : float
        That any may. [m]
    """

    def __init__(
        self,
        ends: Sequence[Sequence[End]],
        lines: Sequence[Sequence[Line]],
        *,
        slack: float,
        join_m: float,
    ) -> None:
        self._slack, self._join_m = slack, join_m
        self.ids: list[EndId] = [
            (piece, end) for piece, own in enumerate(ends) for end in range(len(own))
        ]
        flat = [*chain.from_iterable(ends)]
        self._points = rows_of([end.point for end in flat])
        self._directions = rows_of([end.direction for end in flat])
        self._radii_m = np.array([end.radius_m or np.inf for end in flat])  # infinite: not known
        self._counts = np.array([len(own) for own in ends], int)
        self._firsts = np.cumsum(self._counts) - self._counts
        self._pieces = np.repeat(np.arange(len(ends)), self._counts)
        self._guests, self._hosts, self._axes = self._found_hosts(lines)

    def touching(self, ids: Sequence[EndId]) -> list[Pair]:
        """Places in `ids` of each two ends of two pieces that are near enough to be joined."""
        table = pairs_of(ids)
        pairs = close_pairs(self._points[self._firsts[table[:, 0]] + table[:, 1]], self._join_m)
        is_of_two = table[pairs[:, 0], 0] != table[pairs[:, 1], 0]
        return [(first, second) for first, second in pairs[is_of_two].tolist()]

    def between(self, pairs: Sequence[Pair]) -> list[tuple[float, float]]:
        """How far two ends are apart [m], and how one turns from one to the other. [deg]"""
        table = pairs_of(pairs)
        gaps_m = lengths(self._points[table[:, 1]] - self._points[table[:, 0]])
        return [*zip(gaps_m.tolist(), self._turns_deg(table).tolist(), strict=True)]

    def overlaps_m(
        self, facing_deg: float, depths_m: Sequence[float], are_caps: Sequence[bool]
    ) -> dict[Pair, float]:
        """How far ends that face each other go into each other.

        Parameters
        ----------
        facing_deg : float
            Most that one turns from one to the other. [deg]
        depths_m : sequence of float
            How far something can go into each end. [m]
        are_caps : sequence of bool
            Whether the piece of an end may lie in another altogether.
        """
        rows, others = self._ends_of_hosts
        pairs = np.column_stack([self._guests[rows], others])
        points, directions = self._points[pairs], self._directions[pairs]
        off_m = np.maximum(
            off_lines_m(points[:, 1], points[:, 0], directions[:, 0]),
            off_lines_m(points[:, 0], points[:, 1], directions[:, 1]),
        )
        slack_m = self._slack * self._radii_m[pairs].min(axis=1)
        slack_m = np.maximum(self._join_m, np.where(np.isinf(slack_m), 0.0, slack_m))
        spare_m = np.where(np.array(are_caps, bool)[pairs].any(axis=1), self._join_m, -self._join_m)
        deepest_m = np.array(depths_m, float)[pairs].min(axis=1) + spare_m
        in_m = -dots(points[:, 1] - points[:, 0], directions[:, 0])
        faces = (self._turns_deg(pairs) <= facing_deg) & (off_m <= slack_m)
        goes_in = faces & (in_m > 0.0) & (in_m <= deepest_m)
        return {
            (min(one, two), max(one, two)): own_m
            for (one, two), own_m in zip(
                pairs[goes_in].tolist(), in_m[goes_in].tolist(), strict=True
            )
        }

    def hosts_in_line(self, facing_deg: float, lengths_m: Sequence[float]) -> dict[EndId, set[int]]:
        """Pieces in whose body each end lies along their axis, and not past their ends.

        Parameters
        ----------
        facing_deg : float
            Most that an end turns from the axis. [deg]
        lengths_m : sequence of float
            Of each piece. [m]
        """
        turns_deg = angles_deg(self._directions[self._guests], self._axes)
        is_in = np.minimum(turns_deg, 180.0 - turns_deg) < facing_deg
        rows, others = self._ends_of_hosts
        out = self._points[self._guests[rows]] - self._points[others]
        is_near = lengths(out) < np.array(lengths_m, float)[self._pieces[others]] / 2
        is_past = dots(out, self._directions[others]) > self._join_m
        is_in[rows[is_near & is_past]] = False
        found: dict[EndId, set[int]] = defaultdict(set)
        for end, host in zip(
            self._guests[is_in].tolist(), self._hosts[is_in].tolist(), strict=True
        ):
            found[self.ids[end]].add(host)
        return dict(found)

    def _turns_deg(self, pairs: Array) -> Array:
        return angles_deg(self._directions[pairs[:, 0]], -self._directions[pairs[:, 1]])

    def _found_hosts(self, lines: Sequence[Sequence[Line]]) -> tuple[Array, Array, Array]:
        """Numbers of ends, the other pieces whose body they lie in, and its direction there."""
        known_m = self._radii_m[np.isfinite(self._radii_m)]
        reach_m = max(self._join_m, self._slack * float(known_m.max(initial=0.0)))
        flat = rows_of(chain.from_iterable(chain.from_iterable(lines))).reshape(-1, 2, 3)
        owners = np.repeat(np.arange(len(lines)), np.array([len(own) for own in lines], int))
        end, line = points_near_lines(self._points, flat, reach_m).T
        is_other = owners[line] != self._pieces[end]
        end, line = end[is_other], line[is_other]
        return end, owners[line], flat[line, 1] - flat[line, 0]

    @cached_property
    def _ends_of_hosts(self) -> tuple[Array, Array]:
        """Each row of the hosts with each end of the host: number of the row, and of the end."""
        counts = self._counts[self._hosts]
        rows = np.repeat(np.arange(len(counts)), counts)
        places = np.arange(len(rows)) - np.repeat(np.cumsum(counts) - counts, counts)
        return rows, self._firsts[self._hosts[rows]] + places
