"""Faces as loops of points: which belong together, which are one plane, what a ray meets."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import chain, compress, pairwise

import numpy as np
import numpy.typing as npt

from modelcheck.geometry.vector_rows import crosses, dots, lengths

Array = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
Face = list[Array]  # loops of shape (n, 3), the outer one first [m]

MERGE_M = 1e-5  # points nearer than this are one
_FLAT_COSINE = 1.0 - 2e-5
_NOTHING = 1e-12
_MOST_KEYS = 2**62


@dataclass(frozen=True, slots=True)
class Region:
    """Faces in one plane that touch one another."""

    faces: tuple[int, ...]
    edges: tuple[tuple[int, int], ...]  # around it and its holes, as numbers of points

    def loops(self) -> list[tuple[int, ...]]:
        """Rims, as numbers of points in order."""
        return rings(self.edges)


@dataclass(slots=True)
class Mesh:
    """Faces with their points merged."""

    points: Array  # shape (n, 3) [m]
    faces: list[list[list[int]]]  # of each face its loops
    normals: Array  # shape (faces, 3)
    edges: dict[tuple[int, int], list[int]] = field(default_factory=dict)  # edge to its faces

    @classmethod
    def of(cls, faces: Sequence[Face]) -> Mesh:
        """Merge the points of `faces`; faces of no area are dropped."""
        if not any(len(loop) for face in faces for loop in face):
            return cls(np.zeros((0, 3)), [], np.zeros((0, 3)))
        grid = np.concatenate([loop for face in faces for loop in face])
        first, number = _merged(grid)
        points = grid[first]
        numbers = number.tolist()
        numbered, end = [], 0
        for face in faces:
            loops = []
            for loop in face:
                begin, end = end, end + len(loop)
                loops.append(_without_repeats(numbers[begin:end]))
            if loops := [loop for loop in loops if len(loop) > 2]:
                numbered.append(loops)
        return cls._with_area(points, numbered)

    @classmethod
    def _with_area(cls, points: Array, faces: list[list[list[int]]]) -> Mesh:
        if not faces:
            return cls(points, [], np.zeros((0, 3)))
        normals = _newells(points, [loops[0] for loops in faces])
        sizes = lengths(normals)
        kept = sizes >= _NOTHING
        if not kept.all():
            faces = [loops for loops, is_kept in zip(faces, kept.tolist(), strict=True) if is_kept]
        edges: dict[tuple[int, int], list[int]] = defaultdict(list)
        for place, loops in enumerate(faces):
            for loop in loops:
                before = loop[-1]
                for point in loop:
                    edge = (before, point) if before < point else (point, before)
                    edges[edge].append(place)
                    before = point
        return cls(points, faces, normals[kept] / sizes[kept, None], dict(edges))

    def pieces(self) -> list[list[int]]:
        """Faces that hang together, by shared points."""
        group = list(range(len(self.points)))
        for loops in self.faces:
            root = _root(group, loops[0][0])
            for loop in loops:
                for point in loop:
                    if group[point] != root:
                        group[_root(group, point)] = root
        found: dict[int, list[int]] = defaultdict(list)
        for place, loops in enumerate(self.faces):
            found[_root(group, loops[0][0])].append(place)
        return list(found.values())

    def regions(self) -> list[Region]:
        """Faces that touch in one plane, as one region each."""
        group = list(range(len(self.faces)))
        for first, other in self._flat_pairs():
            group[_root(group, other)] = _root(group, first)
        roots = [_root(group, place) for place in range(len(self.faces))]
        members: dict[int, list[int]] = defaultdict(list)
        for place, root in enumerate(roots):
            members[root].append(place)
        rims: dict[int, list[tuple[int, int]]] = defaultdict(list)
        for edge, sharing in self.edges.items():
            sides = [roots[place] for place in sharing]
            if len(sides) == 2 and sides[0] == sides[1]:  # inside a region
                continue
            for root in sides:
                if sides.count(root) == 1:
                    rims[root].append(edge)
        return [Region(tuple(places), tuple(rims[root])) for root, places in members.items()]

    def _flat_pairs(self) -> list[tuple[int, int]]:
        """Faces with an edge in common that lie in one plane."""
        pairs = [(sharing[0], other) for sharing in self.edges.values() for other in sharing[1:]]
        if not pairs:
            return []
        firsts, others = np.array(pairs).T
        cosines = np.abs(dots(self.normals[firsts], self.normals[others]))
        return list(compress(pairs, (cosines > _FLAT_COSINE).tolist()))

    def open_rims(self) -> list[tuple[int, ...]]:
        """Loops of edges that only one face has."""
        return rings([edge for edge, sharing in self.edges.items() if len(sharing) == 1])


def _merged(points: Array) -> tuple[Places, Places]:
    """Where each place is met first, in the order of their coordinates, and the place of each."""
    keys = np.rint((points - points.min(axis=0)) / MERGE_M).astype(np.int64)
    wide, deep, high = (int(each) + 1 for each in keys.max(axis=0))
    if wide * deep * high < _MOST_KEYS:  # one number says it, sorted ten times as fast
        keys = (keys[:, 0] * deep + keys[:, 1]) * high + keys[:, 2]
    _, first, number = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    return first, number.reshape(-1)


def _root(group: list[int], place: int) -> int:
    while group[place] != place:
        group[place] = group[group[place]]
        place = group[place]
    return place


def _without_repeats(loop: list[int]) -> list[int]:
    if len(set(loop)) == len(loop):
        return loop
    kept = [a for a, b in zip(loop, loop[1:] + loop[:1], strict=True) if a != b]
    return kept or loop[:1]


def newell(loop: Array) -> Array:
    """Normal of a flat loop, as long as twice its area. [m2]"""
    local = loop - loop[0]
    total: Array = crosses(local, _onward(local)).sum(axis=0)
    return total


def _newells(points: Array, loops: Sequence[Sequence[int]]) -> Array:
    """`newell` of many loops of at least one point, shape (n, 3)."""
    counts = np.array([len(loop) for loop in loops])
    ends = np.cumsum(counts)
    firsts = ends - counts
    rows = points[list(chain.from_iterable(loops))]
    local = rows - np.repeat(rows[firsts], counts, axis=0)
    after = np.arange(1, len(rows) + 1)
    after[ends - 1] = firsts
    return np.asarray(np.add.reduceat(crosses(local, local[after]), firsts, axis=0))


def _onward(rows: Array) -> Array:
    """Of each row the next; the first after the last."""
    return np.concatenate([rows[1:], rows[:1]])


def loop_centre(loop: Array) -> Array:
    """Centre of the area inside a flat loop."""
    middle = loop.mean(axis=0)
    local = loop - middle
    onward = _onward(local)
    parts = crosses(local, onward)
    total = parts.sum(axis=0)
    area = float(np.linalg.norm(total))
    if area < _NOTHING:
        return np.asarray(middle)
    weights = parts @ (total / area)
    thirds = (local + onward) / 3.0
    shifted: Array = middle + (thirds * weights[:, None]).sum(axis=0) / weights.sum()
    return shifted


def rings(edges: Sequence[tuple[int, int]]) -> list[tuple[int, ...]]:
    """Closed loops that `edges` make; what doesn't close is left out."""
    beside: dict[int, list[int]] = defaultdict(list)
    for a, b in edges:
        beside[a].append(b)
        beside[b].append(a)
    found, used = [], set[int]()
    for start in beside:
        if start in used:
            continue
        loop, before, here = [start], -1, start
        used.add(start)
        while True:
            onward = [each for each in beside[here] if each != before and each not in used]
            if not onward:
                break
            before, here = here, onward[0]
            loop.append(here)
            used.add(here)
        if len(loop) > 2 and start in beside[loop[-1]]:
            found.append(tuple(loop))
    return found


