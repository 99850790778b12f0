"""Raceway that can't be read never lets a box pass that it may enter, and no more boxes than these.

The row of boxes along x: PB-1 with two conduits that end at it and one, R3, that goes on in y; and
PB-9, far from all of them. Both pass by themselves.
"""

from __future__ import annotations

from dataclasses import replace

import ifcopenshell
import pytest

from tests.builders.habits import TIDY
from tests.builders.plant import AtBox, AtPoint, Box, Plant, Route
from tests.builders.space import Frame
from tests.builders.write_ifc import write
from tests.trust.verdicts import checked, new_passes

FAR_M = 40.0
ANYWHERE = "no ports tell which boxes it may enter"


def _straight(run, box, wall, by_m, at=(0.0, 0.0)):
    size = "4" if run == "R3" else "1"
    end = tuple(a + b for a, b in zip((*at, 0.0), by_m, strict=True))
    return Route(id=run, trade_size_in=size, start=AtBox(box, wall), end=AtPoint(end, cap=True))


BOXES = Plant(
    name="Two boxes",
    boxes=tuple(
        Box(id=name, inside_m=(0.6, 0.6, 0.3), frame=Frame.turned((x_m, 0.0, 0.0)))
        for name, x_m in (("PB-1", 0.0), ("PB-9", FAR_M))
    ),
    routes=(
        _straight("R1", "PB-1", "-x", (-2.0, 0.0, 0.0)),
        _straight("R2", "PB-1", "+x", (2.0, 0.0, 0.0)),
        _straight("R3", "PB-1", "+y", (0.0, 2.0, 0.0)),
        _straight("R8", "PB-9", "-x", (-2.0, 0.0, 0.0), (FAR_M, 0.0)),
        _straight("R9", "PB-9", "+x", (2.0, 0.0, 0.0), (FAR_M, 0.0)),
    ),
)


def element(file, tag):
    return next(each for each in file.by_type("IfcElement") if each.Tag == tag)


def moved_to(file, product, place_m):
    """Place a product anew, in the project's coordinates."""
    at = [1000.0 * value for value in place_m]
    point = file.create_entity("IfcCartesianPoint", at)
    axes = file.create_entity("IfcAxis2Placement3D", point)
    product.ObjectPlacement = file.create_entity("IfcLocalPlacement", None, axes)


def reports(tmp_path, spoil, ports="nested"):
    """Before and after `spoil` was done to R3 of a plant, of which the body is gone."""
    write(BOXES, replace(TIDY, ports=ports), tmp_path / "whole.ifc")
    file = ifcopenshell.open(tmp_path / "whole.ifc")
    conduit = element(file, "R3/S1")
    conduit.Representation = None
    spoil(file, conduit)
    file.write(str(tmp_path / "spoilt.ifc"))
    return checked(tmp_path / "whole.ifc"), checked(tmp_path / "spoilt.ifc")


def boxes_of(report):
    return {
        row.enclosure.ref.tag: (row.outcome, row.enclosure.missing_entry) for row in report.boxes
    }


def no_ports(file, conduit):
    for relation in conduit.IsNestedBy:
        file.remove(relation)


def far_away(file, conduit):
    no_ports(file, conduit)
    moved_to(file, conduit, (0.0, 500.0, 0.0))


def one_port(_, conduit):
    (relation,) = conduit.IsNestedBy
    relation.RelatedObjects = relation.RelatedObjects[:1]


def unplaced_unlinked(file, conduit):
    for port in conduit.IsNestedBy[0].RelatedObjects:
        port.ObjectPlacement = None
    for relation in file.by_type("IfcRelConnectsPorts"):
        file.remove(relation)


def ports_at_one_point(file, conduit):
    first, second = conduit.IsNestedBy[0].RelatedObjects
    for relation in file.by_type("IfcRelConnectsPorts"):
        file.remove(relation)
    second.ObjectPlacement = first.ObjectPlacement


@pytest.mark.parametrize(
    "spoil", [far_away, one_port, unplaced_unlinked, ports_at_one_point], ids=lambda x: x.__name__
)
def test_raceway_that_nothing_tells_the_ends_of_leaves_every_box_open(tmp_path, spoil):
    before, after = reports(tmp_path, spoil)
    assert boxes_of(before)["PB-9"] == ("pass", "")
    assert {outcome for outcome, _ in boxes_of(after).values()} == {"needs-input"}
    assert ANYWHERE in boxes_of(after)["PB-9"][1]
    told = [each for each in after.findings if each.subject.tag == "PB-9"]
    assert told
    assert all(ANYWHERE in each.message for each in told)
    assert new_passes(before, after) == []


