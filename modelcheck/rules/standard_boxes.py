"""Box sizes that the market has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from modelcheck.rules.tables import TableRow, read_table
from modelcheck.units import from_metres, to_metres


@dataclass(frozen=True, slots=True, kw_only=True)
class StandardBox(TableRow):
    """One size: two sides and the depth behind the cover."""

    width_in: float
    height_in: float
    depth_in: float

    @property
    def sides_m(self) -> tuple[float, float, float]:
        """Width, height and depth in metres."""
        return (
            to_metres(self.width_in, "in"),
            to_metres(self.height_in, "in"),
            to_metres(self.depth_in, "in"),
        )

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"{self.width_in:g} x {self.height_in:g} x {self.depth_in:g} in"


def standard_boxes() -> tuple[StandardBox, ...]:
    """Every size, in file order."""
    return read_table("standard_boxes.csv", StandardBox)


def standard_sizes_m() -> tuple[tuple[float, float, float], ...]:
    """Two sides and depth of every size, in metres."""
    return tuple(row.sides_m for row in standard_boxes())


def boxes_at_hand(sizes_m: Sequence[tuple[float, float, float]]) -> tuple[StandardBox, ...]:
    """Sizes that a user has, as rows.

    Parameters
    ----------
    sizes_m : sequence of 3 float
        Two sides and depth of each. [m]
    """
    return tuple(
        StandardBox(
            width_in=from_metres(width_m, "in"),
            height_in=from_metres(height_m, "in"),
            depth_in=from_metres(depth_m, "in"),
            clause="",
            source="user-settings",
            how="seen",
        )
        for width_m, height_m, depth_m in sizes_m
    )


def smallest_standard_box(
    sides_m: Sequence[float],
    depth_m: float,
    *,
    tolerance_m: float,
    among: Sequence[StandardBox] = (),
) -> StandardBox | None:
    """Size of least volume that is no smaller, either way round, or None if there is none.

    Parameters
    ----------
    sides_m : sequence of float, shape (2,)
        Least sides. [m]
    depth_m : float
        Least depth behind the cover. [m]
    tolerance_m : float
        How far short still serves. [m]
    among : sequence of StandardBox
        To choose from; those of the market if there is none.
    """
    short, long = sorted(side - tolerance_m for side in sides_m)

    def serves(box: StandardBox) -> bool:
        width, height, depth = box.sides_m
        low, high = sorted((width, height))
        return low >= short and high >= long and depth >= depth_m - tolerance_m

    def volume(box: StandardBox) -> tuple[float, float, float]:
        return (box.width_in * box.height_in * box.depth_in, box.width_in, box.depth_in)

    return min(filter(serves, among or standard_boxes()), key=volume, default=None)
