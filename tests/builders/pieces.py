"""Which elements a plant is built of: the straight pieces, elbows, couplings and connectors.

How it is cut up is the modeller's habit, so it depends on a `Cut`; the plant does not.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from math import ceil, radians, tan

import numpy as np

from tests.builders.plant import AtBox, Plant, Route
from tests.builders.space import Arc, Leg, Line, Point, angle_between, tup, unit

CONNECTOR_M = 0.030
COUPLING_OF_OUTSIDE = 1.5  # length of a coupling in outside diameters
SPIGOT_M = 0.020
GAP_M = 0.001


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """How a modeller cuts a route into elements and where they stop."""

    elbows: str = "fitting"  # fitting, in-segment, mitre
    joints: str = "exact"  # exact, gap, spigot, coupling, coupling-over
    box_end: str = "inner"  # inner, outer, middle, far
    connectors: bool = False  # between conduit and box


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One element of a route."""

    id: str
    role: str  # segment, elbow, coupling, connector, cap
    legs: tuple[Leg, ...]
    route: Route

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
    def outside_m(self) -> float:
        """Outside diameter as drawn. [m]"""
        grown = self.role in ("coupling", "connector", "cap")
        return self.route.outside_m + (0.008 if grown else 0.0)


def lay_out(plant: Plant, cut: Cut) -> dict[str, tuple[Piece, ...]]:
    """Pieces of every route in order, by route id."""
    return {route.id: tuple(_pieces(plant, route, cut)) for route in plant.routes}


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
    past = {
        "inner": 0.0,
        "outer": box.wall_m,
        "middle": -box.inside_m["xyz".index(end.wall[1])] / 2,
        "far": -box.inside_m["xyz".index(end.wall[1])],
    }[cut.box_end]
    return tup(np.array(point) + np.array(outward) * past)


def _pieces(plant: Plant, route: Route, cut: Cut) -> list[Piece]:
    legs = legs_of(plant, route, cut)
    _check_route(plant, route, legs)
    if cut.elbows == "in-segment":
        pieces = [_piece(route, "segment", 1, legs)]
    else:
        pieces = _sticks(route, legs)
        pieces = _joined(route, pieces, cut)
    if cut.connectors:
        pieces = _with_connectors(route, pieces)
    for which, end in ((0, route.start), (1, route.end)):
        if getattr(end, "cap", False):
            pieces.insert(which * len(pieces), _cap(route, pieces, which))
    return pieces


def _check_route(plant: Plant, route: Route, legs: list[Leg]) -> None:
    """Refuse a plant that could not be built: short legs, or ends that are not square to a wall."""
    for leg in legs:
        if leg.length_m < 0.02:
            raise ValueError(f"{route.id}: no room for an elbow at {leg.start}")
    for leg, later in itertools.pairwise(legs):
        if isinstance(leg, Line) and isinstance(later, Arc):
            drift = angle_between(leg.directions[1], later.directions[0])  # type: ignore[arg-type]
            if drift > 0.01:
                raise ValueError(f"{route.id}: elbows overlap at {later.start}")
    for end, along in ((route.start, legs[0].directions[0]), (route.end, legs[-1].directions[1])):
        _, outward = plant.end_of(end)
        sign = 1 if end is route.start else -1
        if outward and float(np.dot(along, outward)) * sign < 0.9999:
            raise ValueError(f"{route.id}: does not leave {end} square to the wall")


def _piece(route: Route, role: str, number: int, legs: list[Leg]) -> Piece:
    letter = {"segment": "S", "elbow": "E", "coupling": "C", "connector": "K", "cap": "X"}[role]
    return Piece(id=f"{route.id}/{letter}{number}", role=role, legs=tuple(legs), route=route)


def _sticks(route: Route, legs: list[Leg]) -> list[Piece]:
    pieces: list[Piece] = []
    count = {"segment": 0, "elbow": 0}
    for leg in legs:
        parts: list[Leg] = [leg]
        if isinstance(leg, Line):
            number = ceil(leg.length_m / route.stick_m - 1e-9)
            cuts = [leg.point_at(k / number) for k in range(number + 1)]
            parts = [Line(a, b) for a, b in itertools.pairwise(cuts)]
        role = "elbow" if isinstance(leg, Arc) else "segment"
        for part in parts:
            count[role] += 1
            pieces.append(_piece(route, role, count[role], [part]))
    return pieces


