"""Bodies of boxes, drawn about the middle of the inside."""

from __future__ import annotations

import numpy as np

from tests.builders.pen import Entity, Pen
from tests.builders.plant import Box
from tests.builders.shapes import Mesh, brep, polygonal, shell, triangulated
from tests.builders.space import Point, tup

_CORNERS = [(x, y, z) for z in (-1, 1) for y in (-1, 1) for x in (-1, 1)]
_FACES = {
    "-z": (0, 2, 3, 1), "+z": (4, 5, 7, 6), "-y": (0, 1, 5, 4),
    "+y": (2, 6, 7, 3), "-x": (0, 4, 6, 2), "+x": (1, 3, 7, 5),
}  # fmt: skip


def inner_and_outer(box: Box, *, open_sides: tuple[str, ...]) -> list[tuple[Point, Point]]:
    """Low and high corner of the inside and of the outside; no wall on an open side."""
    half = np.array(box.inside_m) / 2
    low, high = -half, half.copy()
    out_low, out_high = -half - box.wall_m, half + box.wall_m
    for side in open_sides:
        axis = "xyz".index(side[1])
        if side[0] == "+":
            out_high[axis] = half[axis]
        else:
            out_low[axis] = -half[axis]
    return [(tup(low), tup(high)), (tup(out_low), tup(out_high))]


def block_item(pen: Pen, box: Box) -> list[Entity]:
    """Solid block of the inside size."""
    half = np.array(box.inside_m) / 2
    return [pen.block(tup(-half), tup(half))]


def boolean_items(pen: Pen, box: Box, open_sides: tuple[str, ...]) -> list[Entity]:
    """Outer block less inner block; the inner one sticks out of an open side."""
    (low, high), outer = inner_and_outer(box, open_sides=open_sides)
    cut_low, cut_high = list(low), list(high)
    for side in open_sides:
        axis = "xyz".index(side[1])
        if side[0] == "+":
            cut_high[axis] += 0.01
        else:
            cut_low[axis] -= 0.01
    first, second = pen.block(*outer), pen.block(tuple(cut_low), tuple(cut_high))  # type: ignore[arg-type]
    return [pen.make("IfcBooleanResult", "DIFFERENCE", first, second)]


def plate_boxes(box: Box, sides: tuple[str, ...]) -> dict[str, tuple[Point, Point]]:
    """Low and high corner of the plate on each of `sides`; x plates cover the edges."""
    (low, high), (out_low, out_high) = inner_and_outer(box, open_sides=())
    plates = {}
    for side in sides:
        axis = "xyz".index(side[1])
        a = [out_low[k] if k > axis else low[k] for k in range(3)]
        b = [out_high[k] if k > axis else high[k] for k in range(3)]
        a[axis], b[axis] = (
            (high[axis], out_high[axis]) if side[0] == "+" else (out_low[axis], low[axis])
        )
        plates[side] = (tuple(a), tuple(b))
    return plates  # type: ignore[return-value]


def plate_items(pen: Pen, box: Box, open_sides: tuple[str, ...]) -> list[Entity]:
    """One extruded plate a wall, all in one body."""
    sides = tuple(side for side in _FACES if side not in open_sides)
    return [pen.block(*corners) for corners in plate_boxes(box, sides).values()]


def lid_item(pen: Pen, box: Box, side: str, rim_m: float = 0.010) -> Entity:
    """Plate over one side, a little larger than the box, on its outside."""
    _, (out_low, out_high) = inner_and_outer(box, open_sides=(side,))
    axis = "xyz".index(side[1])
    low = [value - rim_m for value in out_low]
    high = [value + rim_m for value in out_high]
    if side[0] == "+":
        low[axis], high[axis] = out_high[axis], out_high[axis] + box.wall_m
    else:
        low[axis], high[axis] = out_low[axis] - box.wall_m, out_low[axis]
    return pen.block(tuple(low), tuple(high))  # type: ignore[arg-type]


def shell_mesh(box: Box, open_sides: tuple[str, ...]) -> Mesh:
    """Closed skin of a box with walls, open on some sides (the rim is part of the skin)."""
    (low, high), (out_low, out_high) = inner_and_outer(box, open_sides=open_sides)
    points = [_corner(low, high, signs) for signs in _CORNERS]
    points += [_corner(out_low, out_high, signs) for signs in _CORNERS]
    faces: list[tuple[int, ...]] = []
    for side, face in _FACES.items():
        outer = tuple(index + 8 for index in face)
        if side in open_sides:
            faces += [(outer[k], outer[(k + 1) % 4], face[(k + 1) % 4], face[k]) for k in range(4)]
        else:
            faces += [outer, tuple(reversed(face))]
    return Mesh(points, faces)


def _corner(low: Point, high: Point, signs: tuple[int, int, int]) -> Point:
    picked = [high[k] if signs[k] > 0 else low[k] for k in range(3)]
    return (picked[0], picked[1], picked[2])


def box_items(pen: Pen, box: Box, *, body: str, cover: str) -> list[Entity]:
    """Items of a box in one habit; `cover` is how the removable side shows, if it shows."""
    open_sides = box.cover if cover in ("open", "plate") else ()
    if body == "block":
        items = block_item(pen, box)
    elif body == "boolean":
        items = boolean_items(pen, box, open_sides)
    elif body == "plates":
        items = plate_items(pen, box, open_sides)
    elif body == "brep" and not open_sides:
        items = [_brep_with_void(pen, box)]
    else:
        draw = {"brep": brep, "mesh": triangulated, "polygons": polygonal}[body]
        items = [draw(pen, shell_mesh(box, open_sides))]
    if cover == "plate":
        items += [lid_item(pen, box, side) for side in box.cover]
    return items


def _brep_with_void(pen: Pen, box: Box) -> Entity:
    mesh = shell_mesh(box, ())
    outer = Mesh(mesh.points, [face for face in mesh.faces if min(face) >= 8])
    inner = Mesh(mesh.points, [face for face in mesh.faces if max(face) < 8])
    return pen.make("IfcFacetedBrepWithVoids", shell(pen, outer), [shell(pen, inner)])
