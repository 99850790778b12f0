"""Which elements a plant is built of: the straight pieces, elbows, couplings and connectors.

How it is cut up is the modeller's habit, so it depends on a `Cut`; the plant does not.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil

import numpy as np

from tests.builders.plant import AtBox, AtPoint, Plant, Route
from tests.builders.space import Arc, Leg, Line, Point, angle_between, tup, unit

CONNECTOR_M = 0.035
COUPLING_M = 0.060
SPIGOT_M = 0.020
GAP_M = 0.001
REDUCER_M = 0.100
_LETTER = {
    "segment": "S",
    "elbow": "E",
    "coupling": "C",
    "connector": "K",
    "cap": "X",
    "reducer": "U",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """How a modeller cuts a route into elements and where they stop."""

    elbows: str = "fitting"  # fitting, in-segment, mitre
    joints: str = "exact"  # exact, gap, spigot, coupling, coupling-over, coupling-into
    box_end: str = "inner"  # inner, outer, middle, far
    connectors: bool = False  # between conduit and box
    through: bool = False  # one conduit runs on through boxes it passes straight


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One element of a route."""

    id: str
    role: str  # a key of _LETTER
    legs: tuple[Leg, ...]
    route: Route  # of this piece's size: past a reducer it is another than the plant's
    bell: bool = False  # the one before it goes into a socket at its start
    normals: tuple[Point, Point] | None = None  # of its end faces, where they are cut askew

    @property
    def start(self) -> Point:
        """First point of its centre line."""
        return self.legs[0].start

    @property
    def end(self) -> Point:
        """Last point of its centre line."""
        return self.legs[-1].end

    @property
    def directions(self) -> tuple[Point, Point]:
        """Unit directions of travel at both ends."""
        return self.legs[0].directions[0], self.legs[-1].directions[1]

    @property
    def is_straight(self) -> bool:
        """True for one straight line."""
        return len(self.legs) == 1 and isinstance(self.legs[0], Line)

    @property
    def length_m(self) -> float:
        """Length along its centre line. [m]"""
        return sum(leg.length_m for leg in self.legs)

    @property
    def outside_m(self) -> float:
        """Outside diameter as drawn. [m]"""
        grown = self.role in ("coupling", "connector", "cap", "reducer")
        return self.route.outside_m + (0.008 if grown else 0.0)


Laid = dict[str, tuple[Piece, ...]]


def lay_out(plant: Plant, cut: Cut) -> Laid:
    """Pieces of every route in order, by route id."""
    laid = {route.id: tuple(_pieces(plant, route, cut)) for route in plant.routes}
    return _run_through(plant, laid) if cut.through else laid


def legs_of(plant: Plant, route: Route, cut: Cut) -> list[Leg]:
    """Centre line of a route from end to end; corners stay sharp where elbows are mitred."""
    points = [_stop(plant, route, 0, cut), *route.corners, _stop(plant, route, 1, cut)]
    legs: list[Leg] = []
    at = points[0]
    for before, corner, after in zip(points, points[1:], points[2:], strict=False):
        if cut.elbows == "mitre":
            legs.append(Line(at, corner))
            at = corner
            continue
        arc = Arc.in_corner(before, corner, after, route.radius_m)
        legs += [Line(at, arc.start), arc]
        at = arc.end
    return [*legs, Line(at, points[-1])]


def _stop(plant: Plant, route: Route, which: int, cut: Cut) -> Point:
    """Where the drawn conduit stops at one of its ends."""
    end = (route.start, route.end)[which]
    point, outward = plant.end_of(end)
    if not isinstance(end, AtBox) or outward is None:
        return point
    box = plant.box(end.box)
    across = box.inside_m["xyz".index(end.wall[1])]
    past = {"inner": 0.0, "outer": box.wall_m, "middle": -across / 2, "far": -across}
    faces = any(pair[1 - which].id == route.id for pair in facing_ends(plant))
    where = "middle" if cut.box_end == "far" and faces else cut.box_end
    return tup(np.array(point) + np.array(outward) * past[where])


