"""What lies on the walls of a box."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, sqrt

from modelcheck.model.element import Point, axis_of

_FINEST_M = 1e-10  # the distance changes by the square of it, over a radius


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """The mouth of a raceway on a wall."""

    centre: Point  # [m]
    axis: int  # that its wall is square to
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
    axis = axis_of(wall)
    at_m = inside_m[axis] / 2 if wall[0] == "+" else -inside_m[axis] / 2
    centre = ((at_m, u_m, v_m), (u_m, at_m, v_m), (u_m, v_m, at_m))[axis]
    return Circle(centre=centre, axis=axis, radius_m=radius_m)


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
    one, other = (first, second) if first.axis <= second.axis else (second, first)
    (x, y, z), (other_x, other_y, other_z) = one.centre, other.centre
    across = [abs(x - other_x), abs(y - other_y), abs(z - other_z)]
    if one.axis == other.axis:
        square_m = across.pop(one.axis)
        return hypot(square_m, max(0.0, hypot(*across) - one.radius_m - other.radius_m))
    return gap_round_corner_m(
        (across[other.axis], one.radius_m),
        (across[one.axis], other.radius_m),
        across[3 - one.axis - other.axis],
    )


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
    squared = other_radius_m**2
    low_m, high_m = 0.0, min(along_m, other_radius_m)
    while True:
        up_m = (low_m + high_m) / 2
        half_m = sqrt(squared - up_m**2) if up_m < other_radius_m else 0.0
        out_m = from_one_m - half_m if from_one_m > half_m else 0.0
        reach_m = hypot(from_other_m, along_m - up_m)
        beside_m = reach_m - radius_m if reach_m > radius_m else 0.0
        if high_m - low_m <= _FINEST_M:
            return hypot(out_m, beside_m)
        # slopes of the two squares, each times what keeps it from being divided by nothing
        if out_m * up_m * reach_m > beside_m * (along_m - up_m) * half_m:
            high_m = up_m
        else:
            low_m = up_m
