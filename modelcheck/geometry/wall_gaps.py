"""Whether two mouths of a box keep a distance, in a box of any size: quicker than the distance."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, inf, sqrt

from modelcheck.geometry.walls import gap_round_corner_m
from modelcheck.model.element import axis_of

Inside = tuple[float, float, float]  # size of a box [m]
_HAIR_M = 1e-9  # more than the noise of what is worked in another order


@dataclass(frozen=True, slots=True, kw_only=True)
class Mouth:
    """A raceway on a wall of a box; its place on the wall stays when the box is resized."""

    wall: str
    u_m: float
    v_m: float
    radius_m: float

    @property
    def axis(self) -> int:
        """Axis that its wall is square to."""
        return axis_of(self.wall)

    @property
    def sign(self) -> float:
        """Side of the box on which its wall is."""
        return 1.0 if self.wall[0] == "+" else -1.0

    def along_m(self, axis: int) -> float:
        """Centre along an axis of its wall."""
        return self.v_m if axis > 1 or self.axis > axis == 1 else self.u_m


@dataclass(frozen=True, slots=True, kw_only=True)
class OnOneWall:
    """Two mouths of one wall, the same distance apart in every box."""

    gap_m: float

    @classmethod
    def of(cls, first: Mouth, second: Mouth) -> OnOneWall:
        """Look at two mouths of one wall."""
        centres_m = hypot(first.u_m - second.u_m, first.v_m - second.v_m)
        return cls(gap_m=max(0.0, centres_m - first.radius_m - second.radius_m))

    def reaches(self, distance_m: float, _: Inside) -> bool:
        """Whether they are at least `distance_m` apart, edge to edge."""
        return self.gap_m >= distance_m


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundCorner:
    """Two mouths in walls that meet, `one` in that which is square to the earlier axis."""

    one_axis: int
    other_axis: int
    one_from_m: float  # centre from the middle of its wall towards that of the other
    other_from_m: float
    one_radius_m: float
    other_radius_m: float
    along_m: float  # between the centres along the edge where the walls meet
    beside_m: float  # what two of their points are at least apart along it

    @classmethod
    def of(cls, first: Mouth, second: Mouth) -> RoundCorner:
        """Look at two mouths, in either order."""
        one, other = sorted((first, second), key=lambda each: each.axis)
        along = 3 - one.axis - other.axis
        along_m = abs(one.along_m(along) - other.along_m(along))
        return cls(
            one_axis=one.axis,
            other_axis=other.axis,
            one_from_m=other.sign * one.along_m(other.axis),
            other_from_m=one.sign * other.along_m(one.axis),
            one_radius_m=one.radius_m,
            other_radius_m=other.radius_m,
            along_m=along_m,
            beside_m=max(0.0, along_m - one.radius_m - other.radius_m),
        )

    def reaches(self, distance_m: float, inside_m: Inside) -> bool:
        """Whether they are at least `distance_m` apart, edge to edge, in a box of this size.

        Most are told by bounds: along the edge, their nearest points are no further apart than the
        centres, and no nearer than these less both radii.
        """
        from_other_m = abs(inside_m[self.other_axis] / 2 - self.one_from_m)
        from_one_m = abs(inside_m[self.one_axis] / 2 - self.other_from_m)
        one_m, other_m = from_other_m - self.one_radius_m, from_one_m - self.other_radius_m
        if one_m >= 0 and other_m >= 0:  # else one is drawn past the edge of its wall
            if hypot(one_m, other_m, self.beside_m) >= distance_m:
                return True
            if hypot(one_m, other_m, self.along_m) < distance_m:
                return False
        elif hypot(from_other_m, from_one_m, self.along_m) < distance_m:
            return False
        one, other = (from_other_m, self.one_radius_m), (from_one_m, self.other_radius_m)
        return gap_round_corner_m(one, other, self.along_m) >= distance_m

    def bounds_m(self, distance_m: float, axis: int, inside_m: Inside) -> tuple[float, float]:
        """Lengths along an axis between which they begin to be `distance_m` apart.

        Told by the bounds of `reaches`: they are not in a box that is shorter than the first, and
        are in one at least as long as the second.
        """
        from_other_m = inside_m[self.other_axis] / 2 - self.one_from_m
        from_one_m = inside_m[self.one_axis] / 2 - self.other_from_m
        if axis == self.one_axis:
            kept_m, edge_m = (
                from_other_m - self.one_radius_m,
                self.other_from_m + self.other_radius_m,
            )
        else:
            kept_m, edge_m = from_one_m - self.other_radius_m, self.one_from_m + self.one_radius_m
        if kept_m < 0:
            return 0.0, inf
        squared = distance_m**2 - kept_m**2
        least, most = squared - self.along_m**2, squared - self.beside_m**2
        too_short_m = 2 * (edge_m + sqrt(least)) - _HAIR_M if least > 0 else 0.0
        return too_short_m, 2 * (edge_m + sqrt(max(0.0, most))) + _HAIR_M