def _pieces(plant: Plant, route: Route, cut: Cut) -> list[Piece]:
    legs = legs_of(plant, route, cut)
    _check_route(plant, route, legs)
    if cut.elbows == "in-segment":
        pieces = [_piece(route, "segment", 1, legs)]
    else:
        pieces = _sticks(route, legs)
        pieces = _mitred(pieces) if cut.elbows == "mitre" else _joined(route, pieces, cut)
    if route.reduced_to:
        pieces = _reduced(route, pieces)
    if cut.connectors:
        pieces = _with_connectors(route, pieces)
    for which, end in ((0, route.start), (1, route.end)):
        if isinstance(end, AtPoint) and end.cap:
            pieces.insert(which * len(pieces), _cap(route, pieces, which))
    return pieces


def _check_route(plant: Plant, route: Route, legs: list[Leg]) -> None:
    """Refuse a plant that could not be built: no room for an elbow, or an end askew to a wall."""
    for leg, later in pairwise(legs):
        if leg.length_m < 0.02:
            raise ValueError(f"{route.id}: no room for an elbow at {leg.start}")
        drift = angle_between(np.array(leg.directions[1]), np.array(later.directions[0]))
        if Arc in (type(leg), type(later)) and drift > 0.01:
            raise ValueError(f"{route.id}: elbows overlap at {later.start}")
    for end, along in ((route.start, legs[0].directions[0]), (route.end, legs[-1].directions[1])):
        _, outward = plant.end_of(end)
        sign = 1 if end is route.start else -1
        if outward and float(np.dot(along, outward)) * sign < 0.9999:
            raise ValueError(f"{route.id}: does not leave {end} square to the wall")


def _piece(route: Route, role: str, number: int, legs: list[Leg]) -> Piece:
    piece_id = f"{route.id}/{_LETTER[role]}{number}"
    return Piece(id=piece_id, role=role, legs=tuple(legs), route=route)


def _sticks(route: Route, legs: list[Leg]) -> list[Piece]:
    """Cut every straight leg into sticks and make each arc an elbow."""
    pieces: list[Piece] = []
    count = {"segment": 0, "elbow": 0}
    for leg in legs:
        parts: list[Leg] = [leg]
        if isinstance(leg, Line):
            number = ceil(leg.length_m / route.stick_m - 1e-9)
            cuts = [leg.point_at(k / number) for k in range(number + 1)]
            parts = [Line(a, b) for a, b in pairwise(cuts)]
        role = "elbow" if isinstance(leg, Arc) else "segment"
        for part in parts:
            count[role] += 1
            pieces.append(_piece(route, role, count[role], [part]))
    return pieces


def _shifted(piece: Piece, start_m: float, end_m: float) -> Piece:
    """Lengthen a straight piece by so much at either end."""
    leg = piece.legs[0]
    along = np.array(leg.directions[0])
    start = tup(np.array(leg.start) - along * start_m)
    end = tup(np.array(leg.end) + along * end_m)
    return replace(piece, legs=(Line(start, end),))


def _mitred(pieces: list[Piece]) -> list[Piece]:
    """Tell each piece the planes that its ends are cut to: halfway between two directions."""
    faces = [
        tup(unit(np.array(a.directions[1]) + np.array(b.directions[0])))
        for a, b in pairwise(pieces)
    ]
    starts = [pieces[0].directions[0], *faces]
    ends = [*faces, pieces[-1].directions[1]]
    return [
        replace(piece, normals=(first, last))
        for piece, first, last in zip(pieces, starts, ends, strict=True)
    ]


