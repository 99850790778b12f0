"""What the tables must say of a plant, worked from the plant alone."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from tests.builders.guids import guid_of
from tests.builders.habits import Habit
from tests.builders.pieces import Cut, Laid, Piece, lay_out
from tests.builders.plant import METRIC, AtBox, AtPoint, Plant, Route
from tests.builders.space import Arc, angle_between


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedRun:
    """One row of runs.csv."""

    id: str
    element_guids: tuple[str, ...]
    start_guid: str
    end_guid: str
    raceway_type: str | None  # None: this habit does not say it
    trade_size_in: str
    metric_designator: int
    length_mm: tuple[float, float]  # least and most: as drawn, or to the wall it goes through
    bend_count: int
    bend_total_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedBox:
    """One row of boxes.csv; sizes along the axes of the box's own frame."""

    id: str
    box_guid: str
    inside_mm: tuple[float, ...]
    cover: tuple[str, ...]  # empty: unknown
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
    axes_known: bool  # False: the axes of a box may be named in another order or sense
    guids: dict[str, str]

    def as_json(self) -> dict[str, Any]:
        """Plain data."""
        return asdict(self)


def expect(plant: Plant, habit: Habit) -> Expected:
    """Work the tables of a plant that is drawn in one habit."""
    laid = lay_out(plant, habit.cut)
    entries = tuple(_entries(plant, laid))
    named = [*plant.boxes, *plant.equipment, *plant.branches]
    ids = [item.id for item in named] + [piece.id for route in laid.values() for piece in route]
    return Expected(
        runs=tuple(_run(plant, route, laid[route.id], habit) for route in plant.routes),
        boxes=tuple(_boxes(plant, entries, habit)),
        entries=entries,
        loose=tuple(_loose(plant, laid)),
        axes_known=habit.placement != "world",
        guids={truth_id: guid_of(truth_id) for truth_id in ids},
    )


def _boxes(plant: Plant, entries: tuple[ExpectedEntry, ...], habit: Habit) -> list[ExpectedBox]:
    return [
        ExpectedBox(
            id=box.id,
            box_guid=guid_of(box.id),
            inside_mm=tuple(1000 * side for side in box.inside_m),
            cover=() if habit.cover == "none" else box.cover,
            entry_count=sum(entry.box_guid == guid_of(box.id) for entry in entries),
        )
        for box in plant.boxes
    ]


def _closing_guid(end: AtBox | AtPoint) -> str:
    name = end.box if isinstance(end, AtBox) else end.meets
    return guid_of(name) if name else ""


def _run(plant: Plant, route: Route, pieces: tuple[Piece, ...], habit: Habit) -> ExpectedRun:
    guids = tuple(guid_of(piece.id) for piece in pieces)
    ends = (_closing_guid(route.start), _closing_guid(route.end))
    if (guids[0], ends[0]) > (guids[-1], ends[1]):
        guids, ends = guids[::-1], ends[::-1]
    angles = bend_angles(pieces)
    size = min((piece.route.trade_size_in for piece in pieces), key=METRIC.__getitem__)
    return ExpectedRun(
        id=route.id,
        element_guids=guids,
        start_guid=ends[0],
        end_guid=ends[1],
        raceway_type=route.raceway_type if habit.says_raceway else None,
        trade_size_in=size,
        metric_designator=METRIC[size],
        length_mm=_length_mm(plant, route, pieces, habit.cut),
        bend_count=len(angles),
        bend_total_deg=round(sum(angles), 1),
    )


def bend_angles(pieces: tuple[Piece, ...]) -> list[float]:
    """Angle of every arc, and of every joint where two pieces meet without an elbow. [deg]"""
    arcs = [leg.angle_deg for piece in pieces for leg in piece.legs if isinstance(leg, Arc)]
    corners = [
        angle_between(np.array(a.directions[1]), np.array(b.directions[0]))
        for a, b in pairwise(pieces)
    ]
    return arcs + [angle for angle in corners if angle > 0.5]


def _length_mm(
    plant: Plant, route: Route, pieces: tuple[Piece, ...], cut: Cut
) -> tuple[float, float]:
    """Length from end to end: overlaps once, small gaps closed.

    Where conduit goes on into a box the least length ends at the wall's inner face.
    """
    drawn = sum(piece.length_m for piece in pieces)
    for before, after in pairwise(pieces):
        step = np.subtract(after.start, before.end)
        drawn += float(step @ np.array(before.directions[1]))
    beyond = 0.0
    for end, piece, which in ((route.start, pieces[0], 0), (route.end, pieces[-1], 1)):
        at, outward = plant.end_of(end)
        if outward is not None and (cut.through or cut.box_end in ("middle", "far")):
            stop = (piece.start, piece.end)[which]
            beyond += max(0.0, float(np.subtract(at, stop) @ np.array(outward)))
    return 1000 * (drawn - beyond), 1000 * drawn


def _entries(plant: Plant, laid: Laid) -> list[ExpectedEntry]:
    found = []
    for route in plant.routes:
        body = [piece for piece in laid[route.id] if piece.role in ("segment", "elbow")]
        for end, conduit in ((route.start, body[0]), (route.end, body[-1])):
            if isinstance(end, AtBox):
                found.append(
                    ExpectedEntry(
                        box_guid=guid_of(end.box),
                        conduit_guid=guid_of(conduit.id),
                        wall=end.wall,
                        u_mm=1000 * end.u_m,
                        v_mm=1000 * end.v_m,
                        trade_size_in=conduit.route.trade_size_in,
                        run=route.id,
                    )
                )
    return found


def _loose(plant: Plant, laid: Laid) -> list[ExpectedLoose]:
    """Open ends and near pairs; a pair is told of by both its routes and stands once."""
    found: list[ExpectedLoose] = []
    for route in plant.routes:
        for end, piece in ((route.start, laid[route.id][0]), (route.end, laid[route.id][-1])):
            if not isinstance(end, AtPoint) or end.cap or end.meets:
                continue
            guids = [guid_of(piece.id)]
            if end.near:
                guids.append(guid_of(_near_piece(plant, laid, end)))
            row = ExpectedLoose(
                outcome="fail" if end.near else "needs-input", element_guids=tuple(sorted(guids))
            )
            if not (end.near and row in found):
                found.append(row)
    return found


def _near_piece(plant: Plant, laid: Laid, end: AtPoint) -> str:
    other = next(route for route in plant.routes if route.id == end.near)
    ends = ((other.start, laid[other.id][0]), (other.end, laid[other.id][-1]))
    return min(
        (float(np.linalg.norm(np.subtract(plant.end_of(where)[0], end.point))), piece.id)
        for where, piece in ends
    )[1]
