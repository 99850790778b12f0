"""What lies on the walls of a box."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, sqrt

from modelcheck.model.element import Point, Vector, axis_of

_FINEST_M = 1e-10  # the distance changes by the square of it, over a radius


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
        In planes square to an axis, drawn past the edges of their walls or not.

    Returns
    -------
    float
        Exact for circles of one wall or of opposite walls; else to far less than a micrometre. [m]
    """
    one, other = sorted((first, second), key=plane_axis)
    across = [abs(a - b) for a, b in zip(one.centre, other.centre, strict=True)]
    square, other_square = plane_axis(one), plane_axis(other)
    if square == other_square:
        in_plane_m = hypot(*(each for axis, each in enumerate(across) if axis != square))
        return hypot(across[square], max(0.0, in_plane_m - one.radius_m - other.radius_m))
    return gap_round_corner_m(
        (across[other_square], one.radius_m),
        (across[square], other.radius_m),
        across[3 - square - other_square],
    )


def plane_axis(circle: Circle) -> int:
    """Axis that the plane of a circle is square to."""
    return max(range(3), key=lambda axis: abs(circle.normal[axis]))


def gap_round_corner_m(
    one: tuple[float, float], other: tuple[float, float], along_m: float
) -> float:
    """Least distance of two discs in planes that are square to each other.

    Of all points of the other disc that lie `up` along the edge where the planes meet, from its
    middle, the nearest one is `out` from the plane of the first disc; in that plane it lies
    `beside` outside the circle. Both are convex in `up` and nowhere negative, so the sum of their
    squares has one least value, between where each of the two alone is least.

    Parameters
    ----------
    one, other : tuple of float, shape (2,)
        Distance of the centre from the plane of the other disc, and the radius. [m]
    along_m : float
        Between the centres along that edge. [m]
    """
    (from_other_m, radius_m), (from_one_m, other_radius_m) = one, other

    def parts(up_m: float) -> tuple[float, float, float, float]:
        half_m = sqrt(max(0.0, other_radius_m**2 - up_m**2))
        out_m = max(0.0, from_one_m - half_m)
        reach_m = hypot(from_other_m, along_m - up_m)
        return out_m, max(0.0, reach_m - radius_m), half_m, reach_m

    low_m, high_m = 0.0, min(along_m, other_radius_m)
    while high_m - low_m > _FINEST_M:
        up_m = (low_m + high_m) / 2
        out_m, beside_m, half_m, reach_m = parts(up_m)
        # slopes of the two squares, each times what keeps it from being divided by nothing
        if out_m * up_m * reach_m > beside_m * (along_m - up_m) * half_m:
            high_m = up_m
        else:
            low_m = up_m
    return hypot(*parts((low_m + high_m) / 2)[:2])
