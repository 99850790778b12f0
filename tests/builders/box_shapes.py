"""Bodies of boxes, drawn about the middle of the inside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import product

import numpy as np

from tests.builders.meshes import FACETED, Mesh, shell
from tests.builders.pen import Entity, Pen
from tests.builders.plant import Box
from tests.builders.space import AXES, IDENTITY, Frame, Point, tup

FLANGE_M = 0.025
RIM_M = 0.010
_CORNERS = [(x, y, z) for z, y, x in product((-1, 1), repeat=3)]
_FACES = {
    "-z": (0, 2, 3, 1), "+z": (4, 5, 7, 6), "-y": (0, 1, 5, 4),
    "+y": (2, 6, 7, 3), "-x": (0, 4, 6, 2), "+x": (1, 3, 7, 5),
}  # fmt: skip
SIDES = tuple(_FACES)
Block = tuple[Point, Point]  # low and high corner
Hole = tuple[str, float, float, float]  # wall, u, v, radius


def _axis_and_end(side: str) -> tuple[int, int]:
    """Number of the axis, and 0 for its low end or 1 for its high one."""
    return "xyz".index(side[1]), int(side[0] == "+")


def _with_face(block: Block, side: str, shift_m: float) -> Block:
    """Move one face of a block outwards."""
    axis, end = _axis_and_end(side)
    corners = [list(block[0]), list(block[1])]
    corners[end][axis] += shift_m * (-1, 1)[end]
    return tup(np.array(corners[0])), tup(np.array(corners[1]))


def inside(box: Box) -> Block:
    """Give the room inside."""
    half = np.array(box.inside_m) / 2
    return tup(-half), tup(half)


def outside(box: Box, open_sides: Sequence[str] = ()) -> Block:
    """Give the block with its walls; no wall on an open side."""
    block = inside(box)
    for side in SIDES:
        if side not in open_sides:
            block = _with_face(block, side, box.wall_m)
    return block


def plate(box: Box, side: str, open_sides: Sequence[str] = ()) -> Block:
    """Wall on one side; x walls cover the edges of y walls and those the edges of z walls."""
    axis, end = _axis_and_end(side)
    rim = outside(box, open_sides)
    corners = [list(corner) for corner in inside(box)]
    for later in range(axis + 1, 3):
        corners[0][later], corners[1][later] = rim[0][later], rim[1][later]
    corners[1 - end][axis] = corners[end][axis]
    corners[end][axis] = rim[end][axis]
    return tup(np.array(corners[0])), tup(np.array(corners[1]))


def lid(box: Box, side: str) -> Block:
    """Plate on the outside of one side, a little larger than the box."""
    block = outside(box, (side,))
    for other in SIDES:
        if other[1] != side[1]:
            block = _with_face(block, other, RIM_M)
    axis, end = _axis_and_end(side)
    corners = [list(block[0]), list(block[1])]
    corners[1 - end][axis] = corners[end][axis]
    corners[end][axis] += box.wall_m * (-1, 1)[end]
    return tup(np.array(corners[0])), tup(np.array(corners[1]))


def _flange(box: Box, side: str) -> list[Block]:
    """Four strips that stand out round an open side."""
    rim = outside(box, (side,))
    axis, end = _axis_and_end(side)
    level = rim[end][axis]
    strips = []
    for other in (name for name in SIDES if name[1] != side[1]):
        across, far = _axis_and_end(other)
        corners = [list(rim[0]), list(rim[1])]
        corners[1 - far][across] = corners[far][across]
        corners[far][across] += FLANGE_M * (-1, 1)[far]
        corners[end][axis] = level
        corners[1 - end][axis] = level - box.wall_m * (-1, 1)[end]
        strips.append((tup(np.array(corners[0])), tup(np.array(corners[1]))))
    return strips


def skin(box: Box, open_sides: Sequence[str]) -> Mesh:
    """Closed skin of a box with walls, open on some sides (the rim is part of the skin)."""
    points = [
        tup(np.array([block[sign > 0][axis] for axis, sign in enumerate(signs)]))
        for block in (inside(box), outside(box, open_sides))
        for signs in _CORNERS
    ]
    faces: list[tuple[int, ...]] = []
    for side, face in _FACES.items():
        outer = tuple(index + 8 for index in face)
        if side in open_sides:
            ring = range(4)
            faces += [(outer[k], outer[k - 3], face[k - 3], face[k]) for k in ring]
        else:
            faces += [outer, tuple(reversed(face))]
    return Mesh(points, faces)


def sheet(box: Box, open_sides: Sequence[str]) -> Mesh:
    """Inner faces only, without thickness."""
    mesh = skin(box, ())
    faces = [face for side, face in _FACES.items() if side not in open_sides]
    return Mesh(mesh.points[:8], faces)


def items_of(
    pen: Pen, box: Box, *, body: str, cover: str, holes: Sequence[Hole] = ()
) -> tuple[list[Entity], str]:
    """Items of a box in one habit, and the type of representation they make."""
    open_sides = box.cover if cover in ("open", "plate") else ()
    if body == "mapped":
        return [_mapped(pen, box, cover)], "MappedRepresentation"
    items, kind = _walls(pen, box, body, open_sides, holes)
    if cover in ("plate", "lid"):
        items += [pen.block(*lid(box, side)) for side in box.cover]
    return items, kind


def _walls(
    pen: Pen, box: Box, body: str, open_sides: Sequence[str], holes: Sequence[Hole]
) -> tuple[list[Entity], str]:
    if body in ("block", "block-outer"):
        return [pen.block(*(inside(box) if body == "block" else outside(box)))], "SweptSolid"
    if body == "boolean":
        return [_boolean(pen, box, open_sides)], "CSG"
    if body in ("plates", "flange"):
        blocks = [plate(box, side, open_sides) for side in SIDES if side not in open_sides]
        if body == "flange":
            blocks += [strip for side in open_sides for strip in _flange(box, side)]
        return [pen.block(*block) for block in blocks], "SweptSolid"
    if body == "knockouts":
        sides = [side for side in SIDES if side not in open_sides]
        return [
            _pierced(pen, plate(box, side, open_sides), side, holes) for side in sides
        ], "SweptSolid"
    if body == "brep" and not open_sides:
        return [_hollow_brep(pen, box)], "Brep"
    draw, kind = FACETED["surface" if body == "sheet" else body]
    return [draw(pen, (sheet if body == "sheet" else skin)(box, open_sides))], kind


def _boolean(pen: Pen, box: Box, open_sides: Sequence[str]) -> Entity:
    """Outer block less inner block; the inner one sticks out of an open side."""
    room = inside(box)
    for side in open_sides:
        room = _with_face(room, side, 0.01)
    first, second = pen.block(*outside(box, open_sides)), pen.block(*room)
    return pen.make("IfcBooleanResult", "DIFFERENCE", first, second)


def _hollow_brep(pen: Pen, box: Box) -> Entity:
    mesh = skin(box, ())
    outer = Mesh(mesh.points, [face for face in mesh.faces if min(face) >= 8])
    inner = Mesh(mesh.points, [face for face in mesh.faces if max(face) < 8])
    void = shell(pen, inner, "IfcClosedShell")
    return pen.make("IfcFacetedBrepWithVoids", shell(pen, outer, "IfcClosedShell"), [void])


def _pierced(pen: Pen, wall: Block, side: str, holes: Sequence[Hole]) -> Entity:
    """Wall with a round hole for each entry, drawn out square to itself."""
    low, high = wall
    axis, _ = _axis_and_end(side)
    u, v = (k for k in range(3) if k != axis)
    middle = (np.array(low) + np.array(high)) / 2
    middle[axis] = low[axis]
    z, x = AXES[side[1]], AXES["xyz"[u]]
    frame = Frame.at(tup(middle), z, x)
    loop = [(low[u], low[v]), (high[u], low[v]), (high[u], high[v]), (low[u], high[v])]
    turn = frame.inverse
    flat = [_flat(turn, axis, middle[axis], at) for at in [*loop, loop[0]]]
    outline = pen.make("IfcPolyline", [pen.point(at) for at in flat])
    rounds = [
        pen.ring(radius, at=_flat(turn, axis, middle[axis], (hole_u, hole_v)))
        for name, hole_u, hole_v, radius in holes
        if name == side
    ]
    profile = ("AREA", None, outline)
    drawn = (
        pen.make("IfcArbitraryProfileDefWithVoids", *profile, rounds)
        if rounds
        else pen.make("IfcArbitraryClosedProfileDef", *profile)
    )
    return pen.extrusion(drawn, pen.frame(frame), high[axis] - low[axis])


def _flat(turn: Frame, axis: int, level: float, at: tuple[float, float]) -> tuple[float, float]:
    """Coordinates in a wall's own plane of a point given by its two other axes."""
    x, y, _ = turn.point(tup(np.insert(np.array(at), axis, level)))
    return x, y


def _mapped(pen: Pen, box: Box, cover: str) -> Entity:
    own = replace(pen, base=IDENTITY)
    items, kind = items_of(own, box, body="boolean", cover=cover)
    shape = own.make("IfcShapeRepresentation", pen.contexts["Body"], "Body", kind, items)
    source = own.make("IfcRepresentationMap", own.frame(IDENTITY), shape)
    x, y, z = (pen.direction(pen.base.vector(AXES[name])) for name in "xyz")
    origin = pen.point(pen.base.point((0.0, 0.0, 0.0)))
    operator = pen.make("IfcCartesianTransformationOperator3D", x, y, origin, 1.0, z)
    return own.make("IfcMappedItem", source, operator)
