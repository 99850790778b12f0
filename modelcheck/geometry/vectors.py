"""Sums, products and angles of points and vectors that are plain tuples."""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, radians, sin

from modelcheck.model.element import Point, Vector


def minus(first: Point, second: Point) -> Vector:
    """Vector from `second` to `first`."""
    return (first[0] - second[0], first[1] - second[1], first[2] - second[2])


def moved(point: Point, direction: Vector, by_m: float) -> Point:
    """Point that lies `by_m` along `direction` from `point`.

    Parameters
    ----------
    point : Point
    direction : Vector
    by_m : float
        In lengths of `direction`. [m]
    """
    return (
        point[0] + by_m * direction[0],
        point[1] + by_m * direction[1],
        point[2] + by_m * direction[2],
    )


def reversed_of(vector: Vector) -> Vector:
    """Vector the other way."""
    return (-vector[0], -vector[1], -vector[2])


def dot(first: Vector, second: Vector) -> float:
    """Scalar product.

    Parameters
    ----------
    first, second : Vector
    """
    return first[0] * second[0] + first[1] * second[1] + first[2] * second[2]


def length(vector: Vector) -> float:
    """Length of a vector.

    Parameters
    ----------
    vector : Vector
    """
    return hypot(*vector)


def middle(points: tuple[Point, ...]) -> Point:
    """Mean of some points, one at least."""
    count = len(points)
    return (
        sum(point[0] for point in points) / count,
        sum(point[1] for point in points) / count,
        sum(point[2] for point in points) / count,
    )


def angle_deg(first: Vector, second: Vector) -> float:
    """Angle between two vectors, exact for small ones too.

    Parameters
    ----------
    first, second : Vector

    Returns
    -------
    float
        0 to 180. [deg]
    """
    a, b, c = first
    x, y, z = second
    sine = hypot(b * z - c * y, c * x - a * z, a * y - b * x)
    return degrees(atan2(sine, a * x + b * y + c * z))


def off_line_m(point: Point, start: Point, direction: Vector) -> float:
    """Distance of `point` from the line through `start` along the unit `direction`.

    Parameters
    ----------
    point, start : Point
    direction : Vector

    Returns
    -------
    float
        [m]
    """
    offset = minus(point, start)
    return length(moved(offset, direction, -dot(offset, direction)))


def corner(
    first: Point, first_direction: Vector, second: Point, second_direction: Vector
) -> tuple[float, float] | None:
    """How far along each of two lines the place is where they are nearest; None if parallel.

    Parameters
    ----------
    first, second : Point
    first_direction, second_direction : Vector
        Unit.
    """
    offset = minus(second, first)
    cosine = dot(first_direction, second_direction)
    bottom = 1.0 - cosine * cosine
    if bottom < 1e-9:
        return None
    along_first, along_second = dot(offset, first_direction), dot(offset, second_direction)
    return (
        (along_first - cosine * along_second) / bottom,
        (cosine * along_first - along_second) / bottom,
    )


def in_frame(point: Point, origin: Point, axes: tuple[Vector, Vector, Vector]) -> Point:
    """Coordinates of `point` along the unit `axes` from `origin`."""
    x, y, z = point[0] - origin[0], point[1] - origin[1], point[2] - origin[2]
    (a, b, c), (d, e, f), (g, h, i) = axes
    return (x * a + y * b + z * c, x * d + y * e + z * f, x * g + y * h + z * i)


def out_of_frame(point: Point, origin: Point, axes: tuple[Vector, Vector, Vector]) -> Point:
    """Point in project coordinates of coordinates along `axes` from `origin`."""
    for value, axis in zip(point, axes, strict=True):
        origin = moved(origin, axis, value)
    return origin


def cross(first: Vector, second: Vector) -> Vector:
    """Vector product.

    Parameters
    ----------
    first, second : Vector
    """
    return (
        first[1] * second[2] - first[2] * second[1],
        first[2] * second[0] - first[0] * second[2],
        first[0] * second[1] - first[1] * second[0],
    )


def unit(vector: Vector) -> Vector:
    """Vector of length one in the direction of `vector`; zero stays zero."""
    size = length(vector)
    return (vector[0] / size, vector[1] / size, vector[2] / size) if size > 0.0 else vector


def turned(vector: Vector, axis: Vector, by_deg: float) -> Vector:
    """`vector` turned right-handed about the unit `axis`.

    Parameters
    ----------
    vector, axis : Vector
    by_deg : float
        [deg]
    """
    cosine, sine = cos(radians(by_deg)), sin(radians(by_deg))
    across = cross(axis, vector)
    along = dot(axis, vector) * (1.0 - cosine)
    x, y, z = (
        v * cosine + c * sine + a * along for v, c, a in zip(vector, across, axis, strict=True)
    )
    return (x, y, z)


def turn_about_deg(first: Vector, second: Vector, axis: Vector) -> float:
    """How far `first` is turned right-handed about the unit `axis` to lie over `second`.

    Parameters
    ----------
    first, second, axis : Vector

    Returns
    -------
    float
        0 to 360. [deg]
    """
    sine, cosine = dot(cross(first, second), axis), dot(first, second)
    along = dot(first, axis) * dot(second, axis)
    return degrees(atan2(sine, cosine - along)) % 360.0
