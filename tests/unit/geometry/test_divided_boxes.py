"""Boxes with a plate in their middle are measured from wall to wall, and said to be divided."""

import numpy as np
import pytest

from tests.unit.geometry.drawn_boxes import block, measured, plates, shell, slab
from tests.unit.geometry.test_box_measure import HALF, INSIDE, OPEN, WALL

AXES = "xyz"


def divider(axis: int, *, reach: float = 1.0):
    """A plate across the whole inside, or a part of it."""
    half = HALF * reach
    half[axis] = WALL / 2
    return block(-half, half)


@pytest.mark.parametrize("axis", [0, 1], ids=["x", "y"])
@pytest.mark.parametrize("reach", [1.0, 0.95], ids=["welded-in", "clear-of-the-walls"])
@pytest.mark.parametrize("draw", [plates, shell], ids=["plates", "skin"])
def test_a_divider_in_the_very_middle_is_no_wall(draw, reach, axis):
    drawn = draw(INSIDE, WALL, OPEN)
    bodies = list(drawn.values()) if isinstance(drawn, dict) else [drawn]
    bodies.append(slab(INSIDE, WALL, "+z", thick=WALL))
    box = measured(*bodies, divider(axis, reach=reach))
    assert box.inside_m == pytest.approx(INSIDE, abs=1e-6)
    assert box.divided == f"a plate divides the box between -{AXES[axis]} and +{AXES[axis]}"
    assert box.cover == measured(*bodies).cover


@pytest.mark.parametrize("draw", [plates, shell], ids=["plates", "skin"])
def test_a_box_without_a_divider_is_not_divided(draw):
    drawn = draw(INSIDE, WALL, OPEN)
    bodies = list(drawn.values()) if isinstance(drawn, dict) else [drawn]
    assert measured(*bodies).divided == ""
    assert measured(block(-HALF, HALF)).divided == ""
    assert measured(*[[face] for face in block(-HALF, HALF, OPEN)]).divided == ""


def test_a_solid_block_with_a_plate_on_it_is_not_divided():
    lid = slab(INSIDE, 0.0, "+z", thick=WALL)
    assert measured(block(-HALF, HALF), lid).divided == ""
    assert measured(block(-HALF, HALF), block(np.zeros(3), HALF)).divided == ""
