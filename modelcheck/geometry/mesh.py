"""Faces as loops of points: which belong together, which are one plane, what a ray meets."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from modelcheck.geometry.path import unit

Array = npt.NDArray[np.float64]
Face = list[Array]  # loops of shape (n, 3), the outer one first [m]

MERGE_M = 1e-5  # points nearer than this are one
_FLAT_COSINE = 1.0 - 2e-5
_NOTHING = 1e-12


@dataclass(frozen=True, slots=True)
class Region:
    """Faces in one plane that touch one another."""

    faces: tuple[int, ...]
    normal: Array  # unit; its sense is that of the loops, so not reliable
    loops: tuple[tuple[int, ...], ...]  # rims, as numbers of points in order


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
        flat = [point for face in faces for loop in face for point in loop]
        if not flat:
            return cls(np.zeros((0, 3)), [], np.zeros((0, 3)))
        grid = np.array(flat)
        base = grid.min(axis=0)
        keys = np.rint((grid - base) / MERGE_M).astype(np.int64)
        _, first, number = np.unique(keys, axis=0, return_index=True, return_inverse=True)
        points = grid[first]
        numbers = iter(number.reshape(-1).tolist())
        mesh = cls(points, [], np.zeros((0, 3)))
        normals = []
        for face in faces:
            loops = [_without_repeats([next(numbers) for _ in loop]) for loop in face]
            loops = [loop for loop in loops if len(loop) > 2]
            normal = newell(points[loops[0]]) if loops else np.zeros(3)
            if not loops or float(np.linalg.norm(normal)) < _NOTHING:
                continue
            mesh.faces.append(loops)
            normals.append(unit(normal))
        mesh.normals = np.array(normals).reshape(-1, 3)
        edges: dict[tuple[int, int], list[int]] = defaultdict(list)
        for place, loops in enumerate(mesh.faces):
            for loop in loops:
                for a, b in zip(loop, loop[1:] + loop[:1], strict=True):
                    edges[min(a, b), max(a, b)].append(place)
        mesh.edges = dict(edges)
        return mesh

    def pieces(self) -> list[list[int]]:
        """Faces that hang together, by shared points."""
        group = list(range(len(self.points)))
        for loops in self.faces:
            root = _root(group, loops[0][0])
            for loop in loops:
                for point in loop:
                    group[_root(group, point)] = root
        found: dict[int, list[int]] = defaultdict(list)
        for place, loops in enumerate(self.faces):
            found[_root(group, loops[0][0])].append(place)
        return list(found.values())

    def regions(self) -> list[Region]:
        """Faces that touch in one plane, as one region each."""
        group = list(range(len(self.faces)))
        for sharing in self.edges.values():
            for other in sharing[1:]:
                flat = abs(float(np.dot(self.normals[sharing[0]], self.normals[other])))
                if flat > _FLAT_COSINE:
                    group[_root(group, other)] = _root(group, sharing[0])
        members: dict[int, list[int]] = defaultdict(list)
        for place in range(len(self.faces)):
            members[_root(group, place)].append(place)
        rims: dict[int, list[tuple[int, int]]] = defaultdict(list)
        for edge, sharing in self.edges.items():
            for root in {_root(group, place) for place in sharing}:
                if sum(_root(group, place) == root for place in sharing) == 1:
                    rims[root].append(edge)
        return [
            Region(tuple(places), self.normals[places[0]], tuple(rings(rims[root])))
            for root, places in members.items()
        ]

    def open_rims(self) -> list[tuple[int, ...]]:
        """Loops of edges that only one face has."""
        return rings([edge for edge, sharing in self.edges.items() if len(sharing) == 1])


def _root(group: list[int], place: int) -> int:
    while group[place] != place:
        group[place] = group[group[place]]
        place = group[place]
    return place


def _without_repeats(loop: list[int]) -> list[int]:
    kept = [a for a, b in zip(loop, loop[1:] + loop[:1], strict=True) if a != b]
    return kept or loop[:1]


def newell(loop: Array) -> Array:
    """Normal of a flat loop, as long as twice its area. [m2]"""
    local = loop - loop[0]
    total: Array = np.cross(local, np.roll(local, -1, axis=0)).sum(axis=0)
    return total


def loop_centre(loop: Array) -> Array:
    """Centre of the area inside a flat loop."""
    middle = loop.mean(axis=0)
    local = loop - middle
    parts = np.cross(local, np.roll(local, -1, axis=0))
    total = parts.sum(axis=0)
    area = float(np.linalg.norm(total))
    if area < _NOTHING:
        return np.asarray(middle)
    weights = parts @ (total / area)
    thirds = (local + np.roll(local, -1, axis=0)) / 3.0
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

    def __init__(self, faces: Sequence[Face]) -> None:
        corners = [each for face in faces for each in triangles(face)]
        self._corners = np.array(corners).reshape(-1, 3, 3)

    def hits(self, start: Array, direction: Array) -> Array:
        """Distances along a ray at which it meets a face, sorted; none behind `start`. [m]"""
        if not len(self._corners):
            return np.zeros(0)
        a = self._corners[:, 0]
        edge1, edge2 = self._corners[:, 1] - a, self._corners[:, 2] - a
        cross = np.cross(direction, edge2)
        determinant = np.einsum("ij,ij->i", edge1, cross)
        scale = np.linalg.norm(edge1, axis=1) * np.linalg.norm(edge2, axis=1)
        ok = np.abs(determinant) > 1e-9 * scale
        inverse = np.where(ok, 1.0 / np.where(ok, determinant, 1.0), 0.0)
        to = start - a
        u = np.einsum("ij,ij->i", to, cross) * inverse
        q = np.cross(to, edge1)
        v = (q @ direction) * inverse
        t = np.einsum("ij,ij->i", edge2, q) * inverse
        inside = ok & (u >= -1e-9) & (v >= -1e-9) & (u + v <= 1.0 + 1e-9) & (t > 0.0)
        return np.sort(t[inside])


def triangles(face: Face) -> list[tuple[Array, Array, Array]]:
    """A fan over the outer loop; holes and hollows are covered too, good enough for a ray's aim."""
    loop = face[0]
    return [(loop[0], loop[place], loop[place + 1]) for place in range(1, len(loop) - 1)]
