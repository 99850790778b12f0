"""What is drawn alike is worked once, wherever it stands; what differs in anything is not alike."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from modelcheck.geometry.frames import moved
from modelcheck.model.element import ElementRef, RacewaySize, Role
from modelcheck.read.content import content_of
from modelcheck.read.copies import Copies
from modelcheck.read.curves import Scales
from modelcheck.read.engine import Engine
from modelcheck.read.ports import Port
from modelcheck.read.shapes import Drawing, Drawn, Shapes
from modelcheck.read.ways import Ways, conduit_of
from tests.builders.pen import Pen
from tests.builders.space import Frame
from tests.unit.read.small_model import SmallModel

TURNED = Frame.turned((7.0, -3.0, 2.0), about="zyx", degrees_=(30.0, 20.0, 10.0)).matrix


def pipe(pen, *, depth_m=2.0, name=""):
    return pen.extrusion(pen.circle(0.03, name=name), pen.axes((0.0, 0.0, 0.0)), depth_m)


def drawn_of(model, *items):
    """An element at the origin that is drawn with these items."""
    pen = Pen(model.file, 0.001, 1.0)
    body = model.make(
        "IfcShapeRepresentation",
        RepresentationIdentifier="Body",
        RepresentationType="SweptSolid",
        Items=list(items),
    )
    shape = model.make("IfcProductDefinitionShape", Representations=[body])
    placement = model.make("IfcLocalPlacement", RelativePlacement=pen.axes((0.0, 0.0, 0.0)))
    return model.element(
        "IfcCableCarrierSegment", "C-1", ObjectPlacement=placement, Representation=shape
    )


@pytest.fixture
def model():
    return SmallModel()


@pytest.fixture
def pen(model):
    return Pen(model.file, 0.001, 1.0)


def test_instances_of_one_text_are_alike_whatever_their_numbers(pen):
    assert content_of(pipe(pen)) == content_of(pipe(pen))


@pytest.mark.parametrize(
    "other",
    [{"depth_m": 2.000001}, {"name": "EMT #5"}, {"name": "EMT"}],
    ids=["depth", "name-like-a-reference", "name"],
)
def test_instances_that_differ_in_anything_are_not_alike(pen, other):
    assert content_of(pipe(pen)) != content_of(pipe(pen, **other))


def test_a_reference_in_a_text_is_no_reference(pen):
    assert content_of(pipe(pen, name="EMT #5")) != content_of(pipe(pen, name="EMT #6"))


def test_what_refers_to_other_things_is_not_alike(pen):
    """Twice the same point, and two that lie apart."""
    first, second = pen.point((0.0, 0.0)), pen.point((1.0, 0.0))
    once = pen.make("IfcPolyline", [first, second, first])
    other = pen.make("IfcPolyline", [first, second, second])
    assert content_of(once) != content_of(other)


def test_what_differs_far_down_is_not_alike(pen):
    """Deeper than any stack."""

    def nested(size_m):
        item = pen.make("IfcBlock", pen.axes((0.0, 0.0, 0.0)), size_m, 1.0, 1.0)
        for _ in range(3000):
            item = pen.make("IfcCsgSolid", item)
        return item

    assert content_of(nested(1.0)) == content_of(nested(1.0))
    assert content_of(nested(1.0)) != content_of(nested(2.0))


def test_elements_drawn_alike_share_one_drawing(model, pen):
    shapes = Shapes(Scales.of(model.file), Engine(), Copies())
    one, same = (shapes.of(drawn_of(model, pipe(pen))) for _ in range(2))
    other = shapes.of(drawn_of(model, pipe(pen, depth_m=3.0)))
    assert one.own is same.own
    assert one.own is not other.own


def test_a_piece_is_placed_as_if_it_had_been_drawn_where_it_stands(model, pen):
    shapes, ways = Shapes(Scales.of(model.file), Engine(), Copies()), Ways()
    flat = pen.axes((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))
    bend = pen.make(
        "IfcRevolvedAreaSolid",
        pen.circle(0.03),
        flat,
        pen.make("IfcAxis1Placement", pen.point((0.0, 0.3, 0.0)), pen.direction((1.0, 0.0, 0.0))),
        90.0,
    )
    drawn = shapes.of(drawn_of(model, bend))
    ref = ElementRef(model="m.ifc", guid="1")
    facts = {"ref": ref, "role": Role.FITTING, "size": RacewaySize(), "system": ""}
    facts |= {"is_cable": False, "ported_to": ()}

    def conduit(drawn):
        return conduit_of(ways.of(drawn, tuple, Role.FITTING), drawn, **facts)

    here, there = conduit(drawn), conduit(Drawn(TURNED, drawn.own))
    (own,), (placed,) = here.bends, there.bends
    pairs = [
        *zip(here.centreline, there.centreline, strict=True),
        *((one.point, two.point) for one, two in zip(here.ends, there.ends, strict=True)),
        (own.at, placed.at),
        *zip(own.arc, placed.arc, strict=True),
    ]
    for point, where in pairs:
        assert moved(TURNED, np.array(point)) == pytest.approx(where)
    for one, two in zip(here.ends, there.ends, strict=True):
        assert TURNED[:3, :3] @ one.direction == pytest.approx(two.direction)
    assert (there.length_m, placed.angle_deg) == (here.length_m, own.angle_deg)
    assert here.length_m == pytest.approx(0.3 * np.pi / 2)


def test_a_way_is_worked_once_for_all_that_are_drawn_alike(model, pen):
    shapes, ways = Shapes(Scales.of(model.file), Engine(), Copies()), Ways()
    first = shapes.of(drawn_of(model, pipe(pen)))
    way = ways.of(first, tuple, Role.SEGMENT)
    assert ways.of(replace(first, matrix=TURNED), tuple, Role.SEGMENT) is way
    assert ways.of(first, tuple, Role.CAP) is not way
    assert ways.of(Drawn(TURNED, Drawing()), tuple, Role.SEGMENT) is not way


def test_of_elements_drawn_alike_each_has_its_own_ports(model, pen):
    """A bar that tells no ends: one without ports, then one with a port on each end face."""
    shapes, ways = Shapes(Scales.of(model.file), Engine(), Copies()), Ways()
    bar = shapes.of(drawn_of(model, pen.block((-0.5, -0.4, -0.3), (0.5, 0.4, 0.3))))
    moved_bar = Drawn(TURNED, bar.own)
    ends = [np.array((x, 0.1, 0.0)) for x in (-0.5, 0.5)]
    ports = [Port(moved(TURNED, end), TURNED[:3, 0]) for end in ends]
    for _ in range(2):
        assert ways.of(bar, tuple, Role.FITTING).outline.evidence == "body"
        way = ways.of(moved_bar, lambda: ports, Role.FITTING)
        assert way.outline.evidence == "port"
        assert [mouth.point for mouth in way.outline.shape.mouths] == [
            pytest.approx(end) for end in ends
        ]


@pytest.mark.parametrize("matrix", [np.eye(4), TURNED], ids=["home", "turned"])
def test_the_block_around_an_element_holds_its_body(model, pen, matrix):
    shapes = Shapes(Scales.of(model.file), Engine(), Copies())
    element = drawn_of(model, pipe(pen))
    shapes.placements.of = lambda _: matrix
    low, high = shapes.block_of(element)
    for z in (0.0, 2.0):
        for x, y in ((0.03, 0.0), (-0.03, 0.0), (0.0, 0.03), (0.0, -0.03)):
            corner = moved(matrix, np.array((x, y, z)))
            assert (np.array(low) <= corner + 1e-9).all()
            assert (corner <= np.array(high) + 1e-9).all()


def test_an_element_without_a_body_has_no_block(model):
    shapes = Shapes(Scales.of(model.file), Engine(), Copies())
    assert shapes.block_of(model.element("IfcFlowTerminal", "P-1")) is None
