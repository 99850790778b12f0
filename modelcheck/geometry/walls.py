"""What lies on the walls of a box."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize_scalar

from modelcheck.model.element import Point, Vector, axis_of

_STEPS = 90  # first look round the circle; the finest feature of the distance is far wider
_ANGLE_STEP = 2 * np.pi / _STEPS
_SAME_PLANE = 1e-9

Array = NDArray[Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """The mouth of a raceway on a wall."""

    centre: Point  # [m]
    normal: Vector  # unit, of the wall
    radius_m: float


def mouth(
    wall: str, *, u_m: float, v_m: float, radius_m: float, inside_m: tuple[float, float, float]
) -> Circle:
    """Circle of a raceway in the axes of its box, from the middle of the inside.

    Parameters
    ----------
    wall : str
        One of ``-x`` … ``+z``.
    u_m, v_m : float
        Centre on the wall from its middle, along the other two axes in their order. [m]
    radius_m : float
        Outside radius of the raceway. [m]
    inside_m : tuple of float, shape (3,)
        Inside size of the box. [m]
    """
    axis, sign = axis_of(wall), 1.0 if wall[0] == "+" else -1.0
    centre, normal = [u_m, v_m], [0.0, 0.0]
    centre.insert(axis, sign * inside_m[axis] / 2)
    normal.insert(axis, sign)
    return Circle(
        centre=(centre[0], centre[1], centre[2]),
        normal=(normal[0], normal[1], normal[2]),
        radius_m=radius_m,
    )


def circle_gap_m(first: Circle, second: Circle) -> float:
    """Least distance between two circles, 0 where they overlap.

    Parameters
    ----------
    first, second : Circle

    Returns
    -------
    float
        Exact for circles of one wall; else to far less than a micrometre. [m]
    """
    between = np.subtract(second.centre, first.centre)
    normal = np.asarray(second.normal)
    parallel = np.linalg.norm(np.cross(first.normal, normal)) < _SAME_PLANE
    if parallel and abs(between @ normal) < _SAME_PLANE:
        return max(0.0, float(np.linalg.norm(between)) - first.radius_m - second.radius_m)

    # a mouth drawn past the edge of its wall may be nearest inside its circle, hence both ways
    return min(_from_circle(first, second), _from_circle(second, first))


def _from_circle(circle: Circle, disc: Circle) -> float:
    """Least distance of a circle from a filled disc."""

    def gap(angle: float | Array) -> Array:
        return _to_disc(_on_circle(circle, angle), disc)

    start = _ANGLE_STEP * int(np.argmin(gap(np.arange(_STEPS) * _ANGLE_STEP)))
    nearest = minimize_scalar(
        gap,
        bounds=(start - _ANGLE_STEP, start + _ANGLE_STEP),
        method="bounded",
        options={"xatol": 1e-12},
    )
    return float(nearest.fun)


def _on_circle(circle: Circle, angle: float | Array) -> Array:
    """Points of the circle at `angle`, shape (..., 3)."""
    across, up = _directions(circle.normal)
    turned = np.cos(angle)[..., None] * across + np.sin(angle)[..., None] * up
    return np.asarray(np.asarray(circle.centre) + circle.radius_m * turned)


@cache
def _directions(normal: Vector) -> tuple[Array, Array]:
    """Two directions square to a normal and to each other."""
    square = np.asarray(normal)
    across = np.cross(square, np.eye(3)[int(np.argmin(np.abs(square)))])
    across /= np.linalg.norm(across)
    return across, np.cross(square, across)


def _to_disc(points: Array, disc: Circle) -> Array:
    """Distance of each of `points`, shape (..., 3), from the filled `disc`."""
    normal = np.asarray(disc.normal)
    offset = points - np.asarray(disc.centre)
    height = offset @ normal
    reach = np.linalg.norm(offset - height[..., None] * normal, axis=-1)
    return np.asarray(np.hypot(height, np.maximum(0.0, reach - disc.radius_m)))
