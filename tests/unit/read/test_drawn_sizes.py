"""A diameter that is the outside of one size and the nominal value of another.

Outside diameters and nominal sizes are those of ``rules/data``; that a file draws all its raceway
one way is common practice, no source.
"""

from __future__ import annotations

import pytest

from modelcheck.model.element import Bend, Conduit, ElementRef, RacewaySize, Role
from modelcheck.model.settings import Settings
from modelcheck.read.drawn_sizes import as_others_are_drawn
from modelcheck.read.elements import read_elements
from modelcheck.read.ifc_file import open_models
from modelcheck.read.properties import Properties
from modelcheck.read.recognised import Kind
from modelcheck.read.sizes import RacewaySizes
from tests.builders.pen import Pen
from tests.unit.read.small_model import SmallModel

BOTH_MM = {"3": 88.9, "3-1/2": 101.6}  # outside diameter of the one, nominal value of the next
NEXT = {"3": "3-1/2", "3-1/2": "4"}


def size(mm: float, name: str = "C-1") -> RacewaySize:
    """Size of a segment of this name, drawn so thick."""
    model = SmallModel()
    element = model.element("IfcFlowSegment", name)
    sizes = RacewaySizes(Properties(model.file), Settings())
    return sizes.of(element, kind=Kind.SEGMENT, drawn_diameter_m=mm / 1000)


def conduit(of: RacewaySize, *, model: str = "a.ifc", role: Role = Role.SEGMENT) -> Conduit:
    ref = ElementRef(model=model, guid="0")
    bend = Bend(
        angle_deg=90.0,
        radius_m=0.5,
        at=(0.0, 0.0, 0.0),
        element=ref,
        trade_size_in=of.trade_size_in,
    )
    return Conduit(ref=ref, role=role, size=of, ends=(), bends=(bend,))


def settled(of: RacewaySize, *others: Conduit) -> RacewaySize:
    return as_others_are_drawn([*others, conduit(of)])[-1].size


OUTSIDE = conduit(size(60.3))  # 2 in, by its outside diameter alone
NOMINAL = conduit(size(50.8))  # 2 in, by its nominal value alone


@pytest.mark.parametrize(("trade_size", "mm"), BOTH_MM.items())
def test_a_file_that_draws_nominal_sizes_draws_this_one_so_too(trade_size, mm):
    found = settled(size(mm), NOMINAL)
    assert (found.trade_size_in, found.size_from) == (NEXT[trade_size], "diameter")
    (note,) = found.assumptions
    assert f"{mm} mm" in note
    assert "taken for the nominal size" in note


@pytest.mark.parametrize(("trade_size", "mm"), BOTH_MM.items())
def test_a_file_that_draws_outside_diameters_draws_this_one_so_too(trade_size, mm):
    found = settled(size(mm), OUTSIDE)
    assert found.trade_size_in == trade_size
    assert "taken for the outside diameter" in found.assumptions[-1]


@pytest.mark.parametrize(
    "others",
    [
        (),
        (OUTSIDE, NOMINAL),
        (conduit(size(50.8), model="b.ifc"),),
        (conduit(size(50.8), role=Role.FITTING),),
        (conduit(size(101.6)),),
    ],
    ids=["alone", "both-ways", "another-file", "a-fitting", "as-unsure"],
)
def test_where_the_file_does_not_tell_the_size_stays_with_its_assumption(others):
    before = size(101.6)
    assert settled(before, *others) is before
    assert "4 in (103)" in before.assumptions[-1]


@pytest.mark.parametrize(("name", "wanted"), [('Conduit 3"', "3-1/2"), ('Conduit 3-1/2"', "4")])
def test_a_size_that_is_told_says_how_the_file_draws(name, wanted):
    assert settled(size(101.6), conduit(size(88.9, name))).trade_size_in == wanted


@pytest.mark.parametrize(("other", "wanted"), [(OUTSIDE, "1-1/4"), (NOMINAL, "1-1/2")])
def test_a_diameter_equally_near_to_both_is_told_by_the_file(other, wanted):
    unsure = size(38.23)
    assert not unsure.known
    assert settled(unsure, other).trade_size_in == wanted


def test_a_size_that_is_told_or_sure_stays_as_it_is():
    for each in (size(101.6, 'Conduit 4"'), size(60.3), size(48.3)):
        assert settled(each, NOMINAL) is each


def test_bends_are_of_the_size_that_was_settled():
    (_, found) = as_others_are_drawn([NOMINAL, conduit(size(101.6))])
    assert [bend.trade_size_in for bend in found.bends] == ["4"]


def test_the_conduits_of_a_model_are_settled_when_it_is_read(tmp_path):
    model = SmallModel()
    pen = Pen(model.file, 0.001, 1.0)
    for place, mm in enumerate((101.6, 50.8, 78.0)):
        item = pen.extrusion(pen.circle(mm / 2000), pen.axes((place * 1.0, 0.0, 0.0)), 2.0)
        body = pen.make("IfcShapeRepresentation", None, "Body", "SweptSolid", [item])
        model.element(
            "IfcCableCarrierSegment",
            f"C-{place}",
            PredefinedType="CONDUITSEGMENT",
            Representation=pen.make("IfcProductDefinitionShape", None, None, [body]),
        )
    path = tmp_path / "nominal.ifc"
    model.file.write(str(path))
    found = read_elements(open_models([path]), Settings())
    assert [each.size.trade_size_in for each in found.conduits] == ["4", "2", "3"]
