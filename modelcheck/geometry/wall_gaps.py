"""Bounds of the distance between two mouths, far quicker than the distance itself."""

from __future__ import annotations

from math import dist, hypot

from modelcheck.geometry.walls import Circle, circle_gap_m


def gap_bounds_m(first: Circle, second: Circle) -> tuple[float, float]:
    """Least and greatest that the distance between two circles can be.

    Parameters
    ----------
    first, second : Circle
        In planes square to an axis.

    Returns
    -------
    tuple of float, shape (2,)
        The same twice where it is exact: circles of one wall, or of two walls round a corner at
        the same height along it. [m]
    """
    centres_m = dist(first.centre, second.centre)
    reach_m = first.radius_m + second.radius_m
    across = [abs(a - b) for a, b in zip(first.centre, second.centre, strict=True)]
    one, other = (_axis(each) for each in (first, second))
    if one == other:
        in_plane_m = hypot(*(each for axis, each in enumerate(across) if axis != one))
        least_m = hypot(across[one], max(0.0, in_plane_m - reach_m))
        return (least_m, least_m if across[one] == 0 else centres_m)
    along_m = across[3 - one - other]
    from_other_m = across[one] - second.radius_m  # of the nearest point of the second circle
    from_one_m = across[other] - first.radius_m
    if min(from_other_m, from_one_m) < 0:  # drawn past the edge of its wall
        return (0.0, centres_m)
    least_m = hypot(from_other_m, from_one_m, max(0.0, along_m - reach_m))
    return (least_m, hypot(from_other_m, from_one_m, along_m))


def gap_reaches(first: Circle, second: Circle, distance_m: float) -> bool:
    """Whether two circles are at least `distance_m` apart.

    Parameters
    ----------
    first, second : Circle
        In planes square to an axis.
    distance_m : float
        [m]
    """
    least_m, most_m = gap_bounds_m(first, second)
    if least_m >= distance_m:
        return True
    return most_m >= distance_m and circle_gap_m(first, second) >= distance_m


def _axis(circle: Circle) -> int:
    return max(range(3), key=lambda axis: abs(circle.normal[axis]))
