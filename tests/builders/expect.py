"""What the tables must say of a plant, worked from the plant alone."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from tests.builders.guids import guid_of
from tests.builders.pieces import Cut, Piece, lay_out, sharp_angles
from tests.builders.plant import METRIC, AtBox, AtPoint, Plant, Route
from tests.builders.space import Arc


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedRun:
    """One row of runs.csv."""

    id: str
    element_guids: tuple[str, ...]
    start_guid: str
    end_guid: str
    raceway_type: str
    trade_size_in: str
    metric_designator: int
    length_mm: float
    bend_count: int
    bend_total_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedBox:
    """One row of boxes.csv; sizes along the axes of the box's own frame."""

    id: str
    box_guid: str
    inside_mm: tuple[float, float, float]
    cover: tuple[str, ...]
    entry_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedEntry:
    """One row of entries.csv."""

    box_guid: str
    conduit_guid: str
    wall: str
    u_mm: float
    v_mm: float
    trade_size_in: str
    run: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedLoose:
    """One run-continuity row: an open end, or two ends that nearly meet."""

    outcome: str
    element_guids: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """All tables."""

    runs: tuple[ExpectedRun, ...]
    boxes: tuple[ExpectedBox, ...]
    entries: tuple[ExpectedEntry, ...]
    loose: tuple[ExpectedLoose, ...]
    guids: dict[str, str]

    def as_json(self) -> dict[str, Any]:
        """Plain data."""
        return asdict(self)


def expect(plant: Plant, cut: Cut) -> Expected:
    """Work the tables of a plant that is cut up in one way."""
    pieces = lay_out(plant, cut)
    entries = tuple(_entries(plant, pieces))
    count = [entry.box_guid for entry in entries]
    ids = [box.id for box in plant.boxes] + [item.id for item in plant.equipment]
    ids += [piece.id for route in pieces.values() for piece in route]
    return Expected(
        runs=tuple(_run(route, pieces[route.id]) for route in plant.routes),
        boxes=tuple(
            ExpectedBox(
                id=box.id,
                box_guid=guid_of(box.id),
                inside_mm=tuple(1000 * side for side in box.inside_m),  # type: ignore[arg-type]
                cover=box.cover,
                entry_count=count.count(guid_of(box.id)),
            )
            for box in plant.boxes
        ),
        entries=entries,
        loose=tuple(_loose(plant, pieces)),
        guids={truth_id: guid_of(truth_id) for truth_id in ids},
    )


def _closing_guid(end: AtBox | AtPoint) -> str:
    name = end.box if isinstance(end, AtBox) else end.equipment
    return guid_of(name) if name else ""


def _run(route: Route, pieces: tuple[Piece, ...]) -> ExpectedRun:
    guids = tuple(guid_of(piece.id) for piece in pieces)
    ends = (_closing_guid(route.start), _closing_guid(route.end))
    if (guids[0], ends[0]) > (guids[-1], ends[1]):
        guids, ends = guids[::-1], ends[::-1]
    arcs = [leg.angle_deg for piece in pieces for leg in piece.legs if isinstance(leg, Arc)]
    angles = arcs + sharp_angles(pieces)
    return ExpectedRun(
        id=route.id,
        element_guids=guids,
        start_guid=ends[0],
        end_guid=ends[1],
        raceway_type=route.raceway_type,
        trade_size_in=route.trade_size_in,
        metric_designator=METRIC[route.trade_size_in],
        length_mm=1000 * _length_m(pieces),
        bend_count=len(angles),
        bend_total_deg=round(sum(angles), 1),
    )


def _length_m(pieces: tuple[Piece, ...]) -> float:
    """Length along the centre line from end to end: overlaps once, small gaps closed."""
    total = sum(leg.length_m for piece in pieces for leg in piece.legs)
    for before, after in pairwise(pieces):
        step = np.subtract(after.start, before.end)
        total += float(step @ np.array(before.directions[1]))
    return total


def _entries(plant: Plant, pieces: dict[str, tuple[Piece, ...]]) -> list[ExpectedEntry]:
    found = []
    for route in plant.routes:
        body = [piece for piece in pieces[route.id] if piece.role in ("segment", "elbow")]
        for end, conduit in ((route.start, body[0]), (route.end, body[-1])):
            if isinstance(end, AtBox):
                found.append(
                    ExpectedEntry(
                        box_guid=guid_of(end.box),
                        conduit_guid=guid_of(conduit.id),
                        wall=end.wall,
                        u_mm=1000 * end.u_m,
                        v_mm=1000 * end.v_m,
                        trade_size_in=route.trade_size_in,
                        run=route.id,
                    )
                )
    return found


def _loose(plant: Plant, pieces: dict[str, tuple[Piece, ...]]) -> list[ExpectedLoose]:
    found: dict[frozenset[str], ExpectedLoose] = {}
    for route in plant.routes:
        ends = ((route.start, pieces[route.id][0]), (route.end, pieces[route.id][-1]))
        for end, piece in ends:
            if not isinstance(end, AtPoint) or end.cap or end.equipment:
                continue
            guids = [guid_of(piece.id)]
            if end.near:
                guids.append(guid_of(_near_piece(plant, pieces, end)))
            key = frozenset([*guids, route.id] if not end.near else guids)
            outcome = "fail" if end.near else "needs-input"
            found[key] = ExpectedLoose(outcome=outcome, element_guids=tuple(sorted(guids)))
    return list(found.values())


def _near_piece(plant: Plant, pieces: dict[str, tuple[Piece, ...]], end: AtPoint) -> str:
    other = next(route for route in plant.routes if route.id == end.near)
    ends = ((other.start, pieces[other.id][0]), (other.end, pieces[other.id][-1]))
    return min(
        (np.linalg.norm(np.subtract(plant.end_of(where)[0], end.point)), piece.id)
        for where, piece in ends
    )[1]