def _shifted(piece: Piece, start_m: float, end_m: float) -> Piece:
    """Lengthen a straight piece by so much at either end; elbows stay as they are."""
    leg = piece.legs[0]
    if isinstance(leg, Arc) or len(piece.legs) > 1:
        return piece
    along = unit(np.subtract(leg.end, leg.start))
    start = tup(np.array(leg.start) - along * start_m)
    end = tup(np.array(leg.end) + along * end_m)
    return replace(piece, legs=(Line(start, end),))


def _joined(route: Route, pieces: list[Piece], cut: Cut) -> list[Piece]:
    """Draw the joints between straight pieces and whatever follows as `cut` says."""
    if cut.joints == "exact" or cut.elbows == "mitre":
        return pieces
    half = COUPLING_OF_OUTSIDE * route.outside_m / 2
    grow = {"gap": -GAP_M, "spigot": SPIGOT_M, "coupling": -half, "coupling-over": 0.0}[cut.joints]
    out: list[Piece] = []
    couplings = 0
    for piece, later in zip(pieces, [*pieces[1:], None], strict=True):
        straight = later is not None and piece.role == later.role == "segment"
        if cut.joints == "gap":
            straight = later is not None and piece.role == "segment"
        if not straight:
            out.append(piece)
            continue
        assert later is not None
        out.append(_shifted(piece, 0.0, grow))
        if cut.joints.startswith("coupling"):
            couplings += 1
            joint = Line(piece.end, tup(np.array(piece.end) + np.array(piece.directions[1])))
            sleeve = Line(joint.point_at(-half), joint.point_at(half))
            out.append(_piece(route, "coupling", couplings, [sleeve]))
    if cut.joints != "coupling":
        return out
    return [
        _shifted(piece, -half, 0.0) if before is not None and before.role == "coupling" else piece
        for before, piece in zip([None, *out[:-1]], out, strict=True)
    ]


def _with_connectors(route: Route, pieces: list[Piece]) -> list[Piece]:
    """Put a connector between conduit and box; the conduit stops where it begins."""
    out = list(pieces)
    if isinstance(route.start, AtBox):
        first = out[0].legs[0]
        assert isinstance(first, Line)
        split = first.point_at(CONNECTOR_M / first.length_m)
        out[0] = replace(out[0], legs=(Line(split, first.end), *out[0].legs[1:]))
        out.insert(0, _piece(route, "connector", 1, [Line(first.start, split)]))
    if isinstance(route.end, AtBox):
        last = out[-1].legs[-1]
        assert isinstance(last, Line)
        split = last.point_at(1 - CONNECTOR_M / last.length_m)
        out[-1] = replace(out[-1], legs=(*out[-1].legs[:-1], Line(last.start, split)))
        out.append(_piece(route, "connector", 2, [Line(split, last.end)]))
    return out


def _cap(route: Route, pieces: list[Piece], which: int) -> Piece:
    """A short plug on an end, drawn as a disc that begins where the conduit stops."""
    first = pieces[0].legs[0] if which == 0 else pieces[-1].legs[-1]
    along = np.array(first.directions[which]) * (-0.02 if which == 0 else 0.02)
    at = (first.start, first.end)[which]
    beyond = tup(np.array(at) + along)
    return _piece(route, "cap", which + 1, [Line(beyond, at) if which == 0 else Line(at, beyond)])


def tangent_m(radius_m: float, angle_deg: float) -> float:
    """From a corner to where its arc begins. [m]"""
    return radius_m * tan(radians(angle_deg) / 2)


def sharp_angles(pieces: tuple[Piece, ...]) -> list[float]:
    """Angles at joints where two pieces meet without an elbow. [deg]"""
    angles = [
        angle_between(np.array(a.directions[1]), np.array(b.directions[0]))
        for a, b in itertools.pairwise(pieces)
    ]
    return [angle for angle in angles if angle > 0.5]
