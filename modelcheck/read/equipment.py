"""Equipment and other elements that an open end of conduit may meet."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from modelcheck.model.element import Equipment, Point
from modelcheck.read.conduits import body_triangles
from modelcheck.read.curves import DAMAGED
from modelcheck.read.elements import Elements
from modelcheck.read.ifc_file import ModelFile

_REACH_M = 0.1


def equipment_at(
    files: Sequence[ModelFile],  # noqa: ARG001 - the candidates hold their own files
    elements: Elements,
    points: Sequence[Point],
) -> tuple[Equipment, ...]:
    """Elements whose body comes near one of `points`.

    Parameters
    ----------
    files : sequence of ModelFile
    elements : Elements
        Its candidates are looked at.
    points : sequence of points
        Open ends. [m]
    """
    if not points:
        return ()
    ends = np.array(points)
    found = []
    for each in elements.candidates:
        try:
            triangles = body_triangles(each.shapes.of(each.entity))
        except DAMAGED:
            continue
        if not triangles:
            continue
        corners = np.array(triangles).reshape(-1, 3)
        low, high = corners.min(axis=0) - _REACH_M, corners.max(axis=0) + _REACH_M
        if bool(((ends >= low) & (ends <= high)).all(axis=1).any()):
            found.append(Equipment(ref=each.ref, triangles=triangles, ported_to=each.ported_to))
    return tuple(found)
