"""Where to stand to see a box or a run, and where its points then are in the picture."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import dist, radians, sin, tan

from modelcheck.geometry.vectors import cross, dot, moved, unit
from modelcheck.model.element import Enclosure, Point, Vector

FIELD_DEG = 60.0  # upright; BCF 2.1 takes 45 to 60
ASPECT = 4 / 3  # width to height
_HALF_HEIGHT = tan(radians(FIELD_DEG / 2))  # of what is seen, to how far it is away
_ROOM = 1.25  # what is seen to what is looked at
_LEAST_M = 0.1  # radius that is looked at
_LEAST_DEPTH_M = 1e-6  # that a place before the camera is taken to have
_FROM_ABOVE: Vector = (0.6, -0.8, 0.7)
_ASIDE, _ABOVE = 0.5, 0.35  # of a box, to its cover side
_UPRIGHT = 0.98


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """A perspective camera in project coordinates; its directions are unit and square."""

    eye: Point
    direction: Vector
    up: Vector
    right: Vector

    def seen(self, points: Iterable[Point]) -> list[tuple[float, float, float]]:
        """Places of `points` in the picture, and how far before the camera each is.

        Returns
        -------
        list of tuple of float
            To the right and up from the middle, in half heights of the picture; depth. [m]
        """
        (ex, ey, ez), (dx, dy, dz) = self.eye, self.direction
        (rx, ry, rz), (ux, uy, uz) = self.right, self.up
        found = []
        for px, py, pz in points:
            x, y, z = px - ex, py - ey, pz - ez
            depth = x * dx + y * dy + z * dz
            reach = (depth if depth > _LEAST_DEPTH_M else _LEAST_DEPTH_M) * _HALF_HEIGHT
            right, up = x * rx + y * ry + z * rz, x * ux + y * uy + z * uz
            found.append((right / reach, up / reach, depth))
        return found


def looking_at(points: Sequence[Point], toward: Vector = _FROM_ABOVE) -> Camera:
    """Camera that has all of `points` in its picture.

    Parameters
    ----------
    points : sequence of Point
        One or more.
    toward : Vector
        From what is looked at to the camera.
    """
    x, y, z = ((min(values) + max(values)) / 2 for values in zip(*points, strict=True))
    middle = (x, y, z)
    radius_m = _ROOM * max(_LEAST_M, *(dist(middle, point) for point in points))
    away = unit(toward)
    direction = (-away[0], -away[1], -away[2])
    eye = moved(middle, away, radius_m / sin(radians(FIELD_DEG / 2)))
    up = _up(direction)
    return Camera(eye=eye, direction=direction, up=up, right=cross(direction, up))


def cover_side(box: Enclosure) -> Vector:
    """Direction from which its cover is seen; where that isn't known, from above."""
    if not box.cover:
        return _FROM_ABOVE
    wall = box.cover[0]
    number = "xyz".index(wall[1])
    front, aside, above = (box.axes[(number + step) % 3] for step in range(3))
    if abs(aside[2]) > abs(above[2]):
        aside, above = above, aside
    sign = 1.0 if wall[0] == "+" else -1.0
    upward = _ABOVE if above[2] >= 0 else -_ABOVE
    x, y, z = (
        sign * a + _ASIDE * b + upward * c for a, b, c in zip(front, aside, above, strict=True)
    )
    return (x, y, z)


def corners(box: Enclosure) -> tuple[Point, ...]:
    """Eight outer corners of a box; none of one that has no size."""
    if not all(low < high for low, high in zip(box.outside_low_m, box.outside_high_m, strict=True)):
        return ()
    found = []
    for number in range(8):
        point = box.origin
        for axis, (low, high) in enumerate(zip(box.outside_low_m, box.outside_high_m, strict=True)):
            point = moved(point, box.axes[axis], high if number >> axis & 1 else low)
        found.append(point)
    return tuple(found)


def _up(direction: Vector) -> Vector:
    """Direction in the picture that is as near to upright as can be."""
    upright: Vector = (0.0, 0.0, 1.0) if abs(direction[2]) < _UPRIGHT else (0.0, 1.0, 0.0)
    return unit(moved(upright, direction, -dot(upright, direction)))
