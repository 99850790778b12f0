"""Equipment and other elements that an open end of conduit may meet."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from modelcheck.geometry.neighbours import blocks_holding
from modelcheck.model.element import Equipment, Point
from modelcheck.read.conduits import body_faces, triangles_of
from modelcheck.read.curves import DAMAGED, Scales
from modelcheck.read.elements import Elements
from modelcheck.read.engine import Engine
from modelcheck.read.ifc_file import ModelFile
from modelcheck.read.shapes import Shapes

_REACH_M = 0.1


def equipment_at(
    elements: Elements, files: Sequence[ModelFile], points: Sequence[Point]
) -> tuple[Equipment, ...]:
    """Elements whose body comes near one of `points`.

    Parameters
    ----------
    elements : Elements
        Its candidates are looked at.
    files : sequence of ModelFile
        That it was read of.
    points : sequence of points
        Open ends. [m]
    """
    near = [each for each in elements.candidates if each.block] if points else []
    if not near:
        return ()
    blocks = np.array([each.block for each in near])
    held = blocks_holding(points, blocks[:, 0] - _REACH_M, blocks[:, 1] + _REACH_M)
    engine = Engine()
    handles = {file.model: file.handle for file in files}
    shapes = {file.model: Shapes(Scales.of(file.handle), engine, file.copies) for file in files}
    found = []
    for each in (near[number] for number in held):
        model, step_id = each.ref.key
        try:
            faces = body_faces(shapes[model].of(handles[model].by_id(step_id)))
        except DAMAGED:
            continue
        triangles = triangles_of(faces)
        found.append(Equipment(ref=each.ref, triangles=triangles, ported_to=each.ported_to))
    return tuple(found)
