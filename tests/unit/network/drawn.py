"""Hand-made pieces of raceway and boxes, and what is traced of them."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import atan2, cos, degrees, dist, radians, sin

from modelcheck.geometry.vectors import dot, minus, moved, reversed_of
from modelcheck.model.element import (
    Bend,
    Conduit,
    ElementRef,
    Enclosure,
    End,
    Equipment,
    RacewaySize,
    Role,
)
from modelcheck.model.settings import Settings
from modelcheck.network.runs import trace

RADIUS_M = 0.03
TWO_INCH = RacewaySize(
    raceway_type="EMT", trade_size_in="2", metric_designator=53, size_from="property"
)


def ref(name, model="m.ifc"):
    return ElementRef(
        model=model, guid=name, name=f"Piece {name}", tag=f"tag-{name}", step_id=sum(name.encode())
    )


def unit(a, b):
    length = dist(a, b)
    return tuple((y - x) / length for x, y in zip(a, b, strict=True))


def pipe(name, *points, role=Role.SEGMENT, radius_m=RADIUS_M, **changes):
    """Straight from point to point, the first and last of them its ends."""
    first, last = unit(points[0], points[1]), unit(points[-2], points[-1])
    values = {
        "ref": ref(name, changes.pop("model", "m.ifc")),
        "role": role,
        "size": TWO_INCH,
        "ends": (
            End(point=points[0], direction=reversed_of(first), radius_m=radius_m),
            End(point=points[-1], direction=last, radius_m=radius_m),
        ),
        "centreline": points,
        "length_m": sum(dist(a, b) for a, b in pairwise(points)),
    }
    return Conduit(**(values | changes))


def fitting(name, *points, **changes):
    return pipe(name, *points, role=Role.FITTING, radius_m=RADIUS_M + 0.004, **changes)


def cap(name, *points):
    return pipe(name, *points, role=Role.CAP)


def elbow(name, start, corner, end, *, drawn_deg=None, role=Role.FITTING):
    """Arc in the corner of two legs of the same length."""
    into, out = unit(start, corner), unit(corner, end)
    turn = atan2(dist(unit(start, corner), out) / 2, dist(reversed_of(into), out) / 2) * 2
    leg = dist(start, corner)
    radius = leg / (sin(turn / 2) / cos(turn / 2))
    name_of = ref(name)
    normal = minus(out, moved((0.0, 0.0, 0.0), into, dot(out, into)))
    normal = moved((0.0, 0.0, 0.0), normal, 1 / dist(normal, (0.0, 0.0, 0.0)))
    centre = moved(start, normal, radius)
    arc = []
    for step in range(17):
        along = turn * step / 16
        on_arc = moved(centre, normal, -radius * cos(along))
        arc.append(moved(on_arc, into, radius * sin(along)))
    bend = Bend(
        angle_deg=degrees(turn) if drawn_deg is None else drawn_deg,
        radius_m=radius,
        at=arc[8],
        element=name_of,
    )
    return Conduit(
        ref=name_of,
        role=role,
        size=TWO_INCH,
        ends=(
            End(point=start, direction=reversed_of(into), radius_m=RADIUS_M),
            End(point=end, direction=out, radius_m=RADIUS_M),
        ),
        centreline=(start, *arc[1:-1], end),
        bends=(bend,),
        length_m=radius * turn,
    )


def tee(name, centre, *arms, arm_m=0.1):
    ends = tuple(
        End(point=moved(centre, arm, arm_m), direction=arm, radius_m=RADIUS_M) for arm in arms
    )
    return Conduit(ref=ref(name), role=Role.FITTING, size=TWO_INCH, ends=ends)


def box(name, origin, inside_m=(0.6, 0.6, 0.3), *, wall_m=0.002, **changes):
    half = tuple(side / 2 + wall_m for side in inside_m)
    values = {
        "ref": ref(name),
        "origin": origin,
        "inside_m": inside_m,
        "outside_low_m": reversed_of(half),
        "outside_high_m": half,
    }
    return Enclosure(**(values | changes))


def block(low, high):
    """Triangles of a block along the axes."""
    corners = [
        (x, y, z) for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])
    ]
    quads = ((0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3))
    return tuple(
        triangle
        for a, b, c, d in quads
        for triangle in (
            (corners[a], corners[b], corners[c]),
            (corners[a], corners[c], corners[d]),
        )
    )


def equipment(name, low, high):
    return Equipment(ref=ref(name), triangles=block(low, high))


def traced(conduits, boxes=(), *, met=(), settings=None):
    return trace(tuple(conduits), tuple(boxes), lambda _: tuple(met), settings or Settings())


def ends(run):
    """What a run starts and ends at."""
    return tuple((end.kind, end.ref.guid if end.ref else "") for end in (run.start, run.end))


def names(run):
    return [each.guid for each in run.elements]


def told(network):
    """Everything that should hang on nothing but the geometry, rounded."""
    return (
        [
            (
                run.name,
                names(run),
                ends(run),
                round(run.length_m, 6),
                [(bend.element.guid, round(bend.angle_deg, 4)) for bend in run.bends],
                run.bend_conflict,
                run.assumptions,
            )
            for run in network.runs
        ],
        [
            (e.box.guid, e.conduit.guid, e.wall, round(e.u_m, 6), round(e.v_m, 6), e.run)
            for e in network.entries
        ],
        [
            (row.element.guid, row.other and row.other.guid, row.gap_m and round(row.gap_m, 6))
            for row in network.loose_ends
        ],
        network.assumptions,
    )


def turned(conduits, boxes, move):
    """Everything moved by `move`, a function of a point and whether it is a direction."""

    def conduit(each):
        return replace(
            each,
            ends=tuple(
                replace(end, point=move(end.point), direction=move(end.direction, is_vector=True))
                for end in each.ends
            ),
            centreline=tuple(move(point) for point in each.centreline),
            bends=tuple(replace(bend, at=move(bend.at)) for bend in each.bends),
        )

    def enclosure(each):
        axes = tuple(move(axis, is_vector=True) for axis in each.axes)
        return replace(each, origin=move(each.origin), axes=axes)

    return [conduit(each) for each in conduits], [enclosure(each) for each in boxes]


def motion(angles_deg, by):
    """Turn about x, y and z in this order, then shift."""

    def move(point, *, is_vector=False):
        x, y, z = point
        a, b, c = (radians(angle) for angle in angles_deg)
        y, z = y * cos(a) - z * sin(a), y * sin(a) + z * cos(a)
        z, x = z * cos(b) - x * sin(b), z * sin(b) + x * cos(b)
        x, y = x * cos(c) - y * sin(c), x * sin(c) + y * cos(c)
        shift = (0.0, 0.0, 0.0) if is_vector else by
        return (x + shift[0], y + shift[1], z + shift[2])

    return move