def between_boxes(file, conduit):
    """Ports beyond the box on both sides: it goes through."""
    for port, y_m in zip(conduit.IsNestedBy[0].RelatedObjects, (-2.0, 2.0), strict=True):
        moved_to(file, port, (0.0, y_m, 0.0))


def linked_only(_, conduit):
    for port in conduit.IsNestedBy[0].RelatedObjects:
        port.ObjectPlacement = None


def nothing_more(_, conduit):
    assert len(conduit.IsNestedBy[0].RelatedObjects) == 2


@pytest.mark.parametrize(
    "spoil",
    [nothing_more, between_boxes, linked_only],
    ids=["at-the-box", "through-the-box", "by-its-links"],
)
def test_raceway_that_its_ports_bound_leaves_only_the_boxes_there_open(tmp_path, spoil):
    before, after = reports(tmp_path, spoil)
    assert boxes_of(after)["PB-1"][0] == "needs-input"
    assert "Conduit R3/S1" in boxes_of(after)["PB-1"][1]
    assert boxes_of(after)["PB-9"] == ("pass", "")
    assert new_passes(before, after) == []


def test_raceway_in_parts_that_are_drawn_is_not_missing(tmp_path):
    def spoil(file, conduit):
        part = file.create_entity("IfcCableCarrierSegment", GlobalId=ifcopenshell.guid.new())
        part.Name, part.PredefinedType = "Conduit R3/S1 part", "CONDUITSEGMENT"
        part.Representation = element(file, "R1/S1").Representation
        moved_to(file, part, (0.0, 900.0, 0.0))
        file.create_entity(
            "IfcRelAggregates",
            GlobalId=ifcopenshell.guid.new(),
            RelatingObject=conduit,
            RelatedObjects=[part],
        )
        far_away(file, conduit)

    _, after = reports(tmp_path, spoil)
    assert boxes_of(after)["PB-9"] == ("pass", "")


def test_a_cap_without_a_body_leaves_no_box_open(tmp_path):
    write(BOXES, TIDY, tmp_path / "whole.ifc")
    file = ifcopenshell.open(tmp_path / "whole.ifc")
    caps = [each for each in file.by_type("IfcElement") if "cap" in (each.Name or "").lower()]
    assert len(caps) == len(BOXES.routes)
    caps[0].Representation = None
    no_ports(file, caps[0])
    file.write(str(tmp_path / "spoilt.ifc"))
    assert boxes_of(checked(tmp_path / "spoilt.ifc"))["PB-9"] == ("pass", "")


def coupled(tmp_path, place_m):
    """A coupling without body or ports, placed somewhere."""
    write(BOXES, TIDY, tmp_path / "whole.ifc")
    file = ifcopenshell.open(tmp_path / "whole.ifc")
    coupling = file.create_entity("IfcCableCarrierFitting", GlobalId=ifcopenshell.guid.new())
    coupling.Name = "EMT coupling"
    moved_to(file, coupling, place_m)
    file.write(str(tmp_path / "spoilt.ifc"))
    return boxes_of(checked(tmp_path / "spoilt.ifc"))


@pytest.mark.parametrize(
    ("place_m", "left_open"),
    [
        ((2.0, 0.0, 0.0), []),
        ((0.5, 0.0, 0.0), ["PB-1"]),
        ((0.0, 500.0, 0.0), ["PB-1", "PB-9"]),
    ],
    ids=["at-an-end", "at-a-box", "away-from-all-raceway"],
)
def test_a_coupling_without_a_body_hides_no_entry_away_from_its_place(tmp_path, place_m, left_open):
    """That a coupling is a few inches long: common practice, no source."""
    found = coupled(tmp_path, place_m)
    assert [name for name, (_, missing) in sorted(found.items()) if missing] == left_open


def test_raceway_that_the_settings_leave_out_leaves_no_box_open(tmp_path):
    reports(tmp_path, far_away)
    settings = tmp_path / "settings.toml"
    query = 'IfcCableCarrierSegment, Name != "Conduit R3/S1"'
    settings.write_text(f"[select]\nconduit = '{query}'\n", encoding="utf-8")
    report = checked(tmp_path / "spoilt.ifc", settings=settings)
    assert boxes_of(report)["PB-9"] == ("pass", "")


def test_many_that_nothing_bounds_are_told_in_few_words(tmp_path):
    def spoil(file, conduit):
        far_away(file, conduit)
        other = element(file, "R2/S1")
        other.Representation = None
        far_away(file, other)

    _, after = reports(tmp_path, spoil)
    (doubt,) = {doubt for _, doubt in boxes_of(after).values()}
    assert doubt.startswith("Conduit R2/S1 and 1 more can't be read")
