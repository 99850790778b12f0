"""A box unfolded: its walls laid flat round one of them, each as a person outside sees it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import combinations
from math import hypot

from modelcheck.geometry.vectors import cross, dot
from modelcheck.model.element import WALLS, Enclosure, Vector, axis_of
from modelcheck.model.pull import BoxCase
from modelcheck.model.run import Entry
from modelcheck.rules.knockouts import knockout
from modelcheck.units import from_metres

Pair = tuple[float, float]
SLOTS = ("centre", "left", "right", "above", "below", "back")


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """One knock-out, from the lower left corner of its wall as drawn."""

    number: int  # on the drawing and in the cut list; entries are counted from 1
    entry: Entry
    left_mm: float  # centre from the left edge
    below_mm: float  # centre from the lower edge
    diameter_mm: float | None  # None: not tabulated for the size, or the size isn't known


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """One wall seen from outside; its edges are the inner faces of the walls that it meets."""

    wall: str
    slot: str  # place in the net, one of SLOTS
    right: Vector  # unit, to the right as drawn, in the axes of the box
    up: Vector
    width_mm: float
    height_mm: float
    holes: tuple[Hole, ...]
    is_cover: bool

    @property
    def left_wall(self) -> str:
        """Wall that meets the left edge: the datum of widths."""
        return wall_facing(_minus(self.right))

    @property
    def lower_wall(self) -> str:
        """Wall that meets the lower edge: the datum of heights."""
        return wall_facing(_minus(self.up))


@dataclass(frozen=True, slots=True, kw_only=True)
class Net:
    """The walls that are drawn of one box."""

    case: BoxCase
    centre: str  # wall that the others are folded from: the cover where it is known
    panels: tuple[Panel, ...]


def unfold(case: BoxCase) -> Net:
    """Lay out every wall that has entries, and the cover; none whose size isn't known.

    Parameters
    ----------
    case : BoxCase
    """
    centre = case.enclosure.cover[0] if case.enclosure.cover else _shallow_wall(case.enclosure)
    wanted = {centre, *case.enclosure.cover, *(entry.wall for entry in case.entries)}
    panels = []
    for slot, (right, up) in zip(SLOTS, _frames(centre), strict=True):
        wall = wall_facing(cross(right, up))
        size_mm = [_across_mm(case.enclosure, direction) for direction in (right, up)]
        if wall not in wanted or size_mm[0] is None or size_mm[1] is None:
            continue
        holes = _holes(case, wall, (right, up), (size_mm[0], size_mm[1]))
        panels.append(
            Panel(
                wall=wall,
                slot=slot,
                right=right,
                up=up,
                width_mm=size_mm[0],
                height_mm=size_mm[1],
                holes=holes,
                is_cover=wall in case.enclosure.cover,
            )
        )
    return Net(case=case, centre=centre, panels=tuple(panels))


def clashes(net: Net) -> list[str]:
    """Say which holes can't be cut as drawn: past an edge of their wall, or into each other."""
    told = []
    for panel in net.panels:
        for hole in panel.holes:
            edges = (
                hole.left_mm,
                hole.below_mm,
                panel.width_mm - hole.left_mm,
                panel.height_mm - hole.below_mm,
            )
            if min(edges) < _radius_mm(hole):
                told.append(f"hole {hole.number} reaches past the edge of wall {panel.wall}")
        told.extend(
            f"holes {one.number} and {other.number} of wall {panel.wall} overlap"
            for one, other in combinations(panel.holes, 2)
            if hypot(one.left_mm - other.left_mm, one.below_mm - other.below_mm)
            < _radius_mm(one) + _radius_mm(other)
        )
    return told


def raceway_text(entry: Entry) -> str:
    """Type and both names of the size of a raceway."""
    size = entry.size
    if not size.known:
        return "size not known"
    return f"{size.raceway_type} {size.metric_designator} ({size.trade_size_in})".strip()


def frame_of(centre: str) -> tuple[Vector, Vector]:
    """Directions to the right and up of the middle wall of a net, seen from outside.

    Right, up and outward are right-handed: outward comes at the one who looks.
    """
    up = (0.0, 1.0, 0.0) if axis_of(centre) == 2 else (0.0, 0.0, 1.0)  # noqa: PLR2004 - z
    return cross(up, outward(centre)), up


@cache
def outward(wall: str) -> Vector:
    """Unit vector out of the box through `wall`, in its own axes."""
    sign = 1.0 if wall[0] == "+" else -1.0
    x, y, z = (sign if axis == axis_of(wall) else 0.0 for axis in range(3))
    return (x, y, z)


@cache
def wall_facing(direction: Vector) -> str:
    """Name the wall that a unit vector along an axis points out of."""
    return max(WALLS, key=lambda wall: dot(outward(wall), direction))


def hole_mm(entry: Entry) -> float | None:
    """Diameter of the hole that `entry` needs; None where it isn't known."""
    row = knockout(entry.size.trade_size_in)
    return None if row is None else from_metres(row.diameter_m, "mm")


def is_hole_unchecked(entry: Entry) -> bool:
    """Whether the diameter of its hole was not read in a source."""
    row = knockout(entry.size.trade_size_in)
    return row is not None and bool(row.caveats)


def spot_m(entry: Entry, box: Enclosure) -> Vector | None:
    """Centre of an entry on its wall from the middle of the box; None if it isn't placed."""
    if entry.u_m is None or entry.v_m is None:
        return None
    axis = axis_of(entry.wall)
    along = [entry.u_m, entry.v_m]
    along.insert(axis, outward(entry.wall)[axis] * (box.inside_m[axis] or 0.0) / 2)
    return (along[0], along[1], along[2])


@cache
def _frames(centre: str) -> tuple[tuple[Vector, Vector], ...]:
    """Right and up of each slot: the walls folded out round the middle one, by its edges."""
    right, up = frame_of(centre)
    out = outward(centre)
    return (
        (right, up),
        (out, up),
        (_minus(out), up),
        (right, _minus(out)),
        (right, out),
        (_minus(right), up),  # hangs on the right edge of the right one
    )


def _holes(
    case: BoxCase, wall: str, frame: tuple[Vector, Vector], size_mm: Pair
) -> tuple[Hole, ...]:
    holes = []
    for number, entry in enumerate(case.entries, start=1):
        spot = spot_m(entry, case.enclosure) if entry.wall == wall else None
        if spot is None:
            continue
        left_mm, below_mm = (
            from_metres(dot(spot, direction), "mm") + side_mm / 2
            for direction, side_mm in zip(frame, size_mm, strict=True)
        )
        holes.append(
            Hole(
                number=number,
                entry=entry,
                left_mm=left_mm,
                below_mm=below_mm,
                diameter_mm=hole_mm(entry),
            )
        )
    return tuple(holes)


def _across_mm(box: Enclosure, direction: Vector) -> float | None:
    length_m = box.inside_m[axis_of(wall_facing(direction))]
    return None if length_m is None else from_metres(length_m, "mm")


def _shallow_wall(box: Enclosure) -> str:
    """Wall square to the shallowest dimension, where a cover is likeliest to lie."""
    lengths = [float("inf") if each is None else each for each in box.inside_m]
    return "+" + "xyz"[min(range(3), key=lambda axis: (lengths[axis], -axis))]


def _radius_mm(hole: Hole) -> float:
    return (hole.diameter_mm or 0.0) / 2


def _minus(vector: Vector) -> Vector:
    return (-vector[0], -vector[1], -vector[2])
