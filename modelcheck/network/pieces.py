"""Conduits cut where they go through the walls of boxes."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from modelcheck.geometry.vectors import middle, reversed_of
from modelcheck.model.element import Bend, Conduit, ElementRef, End, Point, Role
from modelcheck.network.crossings import Crossing
from modelcheck.network.meetings import FACING_DEG, Ends, Meeting, MouthId
from modelcheck.network.paths import Path, bends_of, is_straight_fitting

_TWO = 2


@dataclass(frozen=True, kw_only=True)
class Piece:
    """Part of a conduit outside all boxes; sides 0 and 1 are in the order of its ends."""

    number: int  # of the conduit
    conduit: Conduit
    path: Path
    low_m: float
    high_m: float
    stops: tuple[Crossing | None, Crossing | None] = (None, None)
    more: tuple[tuple[Crossing, ...], tuple[Crossing, ...]] = ((), ())  # boxes in those boxes
    around: tuple[tuple[ElementRef, ...], tuple[ElementRef, ...]] = ((), ())  # fittings on it

    @property
    def refs(self) -> tuple[ElementRef, ...]:
        """Its element with the fittings that lie round it, from side 0 to side 1."""
        return (*self.around[0], self.conduit.ref, *self.around[1])

    def mouth(self, side: int) -> MouthId | None:
        """End of the conduit at `side`; None at a box or where it has none."""
        has_end = self.stops[side] is None and side < len(self.conduit.ends)
        return (self.number, side) if has_end else None

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

    @cached_property
    def bends_of_all(self) -> tuple[Bend, ...]:
        """Bends of the whole conduit."""
        return bends_of(self.conduit)

    @cached_property
    def is_elbow(self) -> bool:
        """True for a bent fitting."""
        return self.conduit.role is Role.FITTING and bool(self.bends_of_all)

    @property
    def is_coupling(self) -> bool:
        """True for a straight fitting: coupling, connector, sleeve."""
        two_ends = len(self.conduit.ends) == _TWO
        return self.conduit.role is Role.FITTING and two_ends and not self.is_elbow

    @cached_property
    def bends(self) -> tuple[Bend, ...]:
        """Bends of this part."""
        own = self.bends_of_all
        if self.stops == (None, None):
            return own
        return tuple(b for b in own if self.low_m <= self.path.nearest_m(b.at) <= self.high_m)

    @cached_property
    def length_m(self) -> float:
        """Length of this part, arcs as arcs."""
        chords_m = self.high_m - self.low_m
        if self.stops == (None, None):
            return self.conduit.length_m or chords_m
        if not chords_m:
            return 0.0
        over_m = max(self.conduit.length_m - self.path.length_m, 0.0)
        return chords_m + over_m * self._share_of_arcs(chords_m)

    def _share_of_arcs(self, chords_m: float) -> float:
        own, whole = (
            sum(bend.angle_deg * (bend.radius_m or 0.0) for bend in bends)
            for bends in (self.bends, self.bends_of_all)
        )
        return own / whole if whole else chords_m / max(self.path.length_m, chords_m)

    @cached_property
    def points(self) -> tuple[Point, ...]:
        """Centre line from side 0 to side 1."""
        return self.path.between(self.low_m, self.high_m)


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
    pieces: list[Piece] = []
    for number, (conduit, path) in enumerate(zip(conduits, paths, strict=True)):
        if path is not None and number not in left_out:
            whole = Piece(
                number=number, conduit=conduit, path=path, low_m=0.0, high_m=path.length_m
            )
            pieces += _parts(whole, sorted(by_conduit[number], key=lambda c: (c.at_m, c.box)))
    return tuple(pieces)


def _parts(whole: Piece, crossings: Sequence[Crossing]) -> list[Piece]:
    parts: list[Piece] = []
    rest = whole if not crossings or crossings[0].comes_from == 0 else None
    for crossing in crossings:
        at_m = min(max(crossing.at_m, 0.0), whole.high_m)
        if crossing.comes_from == 1:
            inner = () if rest is None or rest.stops[0] is None else (rest.stops[0], *rest.more[0])
            rest = replace(whole, low_m=at_m, stops=(crossing, None), more=(inner, ()))
        elif rest is not None:
            parts.append(replace(rest, high_m=at_m, stops=(rest.stops[0], crossing)))
            rest = None
        elif parts:
            last = parts.pop()
            parts.append(replace(last, more=(last.more[0], (*last.more[1], crossing))))
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
            number, end = meeting.other(mouth)
            one, two = at_end.get(mouth), at_end.get((number, 1 - end))
            same = one and two and (one.box, one.wall) == (two.box, two.wall)
            facing = meeting.turn_deg <= FACING_DEG and mouth not in given
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
    met = {mouth for meeting in joinable for mouth in meeting.ends}
    walls = Counter(each.conduit for each in at_end)
    return frozenset(
        each.conduit
        for each in at_end
        if each.outside_m <= ends.tolerances.enter_m
        and walls[each.conduit] == 1
        and ends.conduits[each.conduit].role is Role.FITTING
        and len(ends.conduits[each.conduit].ends) == _TWO
        and (each.conduit, 1 - (each.end or 0)) not in met
    )


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
            if out[number].low_m <= at_m <= out[number].high_m:
                on_piece[number].append((at_m, fitting))
                break
    for number, placed in on_piece.items():
        half_m = (out[number].low_m + out[number].high_m) / 2
        first, last = (
            tuple(ends.conduits[each].ref for each in side) for side in _sides(placed, half_m)
        )
        out[number] = replace(out[number], around=(first, last))
    return tuple(out)


def _sides(placed: Iterable[tuple[float, int]], half_m: float) -> tuple[list[int], list[int]]:
    """Fittings of the first and of the second half."""
    ordered = sorted(placed)
    return (
        [fitting for at_m, fitting in ordered if at_m < half_m],
        [fitting for at_m, fitting in ordered if at_m >= half_m],
    )
