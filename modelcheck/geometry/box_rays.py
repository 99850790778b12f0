"""Faces of a body as flat arrays, cut into connected pieces and met by rays along the axes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

_SAME_VERTEX_M = 1e-5
_NO_AREA_M2 = 1e-12
_EDGEWAYS = 1e-4  # a face so nearly along the ray has no depth to speak of
_SAME_DEPTH_M = 1e-3  # ray hits no farther apart belong to one face of a wall
_LEVEL_M = 1e-9  # rise of an edge that no line can tell from none
_CORNERS = 3  # of a loop at least

Array = NDArray[Any]
_PER_FACE = ("normal", "level", "area", "component", "piece")


@dataclass(frozen=True, slots=True, kw_only=True)
class Faces:
    """Planar faces with holes; loops are met by the even-odd rule, so they may run either way."""

    start: Array  # of each edge, shape (e, 3) [m]
    end: Array  # of each edge, shape (e, 3) [m]
    first: Array  # number of each face's first edge, shape (f,)
    normal: Array  # unit, either way, shape (f, 3)
    level: Array  # of the face along its normal, shape (f,) [m]
    area: Array  # less the holes, shape (f,) [m2]
    component: Array  # number of the item it belongs to, shape (f,)
    piece: Array  # number of the connected piece it belongs to, shape (f,)

    def turned(self, axes: Array) -> Faces:
        """Give the faces in other axes through the same origin.

        Parameters
        ----------
        axes : ndarray, shape (3, 3)
            Unit vectors as rows.
        """
        return replace(
            self,
            start=self.start @ axes.T,
            end=self.end @ axes.T,
            normal=self.normal @ axes.T,
        )

    def some(self, chosen: Array) -> Faces:
        """Give the faces that a mask of shape (f,) chooses.

        Parameters
        ----------
        chosen : ndarray of bool, shape (f,)
        """
        size = np.diff(self.first, append=len(self.start))
        edges = np.repeat(chosen, size)
        kept = size[chosen]
        per_face = {name: getattr(self, name)[chosen] for name in _PER_FACE}
        return Faces(
            start=self.start[edges], end=self.end[edges], first=np.cumsum(kept) - kept, **per_face
        )


def flat_faces(items: Sequence[Sequence[Sequence[Array]]], about: Array) -> Faces:
    """Lay out the faces of several items in arrays; faces without area are left out.

    Parameters
    ----------
    items : sequence of sequence of sequence of ndarray, shape (n, 3)
        Items of faces of loops, the outer loop first. [m]
    about : ndarray, shape (3,)
        Taken off every point, so that far coordinates keep their digits. [m]
    """
    loops: list[Array] = []
    face_of_loop: list[int] = []
    component: list[int] = []
    for number, faces in enumerate(items):
        for face in faces:
            drawn = [loop for loop in face if len(loop) >= _CORNERS]
            loops += drawn
            face_of_loop += [len(component)] * len(drawn)
            component.append(number)
    if not loops:
        return _no_faces()
    return _with_areas(
        [np.asarray(loop, dtype=float) - about for loop in loops],
        np.array(face_of_loop),
        np.array(component),
    )


def _no_faces() -> Faces:
    points, numbers, lengths = np.zeros((0, 3)), np.zeros(0, dtype=int), np.zeros(0)
    return Faces(
        start=points, end=points, first=numbers, normal=points, level=lengths, area=lengths,
        component=numbers, piece=numbers,
    )  # fmt: skip


def _with_areas(loops: list[Array], face_of_loop: Array, component: Array) -> Faces:
    """Work out normal, level and area of each face."""
    size = np.array([len(loop) for loop in loops])
    opening = np.cumsum(size) - size
    start = np.concatenate(loops)
    following = np.arange(len(start)) + 1
    following[opening + size - 1] = opening
    end = start[following]

    near = np.repeat(start[opening], size, axis=0)
    swept = np.add.reduceat(np.cross(start - near, end - near), opening) / 2
    loop_area = np.linalg.norm(swept, axis=1)
    outer = np.flatnonzero(np.diff(face_of_loop, prepend=-1))
    area = 2 * loop_area[outer] - np.add.reduceat(loop_area, outer)
    real = (area > _NO_AREA_M2) & (loop_area[outer] > _NO_AREA_M2)

    kept_loops = np.isin(face_of_loop, face_of_loop[outer][real])
    kept_edges = np.repeat(kept_loops, size)
    if not kept_edges.any():
        return _no_faces()
    normal = swept[outer][real] / loop_area[outer][real, None]
    edges = np.add.reduceat(size, outer)[real]
    middle = (np.add.reduceat(start, opening) / size[:, None])[outer][real]
    first = np.cumsum(edges) - edges
    faces = Faces(
        start=start[kept_edges],
        end=end[kept_edges],
        first=first,
        normal=normal,
        level=np.einsum("ij,ij->i", normal, middle),
        area=area[real],
        component=component[face_of_loop[outer][real]],
        piece=np.zeros(len(first), dtype=int),
    )
    return replace(faces, piece=_pieces(faces, np.repeat(np.arange(len(first)), edges)))


def _pieces(faces: Faces, face_of_edge: Array) -> Array:
    """Number the connected pieces: faces of one item that share a vertex."""
    labelled = np.column_stack([faces.start, faces.component[face_of_edge] * 1e3])
    vertices, number = np.unique(labelled, axis=0, return_inverse=True)
    number = number.ravel()
    near = cKDTree(vertices).query_pairs(_SAME_VERTEX_M, output_type="ndarray")
    of_face = np.column_stack([number, number[faces.first][face_of_edge]])
    links = np.concatenate([near, of_face])
    graph = coo_array((np.ones(len(links)), (links[:, 0], links[:, 1])), shape=(len(vertices),) * 2)
    _, piece = connected_components(graph, directed=False)
    return np.asarray(piece[number[faces.first]])


def hits(faces: Faces, axis: int, lines: Array) -> Array:
    """Where lines along an axis meet each face.

    Parameters
    ----------
    faces : Faces
    axis : int
        0, 1 or 2.
    lines : ndarray, shape (n, 3)
        A point of each line. [m]

    Returns
    -------
    ndarray, shape (n, f)
        Coordinate along the axis, NaN where the line misses the face. [m]
    """
    u, v = (axis + 1) % 3, (axis + 2) % 3
    at_u, at_v = lines[:, u, None], lines[:, v, None]
    low_u, low_v = faces.start[:, u], faces.start[:, v]
    run, rise = faces.end[:, u] - low_u, faces.end[:, v] - low_v
    level = np.abs(rise) < _LEVEL_M
    slope = np.where(level, 0.0, run / np.where(level, 1.0, rise))
    spans = (low_v > at_v) != (faces.end[:, v] > at_v)
    crossed = spans & (at_u < low_u + (at_v - low_v) * slope)
    inside = np.logical_xor.reduceat(crossed, faces.first, axis=1)

    along = faces.normal[:, axis]
    square = np.abs(along) > _EDGEWAYS
    drop = faces.level - at_u * faces.normal[:, u] - at_v * faces.normal[:, v]
    return np.where(inside & square, drop / np.where(square, along, 1.0), np.nan)


def commonest(depths: Array) -> tuple[float, Array]:
    """Give the depth that most of `depths` share, and which of them do.

    Parameters
    ----------
    depths : ndarray, shape (n,)
        NaN for none; at least one is a number. [m]

    Returns
    -------
    depth_m : float
        Median of those that agree. [m]
    agree : ndarray of bool, shape (n,)
    """
    found = np.sort(depths[~np.isnan(depths)])
    count = np.searchsorted(found, found + _SAME_DEPTH_M, side="right") - np.arange(len(found))
    lowest = int(np.argmax(count))
    low = found[lowest]
    agree = (depths >= low) & (depths <= low + _SAME_DEPTH_M)
    return float(found[lowest + (count[lowest] - 1) // 2]), agree
