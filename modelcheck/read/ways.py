"""Pieces of raceway as records: their outline worked once a form, then put where each stands."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from weakref import WeakKeyDictionary

import numpy as np

from modelcheck.geometry.frames import Array, moved
from modelcheck.geometry.path import drawn_points
from modelcheck.geometry.turns import Turn, length_with_m, turns
from modelcheck.model.element import (
    Bend,
    Conduit,
    ElementRef,
    End,
    Point,
    RacewaySize,
    Role,
)
from modelcheck.read.conduits import Outline, body_faces, body_outline, triangles_of, with_ports
from modelcheck.read.ports import Port
from modelcheck.read.shapes import Drawing, Drawn

_SAID = {"axis": "drawn axis", "port": "ports"}


@dataclass(frozen=True, slots=True)
class Way:
    """Where a piece of raceway goes in its own frame, its points gathered to be placed at once."""

    outline: Outline
    length_m: float
    turns: tuple[Turn, ...]
    points: Array  # shape (n, 3): ends, centre line, bends, two ends an arc [m]
    directions: Array  # shape (ends, 3)
    reach_m: float  # of the farthest point

    @classmethod
    def of(cls, outline: Outline) -> Way:
        """Gather the points of `outline`."""
        mouths, path = outline.shape.mouths, outline.shape.path
        bends = tuple(turns(path))
        gathered = [
            *(mouth.point for mouth in mouths),
            *drawn_points(path),
            *(turn.at for turn in bends),
            *(point for turn in bends for point in turn.arc or ()),
        ]
        points = np.array(gathered).reshape(-1, 3)
        return cls(
            outline=outline,
            length_m=length_with_m(path, bends),
            turns=bends,
            points=points,
            directions=np.array([mouth.direction for mouth in mouths]).reshape(-1, 3),
            reach_m=float(np.abs(points).max(initial=0.0)),
        )


@dataclass(frozen=True, slots=True)
class _Told:
    """What the body of elements drawn alike tells of their way."""

    outline: Outline
    may_ports_tell: bool
    alone: Way  # of an element without ports

    @classmethod
    def by(cls, drawing: Drawing, role: Role) -> _Told:
        outline, may_ports_tell = body_outline(drawing, role)
        alone = with_ports(outline, drawing, (), role) if may_ports_tell else outline
        return cls(outline, may_ports_tell, Way.of(alone))


class Ways:
    """Ways through the elements of one file; those of elements drawn alike are worked once."""

    def __init__(self) -> None:
        self._known: WeakKeyDictionary[Drawing, dict[Role, _Told]] = WeakKeyDictionary()

    def of(self, drawn: Drawn, ports: Callable[[], Sequence[Port]], role: Role) -> Way:
        """Way through one piece of raceway.

        Parameters
        ----------
        drawn : Drawn
        ports : callable
            Gives its ports; asked only where they may tell more than its body.
        role : Role
        """
        known = self._known.setdefault(drawn.own, {})
        if role not in known:
            known[role] = _Told.by(drawn.own, role)
        told = known[role]
        at_ports = _in_own_frame(drawn.matrix, ports()) if told.may_ports_tell else []
        if not at_ports:
            return told.alone
        return Way.of(with_ports(told.outline, drawn.own, at_ports, role))


def _in_own_frame(matrix: Array, ports: Sequence[Port]) -> list[Port]:
    turn, origin = matrix[:3, :3], matrix[:3, 3]
    return [Port((each.point - origin) @ turn, each.axis @ turn) for each in ports]


def conduit_of(
    way: Way,
    drawn: Drawn,
    *,
    ref: ElementRef,
    role: Role,
    size: RacewaySize,
    system: str,
    is_cable: bool,
    ported_to: tuple[tuple[str, int], ...],
    damage: str = "",
) -> Conduit:
    """The record of one piece of raceway, where it stands."""
    outline = way.outline
    mouths = outline.shape.mouths
    points = _each_once(moved(drawn.matrix, way.points).tolist())
    directions = (way.directions @ drawn.matrix[:3, :3].T).tolist()
    ends = tuple(
        End(
            point=point,
            direction=_triple(direction),
            evidence=outline.evidence,
            radius_m=mouth.radius_m or (outline.diameter_m or 0.0) / 2.0 or None,
        )
        for mouth, point, direction in zip(mouths, points, directions, strict=False)
    )
    arcs = 2 * sum(turn.arc is not None for turn in way.turns)
    first_bend = len(points) - arcs - len(way.turns)
    said = _SAID.get(outline.evidence)
    return Conduit(
        ref=ref,
        role=role,
        size=size,
        ends=ends,
        centreline=tuple(points[len(mouths) : first_bend]),
        bends=_bends(way, points[first_bend:], ref, size),
        length_m=way.length_m,
        system=system,
        is_cable=is_cable,
        ported_to=ported_to,
        body=() if mouths else triangles_of(body_faces(drawn)),
        bend_conflict=outline.bend_conflict,
        damage=damage,
        assumptions=(
            *([f"its ends are read from its {said}"] if said else []),
            *(outline.troubles if drawn.own.solids else ()),
        ),
    )


def _bends(
    way: Way, points: Sequence[Point], ref: ElementRef, size: RacewaySize
) -> tuple[Bend, ...]:
    """Bends by their placed points: first where each is, then the ends of the arcs."""
    rest = iter(points[len(way.turns) :])
    return tuple(
        Bend(
            angle_deg=turn.angle_deg,
            radius_m=turn.radius_m,
            at=at,
            element=ref,
            evidence=way.outline.evidence,
            trade_size_in=size.trade_size_in,
            arc=None if turn.arc is None else (next(rest), next(rest)),
        )
        for turn, at in zip(way.turns, points, strict=False)
    )


def _each_once(points: Sequence[Sequence[float]]) -> list[Point]:
    """`points` as records; those that are equal, such as an end and a corner, are one."""
    known: dict[Point, Point] = {}
    return [known.setdefault(point, point) for point in map(_triple, points)]


def _triple(values: Sequence[float]) -> Point:
    x, y, z = values
    return (x, y, z)
