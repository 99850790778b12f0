"""Where conduits go through the walls of boxes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from modelcheck.geometry.clip import LocalPaths, Stretch
from modelcheck.geometry.neighbours import Line, body_gap_m, lines_near_balls
from modelcheck.geometry.vectors import dot, middle, minus, moved, out_of_frame
from modelcheck.model.element import Conduit, Enclosure, End, Point, axis_of
from modelcheck.model.settings import Tolerances
from modelcheck.network.box_blocks import LEAST_COSINE, BoxBlocks
from modelcheck.network.paths import Path, is_branch

_OUTSIDE_M = 1e-4  # a piece that has less outside doesn't come from there
_MARGIN_M = 0.001
_TWO = 2

_EndNumbers = tuple[int | None, int | None]
_Way = tuple[Path, _EndNumbers]
_Stretches = Iterator[list[Stretch]]


class Crossing(NamedTuple):
    """One conduit at one wall of one box."""

    conduit: int
    box: int
    wall: str
    at_m: float  # along the conduit; past its end where it stops short of the inner face
    comes_from: int  # side of the conduit that is outside: 0 before `at_m`, 1 after it
    end: int | None  # end of the conduit that lies in or at the box; None: it goes on
    point: Point  # on the inner face
    u_m: float
    v_m: float
    outside_m: float  # how much of the conduit is outside before the next wall
    gap_m: float = 0.0  # of an end that stops short of the outer face


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossings:
    """All crossings, what nearly is one, and what lies in a box altogether."""

    entered: tuple[Crossing, ...] = ()
    near: tuple[Crossing, ...] = ()
    inside: tuple[tuple[int, int], ...] = field(default=())  # conduit and box


def find_crossings(
    conduits: Sequence[Conduit],
    paths: Sequence[Path | None],
    enclosures: Sequence[Enclosure],
    tolerances: Tolerances,
) -> Crossings:
    """Find every place where a conduit meets a box.

    Parameters
    ----------
    conduits : sequence of Conduit
    paths : sequence of Path
        Of each; none of a branch.
    enclosures : sequence of Enclosure
    tolerances : Tolerances
    """
    boxes = [BoxBlocks.of(box, tolerances) for box in enclosures]
    ways = [_ways(conduit, path) for conduit, path in zip(conduits, paths, strict=True)]
    lines: list[Line] = []
    owners: list[int] = []
    for number, own_ways in enumerate(ways):
        for path, _ in own_ways:
            lines += path.lines
            owners += [number] * len(path.lines)
    touching = lines_near_balls(lines, [box.ball for box in boxes])
    pairs = [
        _Pair(
            number=number,
            conduit=conduits[number],
            ways=ways[number],
            box_number=ball,
            box=boxes[ball],
            tolerances=tolerances,
        )
        for number, ball in sorted({(owners[line], ball) for ball, line in touching.tolist()})
    ]
    outer, inner = _stretches(pairs)
    found = [each for pair in pairs for each in pair.crossings(outer, inner)]
    inside = [(pair.number, pair.box_number) for pair in pairs if pair.is_inside]
    short = {id(each): each.gap_m > tolerances.enter_m for each in found}
    return Crossings(
        entered=tuple(each for each in found if not short[id(each)]),
        near=tuple(each for each in found if short[id(each)]),
        inside=tuple(inside),
    )


def _stretches(pairs: Sequence[_Pair]) -> tuple[_Stretches, _Stretches]:
    """What lies in all of its box, and in the inside of it, of each way of each pair in turn."""
    boxes = [pair.box for pair in pairs for _ in pair.ways]
    followed = [pair.followed(*way) for pair in pairs for way in pair.ways]
    local = LocalPaths(
        [points for points, _ in followed],
        [at_m for _, at_m in followed],
        [box.enclosure.origin for box in boxes],
        [box.enclosure.axes for box in boxes],
    )
    outer, inner = ([box.outer for box in boxes], [box.inner for box in boxes])
    return iter(local.stretches(outer)), iter(local.stretches(inner))


def _ways(conduit: Conduit, path: Path | None) -> list[_Way]:
    """Paths of a conduit with the numbers of the ends that they begin and stop at."""
    if path is not None:
        return [(path, (0, 1 if len(conduit.ends) == _TWO else None))]
    if not is_branch(conduit):
        return []
    centre = middle(tuple(end.point for end in conduit.ends))
    arms: list[_Way] = []
    for number, end in enumerate(conduit.ends):
        reach_m = max(abs(dot(minus(end.point, centre), end.direction)), _MARGIN_M)
        inner = moved(end.point, end.direction, -reach_m)
        arms.append((Path.through([inner, end.point]), (None, number)))
    return arms


@dataclass(slots=True, kw_only=True)
class _Pair:
    """One conduit and one box that may meet."""

    number: int  # of the conduit
    conduit: Conduit
    ways: Sequence[_Way]
    box_number: int
    box: BoxBlocks
    tolerances: Tolerances
    is_inside: bool = False  # known when its crossings are

    def crossings(self, outer: _Stretches, inner: _Stretches) -> list[Crossing]:
        """Every crossing of the two.

        Parameters
        ----------
        outer, inner : iterator of list of Stretch
            What of each way comes next lies in all of the box, and in its inside.
        """
        found: list[Crossing] = []
        for path, ends in self.ways:
            found += self._of_path(path, ends, next(outer), next(inner))
        return [each for each in found if self._touches(each)]

    def _of_path(
        self, path: Path, ends: _EndNumbers, outer: list[Stretch], inside: list[Stretch]
    ) -> list[Crossing]:
        found: list[Crossing] = []
        for inner in inside:
            around = next((o for o in outer if o.end_m >= inner.start_m), inner)
            before = max([0.0, *(o.end_m for o in outer if o.end_m < around.start_m)])
            after = min([path.length_m, *(o.start_m for o in outer if o.start_m > around.end_m)])
            found += self._of_stretch(
                path,
                ends,
                inner,
                min(around.start_m, path.length_m) - before,
                after - max(around.end_m, 0.0),
            )
        taken = {each.end for each in found}
        for side, end in enumerate(ends):
            if end is not None and end not in taken and not self.is_inside:
                found += self._at_wall(path, side, end, outer)
        return found

    def followed(self, path: Path, ends: _EndNumbers) -> tuple[list[Point], list[float]]:
        """Path with the axes of its ends followed outward."""
        points, at_m = list(path.points), list(path.at_m)
        reach_m = self.box.reach_m
        if ends[0] is not None:
            end = self.conduit.ends[ends[0]]
            points.insert(0, moved(end.point, end.direction, reach_m))
            at_m.insert(0, -reach_m)
        if ends[1] is not None:
            end = self.conduit.ends[ends[1]]
            points.append(moved(end.point, end.direction, reach_m))
            at_m.append(path.length_m + reach_m)
        return points, at_m

    def _of_stretch(
        self,
        path: Path,
        ends: _EndNumbers,
        inner: Stretch,
        before_m: float,
        after_m: float,
    ) -> list[Crossing]:
        """Crossings of one stretch in the inside: where it comes from and goes to outside."""
        comes, goes = self._sides(path, inner, before_m, after_m)
        if comes and goes and self.box.enclosure.is_conduit_body:
            return []
        if not (comes or goes):
            self.is_inside = inner.start_m < path.length_m and inner.end_m > 0.0
        found = []
        if comes:
            made = self._crossing(
                path,
                inner.start_m,
                inner.wall_in,
                comes_from=0,
                end=None if goes else ends[1],
                outside_m=before_m,
            )
            found.append((made, inner.cosine_in))
        if goes:
            made = self._crossing(
                path,
                inner.end_m,
                inner.wall_out,
                comes_from=1,
                end=None if comes else ends[0],
                outside_m=after_m,
            )
            found.append((made, inner.cosine_out))
        return [each for each, cosine in found if self._is_near(each, path, cosine)]

    def _sides(
        self, path: Path, inner: Stretch, before_m: float, after_m: float
    ) -> tuple[bool, bool]:
        """Whether a stretch in the inside comes from outside, and whether it goes there.

        What only just comes out of the far wall stops there; what does so on both sides lies in
        the box.
        """
        comes = bool(inner.wall_in) and min(inner.start_m, path.length_m) > _OUTSIDE_M
        goes = bool(inner.wall_out) and path.length_m - max(inner.end_m, 0.0) > _OUTSIDE_M
        enter_m = self.tolerances.enter_m
        if not (comes and goes) or min(before_m, after_m) > enter_m:
            return comes, goes
        if max(before_m, after_m) <= enter_m:
            return False, False
        return before_m > after_m, before_m <= after_m

    def _crossing(
        self,
        path: Path,
        at_m: float,
        wall: str,
        *,
        comes_from: int,
        end: int | None,
        outside_m: float,
    ) -> Crossing:
        near_m = min(max(at_m, 0.0), path.length_m)
        gap_m = 0.0
        if end is not None and at_m != near_m:
            where = self.conduit.ends[end]
            local = self.box.local(where.point)
            toward = self.box.local(moved(where.point, where.direction, 1.0))
            gap_m = self._gap_m(where, self.box.outer.beyond_m(local, wall))
            local = self.box.on_inner_face(local, toward, wall)
        else:
            local = self.box.local(path.point(at_m))
        u_m, v_m = (*local[: axis_of(wall)], *local[axis_of(wall) + 1 :])
        enclosure = self.box.enclosure
        return Crossing(
            conduit=self.number,
            box=self.box_number,
            wall=wall,
            at_m=at_m,
            comes_from=comes_from,
            end=end,
            point=out_of_frame(local, enclosure.origin, enclosure.axes),
            u_m=u_m,
            v_m=v_m,
            outside_m=outside_m,
            gap_m=gap_m,
        )

    def _is_near(self, crossing: Crossing, path: Path, cosine: float) -> bool:
        """Whether the conduit itself reaches the wall, or its axis from near by."""
        if 0.0 <= crossing.at_m <= path.length_m:
            return True
        return (
            crossing.end is not None
            and cosine > LEAST_COSINE
            and crossing.gap_m <= self.tolerances.near_m
        )

    def _at_wall(self, path: Path, side: int, end: int, outer: Sequence[Stretch]) -> list[Crossing]:
        """Crossing of an end that stops at a wall off the inside, such as at a thick rim."""
        where = self.conduit.ends[end]
        gap_m = self._gap_m(where, self.box.outer.gap_m(self.box.local(where.point)))
        if gap_m > self.tolerances.enter_m:
            return []
        for part in outer if side else reversed(outer):
            at_m, wall = (part.start_m, part.wall_in) if side else (part.end_m, part.wall_out)
            cosine = part.cosine_in if side else part.cosine_out
            outside_m = min(at_m, path.length_m) if side else path.length_m - max(at_m, 0.0)
            if wall and cosine > LEAST_COSINE and outside_m > self.tolerances.enter_m:
                break
        else:
            if not self.box.enclosure.triangles:
                return []
            wall, outside_m = self.box.facing(where.direction), path.length_m
            at_m = path.length_m + _MARGIN_M if side else -_MARGIN_M  # at the end itself
        made = self._crossing(path, at_m, wall, comes_from=1 - side, end=end, outside_m=outside_m)
        return [made._replace(gap_m=gap_m)]

    def _gap_m(self, end: End, plane_m: float) -> float:
        """How far an end stops short: of the body itself where that isn't like a box.

        Of a flat wall with hubs or holes in it, what is nearer.
        """
        enclosure = self.box.enclosure
        plane_m = max(0.0, plane_m)
        if not enclosure.triangles:
            return plane_m
        body_m = body_gap_m(end.point, enclosure.triangles)
        return min(body_m, plane_m) if enclosure.has_flat_walls else body_m

    def _touches(self, crossing: Crossing) -> bool:
        """Whether an end inside the bounds of a conduit body is at its body."""
        box = self.box.enclosure
        if not (box.triangles and box.is_conduit_body) or crossing.end is None:
            return True
        end = self.conduit.ends[crossing.end]
        slack_m = max(self.tolerances.enter_m, end.radius_m or 0.0)  # inside a hollow hub
        return crossing.gap_m > 0.0 or body_gap_m(end.point, box.triangles) <= slack_m
