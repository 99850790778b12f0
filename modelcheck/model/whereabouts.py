"""Where people find an element: what the model says of its place and its trade."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Whereabouts:
    """Place of one element in the words of the building; empty or None where no model tells."""

    storey: str = ""
    storey_elevation_m: float | None = None
    height_m: float | None = None  # above the storey
    space: str = ""
    grid: str = ""  # the nearest grid lines of each direction, such as B/3
    system: str = ""  # system or circuit
    trade: str = ""
