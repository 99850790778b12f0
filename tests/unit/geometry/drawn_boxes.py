"""Bodies of boxes as faces, drawn about the middle of the inside."""

from itertools import product

import numpy as np

from modelcheck.geometry.box_measure import Component, measure_box

SIDES = ("-x", "+x", "-y", "+y", "-z", "+z")
_CORNERS = np.array(list(product((-0.5, 0.5), repeat=3)))
_FACES = ((0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3))


def moved(low, high, side, by):
    """Move one side of a block outwards."""
    low, high = np.array(low, dtype=float), np.array(high, dtype=float)
    if side[0] == "-":
        low["xyz".index(side[1])] -= by
    else:
        high["xyz".index(side[1])] += by
    return low, high


def corners(low, high):
    low, high = np.asarray(low, dtype=float), np.asarray(high, dtype=float)
    return (low + high) / 2 + _CORNERS * (high - low)


def block(low, high, missing=()):
    """Faces of a block; without those of the missing sides it is a sheet."""
    points = corners(low, high)
    return [
        [points[list(face)]]
        for side, face in zip(SIDES, _FACES, strict=True)
        if side not in missing
    ]


def outline(inside, walls, open_sides=()):
    """Corners of a box with walls of one thickness, or of a thickness each."""
    low, high = -np.array(inside) / 2, np.array(inside) / 2
    for side in SIDES:
        if side not in open_sides:
            low, high = moved(low, high, side, walls)
    return low, high


def shell(inside, walls, open_sides=()):
    """One closed skin, rims and all; without an open side, two skins one in the other."""
    half = np.array(inside) / 2
    within, without = corners(-half, half), corners(*outline(inside, walls, open_sides))
    faces = []
    for side, face in zip(SIDES, _FACES, strict=True):
        if side in open_sides:
            for here, there in zip(face, face[1:] + face[:1], strict=True):
                faces.append(
                    [np.array([without[here], without[there], within[there], within[here]])]
                )
        else:
            faces += [[without[list(face)]], [within[list(face)]]]
    return faces


def slab(inside, walls, side, *, thick, off=0.0, wider=0.0):
    """A plate over one side, from its inner face on."""
    low, high = outline(inside, walls, (side,))
    for other in SIDES:
        if other[1] != side[1]:
            low, high = moved(low, high, other, wider)
    axis = "xyz".index(side[1])
    if side[0] == "+":
        low[axis] = high[axis]
    else:
        high[axis] = low[axis]
    low, high = moved(low, high, side, off + thick)
    low, high = moved(low, high, ("-" if side[0] == "+" else "+") + side[1], -off)
    return block(low, high)


def plates(inside, walls, open_sides=()):
    """The walls as a plate each, x walls over the edges of the others."""
    drawn = {}
    for side in SIDES:
        if side not in open_sides:
            axis = "xyz".index(side[1])
            low, high = -np.array(inside) / 2, np.array(inside) / 2
            rim = outline(inside, walls, open_sides)
            for later in range(axis + 1, 3):
                low[later], high[later] = rim[0][later], rim[1][later]
            if side[0] == "+":
                low[axis], high[axis] = high[axis], rim[1][axis]
            else:
                low[axis], high[axis] = rim[0][axis], low[axis]
            drawn[side] = block(low, high)
    return drawn


def circle(middle, radius, axis, count=24):
    """Points round a circle square to an axis."""
    turn = np.arange(count) * 2 * np.pi / count
    points = np.zeros((count, 3))
    points[:, (axis + 1) % 3], points[:, (axis + 2) % 3] = np.cos(turn), np.sin(turn)
    return np.asarray(middle) + radius * points


def pierced(low, high, axis, holes):
    """A block with round holes through it along an axis; holes are (middle, radius)."""
    faces = []
    for face in block(low, high):
        if np.ptp(face[0][:, axis]) == 0:
            rounds = [circle(middle, radius, axis) for middle, radius in holes]
            for loop in rounds:
                loop[:, axis] = face[0][0, axis]
            faces.append([*face, *rounds])
        else:
            faces.append(face)
    for middle, radius in holes:
        ends = [circle(middle, radius, axis) for _ in range(2)]
        ends[0][:, axis], ends[1][:, axis] = low[axis], high[axis]
        after = [np.roll(end, -1, axis=0) for end in ends]
        faces += [
            [np.array([ends[0][k], after[0][k], after[1][k], ends[1][k]])]
            for k in range(len(ends[0]))
        ]
    return faces


def prism(radius, low, high, count=24):
    """A closed round body along z."""
    bottom, top = circle((0, 0, low), radius, 2, count), circle((0, 0, high), radius, 2, count)
    around = [[np.array([bottom[k - 1], bottom[k], top[k], top[k - 1]])] for k in range(count)]
    return [[bottom], [top], *around]


def triangles(faces):
    """The same faces without holes, as fans of triangles."""
    return [
        [np.array([loop[0], loop[k], loop[k + 1]])]
        for (loop,) in faces
        for k in range(1, len(loop) - 1)
    ]


def turn(about, degrees):
    """Matrix of a turn about a direction."""
    x, y, z = np.asarray(about) / np.linalg.norm(about)
    cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    angle = np.radians(degrees)
    return np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross


def placed(components, matrix, shift=(0, 0, 0)):
    """The same bodies turned by a matrix and moved."""
    return [
        Component(
            faces=[[loop @ matrix.T + shift for loop in face] for face in item.faces],
            name=item.name,
        )
        for item in components
    ]


def items(*bodies, **named):
    """Components of unnamed bodies and of named parts."""
    parts = [Component(faces=faces, name=name.replace("_", " ")) for name, faces in named.items()]
    return [*(Component(faces=faces) for faces in bodies), *parts]


def measured(*bodies, **named):
    return measure_box(items(*bodies, **named), np.eye(3))
