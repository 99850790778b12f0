"""Placements worked together are those that each has by itself; odd ones are told of alone."""

from __future__ import annotations

import numpy as np
import pytest

from modelcheck.read.copies import Copies
from modelcheck.read.curves import UNSOUND_RAISES, Scales, UnreadableError
from modelcheck.read.placements import Placements
from tests.builders.pen import Pen
from tests.builders.space import Frame
from tests.unit.read.small_model import SmallModel

TURNED = Frame.turned((7.0, -3.0, 2.0), about="zyx", degrees_=(30.0, 20.0, 10.0))


@pytest.fixture
def model():
    return SmallModel()


def placements(model, *, copies=None):
    return Placements(Scales.of(model.file), copies or Copies(frozenset()))


def placed(model, position, base=None):
    return model.make("IfcLocalPlacement", PlacementRelTo=base, RelativePlacement=position)


def chain(model):
    """A storey that is turned, a thing on it, and a part of that thing."""
    pen = Pen(model.file, 0.001, 1.0)
    storey = placed(model, pen.frame(TURNED))
    thing = placed(model, pen.axes((1.0, 2.0, 3.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)), storey)
    return [storey, thing, placed(model, pen.axes((0.1, 0.0, 0.0)), thing)]


@pytest.mark.parametrize("order", [1, -1], ids=["base-first", "base-last"])
def test_placements_worked_together_are_those_worked_alone(model, order):
    wanted = chain(model)
    together = placements(model)
    together.prepare(wanted[::order])
    for each in wanted:
        alone = placements(model, copies=Copies())
        assert np.array_equal(together.of(each), alone.of(each))


def test_a_part_on_a_turned_storey_stands_where_both_put_it(model):
    *_, part = chain(model)
    together = placements(model)
    together.prepare([part])
    own = np.array((1.0, 2.0, 3.0 + 0.1))  # its x axis is the storey's z
    assert together.of(part)[:3, 3] == pytest.approx(TURNED.matrix[:3, :3] @ own + (7.0, -3.0, 2.0))


@UNSOUND_RAISES
def test_a_placement_that_is_damaged_spoils_none_of_the_others(model):
    pen = Pen(model.file, 1.0, 1.0)
    damaged = placed(model, pen.axes((1e300, 0.0, 1e308)))
    short = pen.make("IfcCartesianPoint", [1.0])
    lacking = placed(model, pen.make("IfcAxis2Placement3D", short))
    itself = placed(model, pen.axes((0.0, 0.0, 0.0)))
    itself.PlacementRelTo = itself
    *_, part = chain(model)
    together = placements(model)
    together.prepare([damaged, None, lacking, itself, part])
    assert np.isfinite(together.of(part)).all()
    with pytest.raises(UnreadableError):
        together.of(lacking)
    with pytest.raises(UnreadableError, match="hangs on itself"):
        together.of(itself)
