"""Placements of elements in project coordinates, the whole chain in double precision."""

from __future__ import annotations

import math
from collections.abc import Iterable
from contextlib import suppress

import numpy as np

from modelcheck.geometry.frames import Array, Numbers, framed, identity
from modelcheck.read.attributes import attribute
from modelcheck.read.copied_frames import UNUSUAL, frame_in
from modelcheck.read.copies import Copies, Copy
from modelcheck.read.curves import (
    DAMAGED,
    UNSOUND_RAISES,
    Scales,
    UnreadableError,
    axis_placement,
    path_of,
)
from modelcheck.read.property_values import Entity

_ONES = np.ones(16)


class Placements:
    """Matrices of the placements of one file; each is worked once."""

    def __init__(self, scales: Scales, copies: Copies) -> None:
        self._scales = scales
        self._copies = copies
        self._known: dict[int, Array] = {}

    def prepare(self, placements: Iterable[Entity | None]) -> None:
        """Work many placements together; what can't be is left to `of`."""
        fresh: dict[int, tuple[Array, Numbers, Array]] = {}
        for placement in placements:
            with suppress(UnreadableError, *UNUSUAL, *DAMAGED):
                if placement is not None and placement.is_a() == "IfcLocalPlacement":
                    base = self.of(attribute(placement, "PlacementRelTo"))
                    own = self._copies.of(attribute(placement, "RelativePlacement"))
                    if type(own) is Copy:
                        fresh[placement.id()] = (base, *frame_in(own.values))
        if fresh:
            bases, origins, turns = map(np.array, zip(*fresh.values(), strict=True))
            with np.errstate(all="ignore"):  # what isn't sound is left to `of` too
                matrices = bases @ framed(origins * self._scales.length_m, turns)
                sound = np.isfinite(matrices.reshape(-1, 16) @ _ONES)
            for step_id, matrix, is_sound in zip(fresh, matrices, sound, strict=True):
                if is_sound:
                    self._known[step_id] = matrix

    @UNSOUND_RAISES
    def of(self, placement: Entity | None) -> Array:
        """Matrix from local to project coordinates, lengths in metres.

        Raises
        ------
        UnreadableError
            If the placement hangs on itself or is of a kind that can't be worked.
        """
        chain: dict[int, Entity] = {}
        while placement is not None and (step_id := placement.id()) not in self._known:
            if step_id in chain:
                raise UnreadableError("its placement hangs on itself")
            chain[step_id] = placement
            placement = _base(placement)
        matrix = identity() if placement is None else self._known[step_id]
        for step_id, each in reversed(chain.items()):
            matrix = matrix @ self._relative(each)
            if not math.isfinite(matrix.ravel().dot(_ONES)):
                raise UnreadableError("its placement holds a number that is none")
            self._known[step_id] = matrix
        return matrix

    def _relative(self, placement: Entity) -> Array:
        scale = self._scales.length_m
        if placement.is_a() == "IfcLocalPlacement":
            return axis_placement(self._copies.of(attribute(placement, "RelativePlacement")), scale)
        if placement.is_a("IfcGridPlacement"):
            return self._on_grid(placement)
        position = getattr(placement, "CartesianPosition", None)
        if position is None:
            raise UnreadableError(f"its placement is an {placement.is_a()} without coordinates")
        return axis_placement(position, scale)

    def _on_grid(self, placement: Entity) -> Array:
        """Frame on the crossing of two grid axes, x along the first of them."""
        location = placement.PlacementLocation
        lines = [path_of(axis.AxisCurve, self._scales) for axis in location.IntersectingAxes]
        if any(len(line) != 1 or line[0].centre is not None for line in lines):
            raise UnreadableError("its grid has axes that aren't straight")
        first, second = lines[0][0], lines[1][0]
        along, other = first.direction(0.0), second.direction(0.0)
        across = float(np.cross(along, other)[2])
        if abs(across) < 1e-9:  # noqa: PLR2004 - parallel axes
            raise UnreadableError("the axes of its grid don't cross")
        reach = float(np.cross(second.start - first.start, other)[2]) / across
        offsets = [float(each) * self._scales.length_m for each in location.OffsetDistances]
        x_off, y_off, z_off = (*offsets, 0.0, 0.0, 0.0)[:3]
        normal = np.array([-along[1], along[0], 0.0])
        matrix = identity()
        matrix[:3, 0], matrix[:3, 1] = along, normal
        matrix[:3, 3] = first.start + reach * along + x_off * along + y_off * normal
        matrix[2, 3] += z_off
        return matrix


def _base(placement: Entity) -> Entity | None:
    if placement.is_a() == "IfcLocalPlacement":
        return attribute(placement, "PlacementRelTo")
    base = getattr(placement, "PlacementRelTo", None)
    if base is None and placement.is_a("IfcGridPlacement"):
        axis = placement.PlacementLocation.IntersectingAxes[0]
        grids = (*axis.PartOfU, *axis.PartOfV, *axis.PartOfW)
        base = grids[0].ObjectPlacement if grids else None
    return base