def _joined(route: Route, pieces: list[Piece], cut: Cut) -> list[Piece]:
    """Draw the joints between straight pieces as `cut` says; elbows keep their ends."""
    half = COUPLING_M / 2
    before_m, after_m = {
        "exact": (0.0, 0.0),
        "gap": (-GAP_M, 0.0),
        "spigot": (SPIGOT_M, 0.0),
        "coupling": (-half, -half),
        "coupling-over": (0.0, 0.0),
        "coupling-into": (-half / 2, -half / 2),
    }[cut.joints]
    out = [pieces[0]]
    for later in pieces[1:]:
        last = out[-1]
        if not last.role == later.role == "segment":
            out.append(later)
            continue
        joint, along = np.array(last.end), np.array(last.directions[1])
        out[-1] = _shifted(last, 0.0, before_m)
        if cut.joints.startswith("coupling"):
            number = 1 + sum(piece.role == "coupling" for piece in out)
            sleeve = Line(tup(joint - along * half), tup(joint + along * half))
            out.append(_piece(route, "coupling", number, [sleeve]))
        out.append(replace(_shifted(later, after_m, 0.0), bell=cut.joints == "spigot"))
    return out


def _reduced(route: Route, pieces: list[Piece]) -> list[Piece]:
    """Put a reducer in the middle of the first piece; what follows is of the other size."""
    first, *rest = pieces
    line, other = first.legs[0], replace(route, trade_size_in=route.reduced_to)
    half = REDUCER_M / 2 / line.length_m
    before, after = line.point_at(0.5 - half), line.point_at(0.5 + half)
    return [
        replace(first, legs=(Line(line.start, before),)),
        _piece(route, "reducer", 1, [Line(before, after)]),
        replace(_piece(other, "segment", 9, [Line(after, line.end)]), route=other),
        *(replace(piece, route=other) for piece in rest),
    ]


def _with_connectors(route: Route, pieces: list[Piece]) -> list[Piece]:
    """Put a connector between conduit and box; the conduit stops where it begins."""
    out = list(pieces)
    if isinstance(route.start, AtBox):
        first = out[0].legs[0]
        split = first.point_at(CONNECTOR_M / first.length_m)
        out[0] = replace(out[0], legs=(Line(split, first.end), *out[0].legs[1:]))
        out.insert(0, _piece(route, "connector", 1, [Line(first.start, split)]))
    if isinstance(route.end, AtBox):
        last = out[-1].legs[-1]
        split = last.point_at(1 - CONNECTOR_M / last.length_m)
        out[-1] = replace(out[-1], legs=(*out[-1].legs[:-1], Line(last.start, split)))
        out.append(_piece(route, "connector", 2, [Line(split, last.end)]))
    return out


def _cap(route: Route, pieces: list[Piece], which: int) -> Piece:
    """A short plug on an end, drawn as a disc that begins where the conduit stops."""
    piece = (pieces[0], pieces[-1])[which]
    along = np.array(piece.directions[which]) * (-0.02, 0.02)[which]
    at = (piece.start, piece.end)[which]
    beyond = tup(np.array(at) + along)
    return _piece(route, "cap", which + 1, [(Line(beyond, at), Line(at, beyond))[which]])


def _run_through(plant: Plant, laid: Laid) -> Laid:
    """Make one piece of two that leave a box by opposite walls in line with each other."""
    out = dict(laid)
    for first, second in facing_ends(plant):
        before, after = out[first.id][-1], out[second.id][0]
        if before.legs == after.legs or not (before.is_straight and after.is_straight):
            continue
        whole = replace(before, legs=(Line(before.start, after.end),))
        out[first.id] = (*out[first.id][:-1], whole)
        out[second.id] = (whole, *out[second.id][1:])
    return out


def facing_ends(plant: Plant) -> list[tuple[Route, Route]]:
    """Pairs of routes of which one ends in a box where the other goes straight on."""
    pairs = []
    for first in plant.routes:
        for second in plant.routes:
            a, b = first.end, second.start
            if not (isinstance(a, AtBox) and isinstance(b, AtBox) and a.box == b.box):
                continue
            sides = a.wall[1] == b.wall[1] and a.wall != b.wall
            if sides and (a.u_m, a.v_m) == (b.u_m, b.v_m):
                pairs.append((first, second))
    return pairs
