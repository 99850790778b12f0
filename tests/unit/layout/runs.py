"""Runs drawn by hand: a walk of straights and bends, true to what tracing gives."""

from dataclasses import replace
from math import dist, radians

import numpy as np

from modelcheck.geometry.path import turned
from modelcheck.model.element import Bend
from modelcheck.model.run import Run, RunEnd, RunPart
from tests.box_cases import ref, size

STEPS = 12


def straight(length_m, name=None, *, coupling=False):
    return ("straight", length_m, name, coupling)


def bent(angle_deg, radius_m, toward, name=None):
    """Bend of an elbow toward a vector that needs not be square to the run."""
    return ("bend", angle_deg, radius_m, toward, name)


def drawn(*steps, start=(0.0, 0.0, 0.0), direction=(1.0, 0.0, 0.0), trade_size_in="2", **more):
    """Run of one element a step."""
    point, ahead = np.array(start), np.array(direction)
    ahead = ahead / np.linalg.norm(ahead)
    parts, at_m = [], 0.0
    for number, step in enumerate(steps, start=1):
        element = ref(step[-1] if step[0] == "bend" and step[-1] else f"E{number}")
        if step[0] == "straight":
            _, length_m, name, coupling = step
            points, bends = [point, point + length_m * ahead], ()
            element = ref(name or f"E{number}")
        else:
            coupling = False
            points, ahead, bends, length_m = arc(point, ahead, step, element)
        tuples = tuple(tuple(float(each) for each in p) for p in points)
        parts.append(
            RunPart(
                element=element,
                is_coupling=coupling,
                from_m=at_m,
                to_m=at_m + length_m,
                points=tuples,
                bends=bends,
            )
        )
        point, at_m = points[-1], at_m + length_m
    run = Run(
        name="R-1",
        elements=tuple(part.element for part in parts),
        start=RunEnd(kind="box", point=parts[0].points[0], ref=ref("B1")),
        end=RunEnd(kind="box", point=parts[-1].points[-1], ref=ref("B2")),
        size=size(trade_size_in),
        raceway_types=("EMT",),
        length_m=at_m,
        bends=tuple(bend for part in parts for bend in part.bends),
        centreline=tuple(point for part in parts for point in part.points),
        parts=tuple(parts),
    )
    return replace(run, **more)


def arc(point, ahead, step, element):
    _, angle_deg, radius_m, toward, _ = step
    side = np.array(toward, dtype=float) - np.dot(toward, ahead) * ahead
    side = side / np.linalg.norm(side)
    axis, total = np.cross(ahead, side), radians(angle_deg)
    if not radius_m:
        bend = Bend(angle_deg=angle_deg, radius_m=None, at=tuple(point), element=element)
        return [point, point], turned(ahead, axis, total), (bend,), 0.0
    centre = point + radius_m * side
    points = [
        centre + turned(point - centre, axis, total * share / STEPS) for share in range(STEPS + 1)
    ]
    as_tuples = [tuple(float(each) for each in p) for p in points]
    assert dist(as_tuples[0], tuple(point)) < 1e-9
    bend = Bend(
        angle_deg=angle_deg,
        radius_m=radius_m,
        at=as_tuples[STEPS // 2],
        element=element,
        arc=(as_tuples[0], as_tuples[-1]),
    )
    return points, turned(ahead, axis, total), (bend,), radius_m * total
