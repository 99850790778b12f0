"""What the page draws: centre lines as packed numbers, boxes unfolded."""

from __future__ import annotations

import sys
from array import array
from base64 import b64encode
from collections.abc import Sequence
from itertools import chain
from math import isfinite
from typing import Any

from modelcheck.model.element import Point
from modelcheck.model.pull import BoxCase, BoxPull
from modelcheck.model.report import RunRow
from modelcheck.write.drawing_net import Panel, unfold
from modelcheck.write.drawing_plan import known_pulls, pull_lines

_FAR_M = 100_000.0  # from the base; no project is that large
_LARGEST_M = 100_000_000.0  # a coordinate of any grid on earth


def packed_lines(rows: Sequence[RunRow], base: Point) -> dict[str, Any]:
    """Centre lines of runs, one after the other.

    Parameters
    ----------
    rows : sequence of RunRow
    base : tuple of float, shape (3,)
        Where the page counts from. [m]

    Returns
    -------
    dict
        `counts`, the number of points of each run, and `points`, all coordinates from `base` as
        32 bit floats, little-endian, in Base64. [m]
    """
    x0, y0, z0 = base
    points, counts = array("f"), list[int]()
    for row in rows:
        line = row.run.centreline
        values = [along for x, y, z in line for along in (x - x0, y - y0, z - z0)]
        is_near = isfinite(sum(values)) and max(map(abs, values), default=0.0) < _FAR_M
        counts.append(len(line) if is_near else 0)
        if is_near:
            points.fromlist(values)
    if sys.byteorder == "big":
        points.byteswap()
    return {"counts": counts, "points": b64encode(points.tobytes()).decode("ascii")}


def base_of(rows: Sequence[RunRow], cases: Sequence[BoxCase]) -> Point:
    """Place near the project in whole metres, so that what is counted from it stays small."""
    starts = (point for row in rows for point in row.run.centreline[:1])
    places = chain(starts, (case.enclosure.origin for case in cases))
    x, y, z = next((each for each in places if sum(map(abs, each)) < _LARGEST_M), (0.0, 0.0, 0.0))
    return (float(round(x)), float(round(y)), float(round(z)))


def unfolded(case: BoxCase) -> dict[str, Any]:
    """Walls of a box laid flat, its pulls, and what they carry."""
    net = unfold(case)
    return {
        "panels": [_panel(panel) for panel in net.panels],
        "pulls": [_pull(pull) for pull in known_pulls(case)],
        "pullLines": pull_lines(case),
    }


def _panel(panel: Panel) -> dict[str, Any]:
    return {
        "wall": panel.wall,
        "slot": panel.slot,
        "left": panel.left_wall,
        "lower": panel.lower_wall,
        "width": round(panel.width_mm, 1),
        "height": round(panel.height_mm, 1),
        "isCover": panel.is_cover,
        "holes": [
            [
                hole.number,
                round(hole.left_mm, 1),
                round(hole.below_mm, 1),
                None if hole.diameter_mm is None else round(hole.diameter_mm, 1),
            ]
            for hole in panel.holes
        ],
    }


def _pull(pull: BoxPull) -> dict[str, Any]:
    return {
        "entries": [place + 1 for place in pull.entries],
        "isSpliced": pull.spliced or len(pull.entries) == 1,
        "isSpare": pull.is_spare,
    }
