"""Equipment and other elements that an open end of conduit may meet."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

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
    if not points:
        return ()
    ends = np.array(points)
    found = []
    for each in elements.candidates:
        try:
            faces = body_faces(each.shapes.of(each.entity))
        except DAMAGED:
            continue
        if not faces:
            continue
        corners = np.vstack([face[0] for face in faces])
        low, high = corners.min(axis=0) - _REACH_M, corners.max(axis=0) + _REACH_M
        if bool(((ends >= low) & (ends <= high)).all(axis=1).any()):
            triangles = triangles_of(faces)
            found.append(Equipment(ref=each.ref, triangles=triangles, ported_to=each.ported_to))
    return tuple(found)
