"""Equipment and other elements that an open end of conduit may meet."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from modelcheck.geometry.neighbours import blocks_holding
from modelcheck.model.element import Equipment, Point
from modelcheck.read.conduits import body_faces, triangles_of
from modelcheck.read.curves import DAMAGED
from modelcheck.read.elements import Elements

_REACH_M = 0.1


def equipment_at(elements: Elements, points: Sequence[Point]) -> tuple[Equipment, ...]:
    """Elements whose body comes near one of `points`.

    Parameters
    ----------
    elements : Elements
        Its candidates are looked at.
    points : sequence of points
        Open ends. [m]
    """
    near = [each for each in elements.candidates if each.block] if points else []
    if not near:
        return ()
    blocks = np.array([each.block for each in near])
    held = blocks_holding(points, blocks[:, 0] - _REACH_M, blocks[:, 1] + _REACH_M)
    found = []
    for each in (near[number] for number in held):
        try:
            faces = body_faces(each.shapes.of(each.entity))
        except DAMAGED:
            continue
        triangles = triangles_of(faces)
        found.append(Equipment(ref=each.ref, triangles=triangles, ported_to=each.ported_to))
    return tuple(found)
