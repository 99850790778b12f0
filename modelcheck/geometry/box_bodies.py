"""Connected bodies of a box, and which of them are the box itself."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from modelcheck.geometry.box_rays import Faces, hits

Array = NDArray[Any]

_SPAN = 0.4  # of the longest body along each axis: as much as the box itself has
_BROAD = 0.3  # of the broadest body: less is a device in the box, or a screw
_VOID = 0.4  # of the body, along each axis: room, not something that stands in it
_WITHIN = 0.15  # of the whole, from each side: something that stands in the box
_STOUT = 0.25  # least to largest size of a body that is no plate
_MOST = 0.5  # of the probes
_PROBE = (-0.031, 0.0, 0.043)  # of the size, off the middle


@dataclass(frozen=True, slots=True, kw_only=True)
class Bodies:
    """Faces in the axes of the box with the body that each belongs to."""

    faces: Faces
    low: Array  # corner of each body, shape (b, 3) [m]
    high: Array  # shape (b, 3) [m]
    component: Array  # number of the item that each body comes from, shape (b,)

    def faces_of(self, chosen: Array) -> Faces:
        """Give the faces of the bodies that a mask of shape (b,) chooses.

        Parameters
        ----------
        chosen : ndarray of bool, shape (b,)
        """
        return self.faces.some(chosen[self.faces.piece])

    def outline(self, chosen: Array) -> tuple[Array, Array]:
        """Low and high corner of the bodies that a mask of shape (b,) chooses.

        Parameters
        ----------
        chosen : ndarray of bool, shape (b,)
        """
        return self.low[chosen].min(axis=0), self.high[chosen].max(axis=0)


def bodies_of(faces: Faces) -> Bodies:
    """Gather connected pieces to bodies: a piece well inside another of its item is its void.

    Parameters
    ----------
    faces : Faces
        In the axes of the box.
    """
    low_face = np.minimum.reduceat(faces.start, faces.first)
    high_face = np.maximum.reduceat(faces.start, faces.first)
    _, first, piece = np.unique(faces.piece, return_index=True, return_inverse=True)
    piece = piece.ravel()
    low, high = np.full((len(first), 3), np.inf), np.full((len(first), 3), -np.inf)
    np.minimum.at(low, piece, low_face)
    np.maximum.at(high, piece, high_face)
    component = faces.component[first]

    within = (low[:, None] > low).all(axis=2) & (high[:, None] < high).all(axis=2)
    large = (high - low)[:, None] >= _VOID * (high - low)
    void = within & large.all(axis=2) & (component[:, None] == component)
    outermost = np.where(void.any(axis=1), np.argmax(void, axis=1), np.arange(len(first)))
    kept, body = np.unique(outermost, return_inverse=True)
    return Bodies(
        faces=replace(faces, piece=body.ravel()[piece]),
        low=low[kept],
        high=high[kept],
        component=component[kept],
    )


def is_solid(bodies: Bodies, number: int) -> bool:
    """Tell whether the middle of a body lies in material, by the parity of ray hits.

    Parameters
    ----------
    bodies : Bodies
    number : int
        Of the body.
    """
    own = bodies.faces_of(np.arange(len(bodies.low)) == number)
    size = bodies.high[number] - bodies.low[number]
    middle = (bodies.high[number] + bodies.low[number]) / 2
    points = middle + np.array(list(product(_PROBE, repeat=3)))[::2] * size
    votes = []
    for axis in range(3):
        met = hits(own, axis, points)
        before = (met < points[:, axis, None]).sum(axis=1)
        beyond = (met > points[:, axis, None]).sum(axis=1)
        votes.append([before % 2 == 1, beyond % 2 == 1])
    return bool((np.mean(votes, axis=2) > _MOST).all())


def main_bodies(bodies: Bodies, among: Array) -> tuple[Array, bool]:
    """Find the bodies that are the box itself.

    Parameters
    ----------
    bodies : Bodies
    among : ndarray of bool, shape (b,)
        The bodies that may be it.

    Returns
    -------
    chosen : ndarray of bool, shape (b,)
        For a box made of plates all but what stands in it.
    solid : bool
    """
    size = bodies.high - bodies.low
    broad = np.sort(size, axis=1)[:, 1:].prod(axis=1)
    large = among & (broad >= _BROAD * broad[among].max())
    spans = large & (size >= _SPAN * size[among].max(axis=0)).all(axis=1)
    stout = large & (size.min(axis=1) >= _STOUT * size.max(axis=1))
    candidates = spans if spans.any() else stout
    if not candidates.any():
        return among & ~_stand_within(bodies, among), False
    largest = int(np.argmax(np.where(candidates, size.prod(axis=1), -1.0)))
    only_largest = np.arange(len(size)) == largest
    if is_solid(bodies, largest):
        return only_largest, True
    hollow = [number for number in np.flatnonzero(spans).tolist() if not is_solid(bodies, number)]
    return only_largest | np.isin(np.arange(len(size)), hollow), False


def _stand_within(bodies: Bodies, among: Array) -> Array:
    """Tell which bodies stand free in a box made of plates."""
    low, high = bodies.outline(among)
    margin = _WITHIN * (high - low)
    within = (bodies.low > low + margin) & (bodies.high < high - margin)
    return np.asarray(within.all(axis=1))