class RayCaster:
    """Triangles of a mesh, for rays."""

    def __init__(self, mesh: Mesh) -> None:
        fans = [
            (loop[0], b, c)
            for loop, *_ in mesh.faces
            for b, c in pairwise(loop[1:])  # good enough for a ray's aim, see `triangles`
        ]
        corners = mesh.points[np.array(fans, dtype=np.intp).reshape(-1, 3)]
        self._first = corners[:, 0]
        self._edges = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
        self._least = 1e-9 * lengths(self._edges[0]) * lengths(self._edges[1])

    def nearest_m(self, starts: Array, direction: Array) -> Array:
        """Distance along each of some parallel rays to the first face ahead; inf without one. [m]

        Parameters
        ----------
        starts : array, shape (n, 3)
        direction : array, shape (3,)
        """
        edge1, edge2 = self._edges
        square = crosses(direction[None, :], edge2)
        determinant = dots(edge1, square)
        ok = np.abs(determinant) > self._least
        inverse = np.where(ok, 1.0 / np.where(ok, determinant, 1.0), 0.0)
        shape = (len(starts), len(edge1))
        to = (starts[:, None, :] - self._first).reshape(-1, 3)
        every = np.tile(np.arange(len(edge1)), len(starts))
        u = dots(to, square[every]).reshape(shape) * inverse
        q = crosses(to, edge1[every])
        v = (q @ direction).reshape(shape) * inverse
        t = dots(edge2[every], q).reshape(shape) * inverse
        inside = ok & (u >= -1e-9) & (v >= -1e-9) & (u + v <= 1.0 + 1e-9) & (t > 0.0)
        ahead: Array = np.where(inside, t, np.inf).min(axis=1, initial=np.inf)
        return ahead


def triangles(face: Face) -> list[tuple[Array, Array, Array]]:
    """A fan over the outer loop; holes and hollows are covered too, good enough for a ray's aim."""
    loop = face[0]
    return [(loop[0], loop[place], loop[place + 1]) for place in range(1, len(loop) - 1)]
