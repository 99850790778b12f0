"""Conduits cut where they go through the walls of boxes."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from modelcheck.geometry.vectors import middle, reversed_of
from modelcheck.model.element import Bend, Conduit, ElementRef, End, Point, Role
from modelcheck.network.crossings import Crossing
from modelcheck.network.meetings import FACING_DEG, Ends, Meeting, MouthId
from modelcheck.network.paths import Path, bends_of, is_straight_fitting

_TWO = 2


class Part(NamedTuple):
    """Stretch of a path outside all boxes, with the boxes at its two ends."""

    low_m: float
    high_m: float
    stops: tuple[Crossing | None, Crossing | None] = (None, None)
    more: tuple[tuple[Crossing, ...], tuple[Crossing, ...]] = ((), ())  # boxes in those boxes


class Piece(NamedTuple):
    """Part of a conduit outside all boxes; sides 0 and 1 are in the order of its ends."""

    number: int  # of the conduit
    conduit: Conduit
    path: Path
    part: Part  # of the path
    mouths: tuple[MouthId | None, MouthId | None]  # ends; None at a box or where it has none
    bends_of_all: tuple[Bend, ...]  # of the whole conduit
    bends: tuple[Bend, ...]  # of this part
    length_m: float  # of this part, arcs as arcs
    points: tuple[Point, ...]  # centre line from side 0 to side 1
    around: tuple[tuple[ElementRef, ...], tuple[ElementRef, ...]] = ((), ())  # fittings on it

    @classmethod
    def of(cls, number: int, conduit: Conduit, path: Path, part: Part) -> Piece:
        """One part of a conduit."""
        own = of_all = bends_of(conduit)
        length_m = conduit.length_m or path.length_m
        if part.stops != (None, None):
            low_m, high_m = part.low_m, part.high_m
            own = tuple(b for b in of_all if low_m <= path.nearest_m(b.at) <= high_m)
            length_m = _length_of_part_m(part, path, length_m, own, of_all)
        first, second = part.stops
        return cls(
            number=number,
            conduit=conduit,
            path=path,
            part=part,
            mouths=(
                (number, 0) if first is None and conduit.ends else None,
                (number, 1) if second is None and len(conduit.ends) > 1 else None,
            ),
            bends_of_all=of_all,
            bends=own,
            length_m=length_m,
            points=path.between(part.low_m, part.high_m),
        )

    @property
    def stops(self) -> tuple[Crossing | None, Crossing | None]:
        """Where it goes into a box at either side."""
        return self.part.stops

    @property
    def refs(self) -> tuple[ElementRef, ...]:
        """Its element with the fittings that lie round it, from side 0 to side 1."""
        return (*self.around[0], self.conduit.ref, *self.around[1])

    def end(self, side: int) -> End:
        """Point and direction at `side`, whatever is there."""
        if side < len(self.conduit.ends):
            return self.conduit.ends[side]
        first = self.conduit.ends[0]
        return End(point=self.path.points[-1], direction=reversed_of(first.direction))

    def point(self, side: int) -> Point:
        """Where it stops at `side`."""
        stop = self.stops[side]
        return self.end(side).point if stop is None else stop.point

    @property
    def is_elbow(self) -> bool:
        """True for a bent fitting."""
        return self.conduit.role is Role.FITTING and bool(self.bends_of_all)

    @property
    def is_coupling(self) -> bool:
        """True for a straight fitting: coupling, connector, sleeve."""
        two_ends = len(self.conduit.ends) == _TWO
        return self.conduit.role is Role.FITTING and two_ends and not self.bends_of_all


def _length_of_part_m(
    part: Part, path: Path, whole_m: float, bends: Sequence[Bend], of_all: Sequence[Bend]
) -> float:
    """Length of a part; what arcs are longer than their chords goes to where they are."""
    chords_m = part.high_m - part.low_m
    over_m = max(whole_m - path.length_m, 0.0)
    if not (chords_m and over_m):
        return chords_m
    own, whole = (sum(b.angle_deg * (b.radius_m or 0.0) for b in each) for each in (bends, of_all))
    return chords_m + over_m * (own / whole if whole else chords_m / max(path.length_m, chords_m))


def cut(
    conduits: Sequence[Conduit],
    paths: Sequence[Path | None],
    crossings: Iterable[Crossing],
    left_out: Collection[int],
) -> tuple[Piece, ...]:
    """Cut every conduit that is not a branch into its pieces.

    Parameters
    ----------
    conduits : sequence of Conduit
    paths : sequence of Path
        Of each; none of a branch.
    crossings : iterable of Crossing
    left_out : collection of int
        Numbers of conduits that make no piece.
    """
    by_conduit: dict[int, list[Crossing]] = defaultdict(list)
    for crossing in crossings:
        by_conduit[crossing.conduit].append(crossing)
    return tuple(
        Piece.of(number, conduit, path, part)
        for number, (conduit, path) in enumerate(zip(conduits, paths, strict=True))
        if path is not None and number not in left_out
        for part in _parts(path, by_conduit.get(number, ()))
    )


def _parts(path: Path, crossings: Sequence[Crossing]) -> list[Part]:
    whole = Part(0.0, path.length_m)
    if not crossings:
        return [whole]
    ordered = sorted(crossings, key=lambda each: (each.at_m, each.box))
    parts: list[Part] = []
    rest = whole if ordered[0].comes_from == 0 else None
    for crossing in ordered:
        at_m = min(max(crossing.at_m, 0.0), whole.high_m)
        if crossing.comes_from == 1:
            inner = () if rest is None or rest.stops[0] is None else (rest.stops[0], *rest.more[0])
            rest = Part(at_m, whole.high_m, (crossing, None), (inner, ()))
        elif rest is not None:
            parts.append(rest._replace(high_m=at_m, stops=(rest.stops[0], crossing)))
            rest = None
        elif parts:
            last = parts.pop()
            parts.append(last._replace(more=(last.more[0], (*last.more[1], crossing))))
    return parts if rest is None else [*parts, rest]


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """Crossings that stand, and what follows from it."""

    crossings: tuple[Crossing, ...]
    joined: tuple[Meeting, ...]  # conduits and the connectors that take them into a box
    swallowed: frozenset[int]  # fittings that lie round one piece
    left_out: frozenset[int]  # all that make no piece of their own


def settle(ends: Ends, crossings: Sequence[Crossing], joinable: Sequence[Meeting]) -> Settled:
    """Let a conduit that reaches a box inside its connector enter by the connector.

    Parameters
    ----------
    ends : Ends
    crossings : sequence of Crossing
    joinable : sequence of Meeting
    """
    swallowed = frozenset(ends.swallowed())
    at_end = {
        (c.conduit, c.end): c for c in crossings if c.end is not None and c.conduit not in swallowed
    }
    joined: list[Meeting] = []
    given: set[MouthId] = set()
    for meeting in joinable:
        for mouth in meeting.ends:
            one = at_end.get(mouth)
            if one is None or mouth in given:
                continue
            number, end = meeting.other(mouth)
            two = at_end.get((number, 1 - end))
            same = two is not None and (one.box, one.wall) == (two.box, two.wall)
            facing = meeting.turn_deg <= FACING_DEG
            if same and facing and is_straight_fitting(ends.conduits[number]):
                given.add(mouth)
                joined.append(meeting)
    left_out = swallowed | _idle(ends, tuple(at_end.values()), joinable)
    return Settled(
        crossings=tuple(
            c for c in crossings if c.conduit not in left_out and (c.conduit, c.end) not in given
        ),
        joined=tuple(joined),
        swallowed=swallowed,
        left_out=left_out,
    )


def _idle(ends: Ends, at_end: Sequence[Crossing], joinable: Sequence[Meeting]) -> frozenset[int]:
    """Fittings at a wall, such as locknuts, that hardly stand out of it and meet no conduit."""
    walls = Counter(each.conduit for each in at_end)
    far_ends = {
        (each.conduit, 1 - (each.end or 0))
        for each in at_end
        if each.outside_m <= ends.tolerances.enter_m
        and walls[each.conduit] == 1
        and ends.conduits[each.conduit].role is Role.FITTING
        and len(ends.conduits[each.conduit].ends) == _TWO
    }
    if far_ends:
        far_ends.difference_update(mouth for meeting in joinable for mouth in meeting.ends)
    return frozenset(number for number, _ in far_ends)


def with_fittings(
    pieces: Iterable[Piece], ends: Ends, fittings: Iterable[int]
) -> tuple[Piece, ...]:
    """Add to each piece the straight fittings that lie round it, in their order.

    Parameters
    ----------
    pieces : iterable of Piece
    ends : Ends
    fittings : iterable of int
        Numbers of the fittings.
    """
    out = list(pieces)
    by_conduit: dict[int, list[int]] = defaultdict(list)
    for number, piece in enumerate(out):
        by_conduit[piece.number].append(number)
    on_piece: dict[int, list[tuple[float, int]]] = defaultdict(list)
    for fitting in fittings:
        at = middle(tuple(end.point for end in ends.conduits[fitting].ends))
        for number in [n for host in ends.hosts_of(fitting) for n in by_conduit[host]]:
            at_m = out[number].path.nearest_m(at)
            if out[number].part.low_m <= at_m <= out[number].part.high_m:
                on_piece[number].append((at_m, fitting))
                break
    for number, placed in on_piece.items():
        half_m = (out[number].part.low_m + out[number].part.high_m) / 2
        first, last = (
            tuple(ends.conduits[each].ref for each in side) for side in _sides(placed, half_m)
        )
        out[number] = out[number]._replace(around=(first, last))
    return tuple(out)


def _sides(placed: Iterable[tuple[float, int]], half_m: float) -> tuple[list[int], list[int]]:
    """Fittings of the first and of the second half."""
    ordered = sorted(placed)
    return (
        [fitting for at_m, fitting in ordered if at_m < half_m],
        [fitting for at_m, fitting in ordered if at_m >= half_m],
    )
