"""Faces as loops of points: which belong together, which are one plane, what a ray meets."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from modelcheck.geometry.vector_rows import crosses, dots, lengths

Array = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]
Face = list[Array]  # loops of shape (n, 3), the outer one first [m]

MERGE_M = 1e-5  # points nearer than this are one
_FLAT_COSINE = 1.0 - 2e-5
_NOTHING = 1e-12
_MOST_KEYS = 2**62


@dataclass(frozen=True, slots=True)
class Region:
    """Faces in one plane that touch one another."""

    faces: Places
    edges: Places  # around it and its holes, as numbers of points, shape (n, 2)

    def loops(self) -> list[tuple[int, ...]]:
        """Rims, as numbers of points in order."""
        return rings(self.edges)


@dataclass(frozen=True)
class Mesh:
    """Faces with their points merged, as arrays of their sides: face by face, loop by loop."""

    points: Array  # shape (n, 3) [m]
    starts: Places  # point that each side begins at, shape (s,)
    loops: Places  # loop of each side
    firsts: Places  # first side of each loop, shape (l,)
    faces: Places  # face of each loop, the outer loop before the others

    @classmethod
    def of(cls, faces: Sequence[Face]) -> Mesh:
        """Merge the points of `faces`; faces of no area are dropped."""
        drawn = [(place, loop) for place, face in enumerate(faces) for loop in face if len(loop)]
        if not drawn:
            nothing = np.zeros(0, np.intp)
            return cls(np.zeros((0, 3)), nothing, nothing, nothing, nothing)
        grid = np.concatenate([loop for _, loop in drawn])
        sizes = np.array([len(loop) for _, loop in drawn])
        first, number = _merged(grid)
        mesh = cls(
            points=grid[first],
            starts=number,
            loops=np.repeat(np.arange(len(drawn)), sizes),
            firsts=np.cumsum(sizes) - sizes,
            faces=np.array([place for place, _ in drawn]),
        )
        mesh = mesh.some(mesh.starts != mesh.starts[mesh.after])
        mesh = mesh.some((np.bincount(mesh.loops) > 2)[mesh.loops])
        return mesh.some((lengths(mesh.newells) >= _NOTHING)[mesh.face_of_side])

    def some(self, kept: Mask) -> Mesh:
        """Only the sides that are `kept`; loops and faces without one are left out."""
        loops, firsts, of_loop = np.unique(self.loops[kept], return_index=True, return_inverse=True)
        _, of_face = np.unique(self.faces[loops], return_inverse=True)
        return Mesh(self.points, self.starts[kept], of_loop, firsts, of_face)

    @cached_property
    def after(self) -> Places:
        """Of each side the next one of its loop."""
        after = np.arange(1, len(self.starts) + 1)
        after[np.roll(self.firsts, -1) - 1] = self.firsts  # the first is side 0
        return after

    @cached_property
    def outer(self) -> Places:
        """First loop of each face."""
        return np.flatnonzero(np.diff(self.faces, prepend=-1))

    @cached_property
    def face_of_side(self) -> Places:
        """Face of each side."""
        return self.faces[self.loops]

    @cached_property
    def newells(self) -> Array:
        """`newell` of the outer loop of each face, shape (f, 3)."""
        corners = self.points[self.starts]
        local = corners - corners[self.firsts][self.loops]
        products = crosses(local, local[self.after])
        return np.asarray(np.add.reduceat(products, self.firsts, axis=0)[self.outer])

    @cached_property
    def _edges(self) -> tuple[Places, Places]:
        """Two points of each edge, in the order in which they are met; the edge of each side."""
        ends = np.sort(np.column_stack([self.starts, self.starts[self.after]]), axis=1)
        keys = ends[:, 0] * len(self.points) + ends[:, 1]
        _, first, number = np.unique(keys, return_index=True, return_inverse=True)
        order = np.argsort(first)
        return ends[first[order]], np.argsort(order)[number]

    @property
    def edges(self) -> Places:
        """Numbers of the two points of each edge, the lower first, shape (e, 2)."""
        return self._edges[0]

    @property
    def edge_of_side(self) -> Places:
        """Edge of each side."""
        return self._edges[1]

    def sides_of(self, faces: Places) -> Mask:
        """Sides of some faces, as a mask."""
        chosen = np.zeros(len(self.outer), np.bool_)
        chosen[faces] = True
        return np.asarray(chosen[self.face_of_side])

    def marked(self, points: Places | list[int]) -> Mask:
        """Some points by their numbers, as a mask."""
        chosen = np.zeros(len(self.points), np.bool_)
        chosen[points] = True
        return chosen

    def pieces(self) -> list[Mesh]:
        """Faces that hang together, by shared points."""
        begins = self.starts[self.firsts]
        holes = np.column_stack([begins, begins[self.outer][self.faces]])
        links = np.concatenate([self.edges, holes[holes[:, 0] != holes[:, 1]]])
        labels = _components(len(self.points), links)[self.starts]
        _, met = np.unique(labels, return_index=True)
        if len(met) <= 1:
            return [self][: len(met)]
        return [self.some(labels == labels[first]) for first in np.sort(met)]

    def regions(self, *, least_edges: int = 0) -> list[Region]:
        """Faces that touch in one plane, as one region each.

        Parameters
        ----------
        least_edges : int
            Regions with fewer edges around them are left out. [-]
        """
        labels = _components(len(self.outer), self._flat_pairs())
        many = len(self.outer) + 1
        keys, counts = np.unique(
            self.edge_of_side * many + labels[self.face_of_side], return_counts=True
        )
        rims = keys[counts == 1]
        of_rim, of_edge = rims % many, rims // many
        around = np.bincount(of_rim, minlength=many)
        return [
            Region(np.flatnonzero(labels == label), self.edges[of_edge[of_rim == label]])
            for label in np.flatnonzero(labels == np.arange(len(labels))).tolist()
            if around[label] >= least_edges
        ]

    def _flat_pairs(self) -> Places:
        """Faces with an edge in common that lie in one plane, shape (n, 2)."""
        order = np.argsort(self.edge_of_side, kind="stable")
        edges, faces = self.edge_of_side[order], self.face_of_side[order]
        first = np.flatnonzero(np.diff(edges, prepend=-1))[edges]
        pairs = np.column_stack([faces[first], faces])[first != np.arange(len(edges))]
        normals = self.newells / lengths(self.newells)[:, None]
        cosines = np.abs(dots(normals[pairs[:, 0]], normals[pairs[:, 1]]))
        return np.asarray(pairs[cosines > _FLAT_COSINE])

    def open_rims(self) -> list[tuple[int, ...]]:
        """Loops of edges that only one face has."""
        return rings(self.edges[np.bincount(self.edge_of_side) == 1])


def _components(count: int, links: Places) -> Places:
    """Least member of the component that each of `count` things is in, by pairs of them.

    The library's takes eight times as long for the few faces of a body.
    """
    labels = np.arange(count)
    first, second = links.T
    while True:
        one, other = labels[first], labels[second]
        if (one == other).all():
            return labels
        least = np.minimum(one, other)
        np.minimum.at(labels, one, least)  # the labels themselves get another, so that it ends soon
        np.minimum.at(labels, other, least)
        labels = labels[labels]


def _merged(points: Array) -> tuple[Places, Places]:
    """Where each place is met first, in the order of their coordinates, and the place of each."""
    keys = np.rint((points - points.min(axis=0)) / MERGE_M).astype(np.int64)
    wide, deep, high = (int(each) + 1 for each in keys.max(axis=0))
    if wide * deep * high < _MOST_KEYS:  # one number says it, sorted ten times as fast
        keys = (keys[:, 0] * deep + keys[:, 1]) * high + keys[:, 2]
    _, first, number = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    return first, number.reshape(-1)


def newell(loop: Array) -> Array:
    """Normal of a flat loop, as long as twice its area. [m2]"""
    local = loop - loop[0]
    total: Array = crosses(local, _onward(local)).sum(axis=0)
    return total


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


def rings(edges: Places) -> list[tuple[int, ...]]:
    """Closed loops that `edges` make; what doesn't close is left out."""
    beside: dict[int, list[int]] = defaultdict(list)
    for a, b in edges.tolist():
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
        """Take a fan over each outer loop, see `triangles`."""
        own_first, sides = mesh.firsts[mesh.loops], np.arange(len(mesh.starts))
        is_outer = np.isin(mesh.loops, mesh.outer)
        middle = sides[is_outer & (sides != own_first) & (mesh.after != own_first)]
        corners = mesh.points[mesh.starts]
        self._first = corners[own_first[middle]]
        self._edges = (
            corners[middle] - self._first,
            corners[mesh.after[middle]] - self._first,
        )
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
