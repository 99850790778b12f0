"""Models that were changed after they were drawn, as users and exporters change them."""

from __future__ import annotations

from dataclasses import replace

import ifcopenshell
import pytest

from tests.builders.compare import EXACT, differences, tables
from tests.builders.expect import expect
from tests.builders.guids import guid_of
from tests.builders.habits import Habit
from tests.builders.pieces import Cut
from tests.builders.plant import AtBox, Plant
from tests.builders.scenes import between, facing_boxes
from tests.builders.write_ifc import write
from tests.run_program import check

TIDY = Habit()


def _edited(path, old, new, count=1):
    """Change the text of a model in so many places."""
    text = path.read_text(encoding="utf-8")
    assert text.count(old) >= count, old
    path.write_text(text.replace(old, new, count), encoding="utf-8")


def test_an_element_without_a_global_id_is_named_by_its_number(tmp_path):
    plant = Plant(name="Nameless", boxes=facing_boxes(), routes=(between(),))
    path = tmp_path / "plant.ifc"
    write(plant, TIDY, path)
    _edited(path, f"'{guid_of('R1/S1')}'", "$")
    check([path], tmp_path / "out")
    (run,) = tables(tmp_path / "out")["runs"]
    named = [guid for guid in run["element_guids"].split(";") if guid.startswith("#")]
    assert len(named) == 1
    assert (run["bend_total_deg"], run["outcome"]) == ("0.0", "pass")


def test_a_global_id_that_stands_twice_in_a_file_loses_nothing(tmp_path):
    routes = (between(), replace(between("R2"), start=AtBox("PB-1", "+x", 0.2),
                                  end=AtBox("PB-2", "-x", 0.2)))  # fmt: skip
    plant = Plant(name="Doubles", boxes=facing_boxes(), routes=routes)
    path = tmp_path / "plant.ifc"
    write(plant, TIDY, path)
    _edited(path, guid_of("R2/S1"), guid_of("R1/S1"))
    check([path], tmp_path / "out")
    found = tables(tmp_path / "out")
    assert len(found["runs"]) == 2
    assert len(found["entries"]) == 4
    assert len({row["finding"] for row in found["findings"]}) == len(found["findings"])


def test_a_map_conversion_moves_nothing(tmp_path):
    plant = Plant(name="Mapped", boxes=facing_boxes(), routes=(between(),))
    path = tmp_path / "plant.ifc"
    write(plant, TIDY, path)
    file = ifcopenshell.open(path)
    (context,) = file.by_type("IfcGeometricRepresentationContext")
    crs = file.create_entity("IfcProjectedCRS", Name="EPSG:0")
    shift = {"Eastings": 729e6, "Northings": 5e6, "OrthogonalHeight": 12.0}
    turn = {"XAxisAbscissa": 0.6, "XAxisOrdinate": 0.8}
    file.create_entity("IfcMapConversion", context, crs, **shift, **turn)
    mapped = tmp_path / "mapped.ifc"
    file.write(str(mapped))
    for each in (path, mapped):
        check([each], tmp_path / each.stem)
    rows = [tables(tmp_path / each.stem)["findings"] for each in (path, mapped)]
    points = [[(row["x_m"], row["y_m"], row["z_m"]) for row in each] for each in rows]
    assert points[0] == points[1]
    assert differences(tmp_path / "mapped", expect(plant, TIDY), EXACT) == []


def test_elements_on_a_grid_stand_where_the_grid_says(tmp_path):
    """Each placement is an intersection of two axes with offsets from them."""
    plant = Plant(name="Grid", boxes=facing_boxes(), routes=(between(),))
    path = tmp_path / "plant.ifc"
    write(plant, replace(TIDY, placement="world", ports="none"), path)
    on_grid = tmp_path / "grid.ifc"
    put_on_a_grid(path, on_grid, offset_m=(3.0, 2.0, 0.5))
    check([on_grid], tmp_path / "out")
    expected = expect(plant, replace(TIDY, placement="world"))
    assert differences(tmp_path / "out", expected, EXACT) == []
    (row,) = (r for r in tables(tmp_path / "out")["findings"] if "bends" in r["check"])
    assert float(row["x_m"]) > 3.0


def put_on_a_grid(source, target, *, offset_m):
    """Give every element of a file a grid placement; it moves by `offset_m` in all."""
    file = ifcopenshell.open(source)

    def axis(tag, end):
        ends = [file.create_entity("IfcCartesianPoint", at) for at in ((0.0, 0.0), end)]
        line = file.create_entity("IfcPolyline", ends)
        return file.create_entity("IfcGridAxis", tag, line, SameSense=True)

    u, v = axis("A", (1000.0, 0.0)), axis("1", (0.0, 1000.0))
    origin = file.create_entity("IfcCartesianPoint", (0.0, 0.0, 0.0))
    level = file.create_entity("IfcAxis2Placement3D", origin)
    placement = file.create_entity("IfcLocalPlacement", None, level)
    file.create_entity("IfcGrid", guid_of("grid"), ObjectPlacement=placement, UAxes=[u], VAxes=[v])
    x, y, z = (1000 * value for value in offset_m)
    meet = file.create_entity(
        "IfcVirtualGridIntersection", IntersectingAxes=[u, v], OffsetDistances=(y, -x, z)
    )  # to the left of an axis is positive: +y of one along x, -x of one along y
    for element in file.by_type("IfcElement"):
        element.ObjectPlacement = file.create_entity("IfcGridPlacement", PlacementLocation=meet)
    file.write(str(target))


@pytest.mark.parametrize("ifc_class", ["IfcPlate", "IfcBuildingElementProxy"])
def test_a_cover_drawn_as_an_element_of_its_own_is_no_box(ifc_class, tmp_path):
    """Where the cover is may be told or not; it must not be told wrong."""
    plant = Plant(name="Lids", boxes=facing_boxes(), routes=(between(),))
    path = tmp_path / "plant.ifc"
    write(plant, replace(TIDY, cover="none"), path)
    file = ifcopenshell.open(path)
    (box,) = (each for each in file.by_type("IfcJunctionBox") if each.Tag == "PB-1")
    point = file.create_entity("IfcCartesianPoint", (0.0, 0.0, 153.0))
    up = file.create_entity("IfcDirection", (0.0, 0.0, 1.0))
    profile = file.create_entity("IfcRectangleProfileDef", "AREA", XDim=620.0, YDim=620.0)
    solid = file.create_entity(
        "IfcExtrudedAreaSolid",
        profile,
        file.create_entity("IfcAxis2Placement3D", point),
        up,
        2.0,
    )
    context = file.by_type("IfcGeometricRepresentationContext")[0]
    body = file.create_entity("IfcShapeRepresentation", context, "Body", "SweptSolid", [solid])
    shape = file.create_entity("IfcProductDefinitionShape", None, None, [body])
    lid = file.create_entity(ifc_class, guid_of("lid"), Name="Pull box cover PB-1")
    lid.ObjectPlacement, lid.Representation = box.ObjectPlacement, shape
    file.write(str(path))
    check([path], tmp_path / "out")
    rows = tables(tmp_path / "out")["boxes"]
    assert {row["box_guid"] for row in rows} == {guid_of("PB-1"), guid_of("PB-2")}
    (row,) = (row for row in rows if row["box_guid"] == guid_of("PB-1"))
    assert row["cover"] in ("+z", "unknown")


@pytest.mark.parametrize(
    ("name", "measure", "value"),
    [
        pytest.param("Trade Size (in)", "IfcReal", 2.0, id="number-of-inches"),
        pytest.param("Nominal Diameter [mm]", "IfcReal", 53.0, id="number-of-millimetres"),
        pytest.param("Conduit Trade Size", "IfcText", '2"', id="text"),
        pytest.param("Size", "IfcLabel", "2 inch", id="word"),
        pytest.param("Size", "IfcLabel", "53 mm", id="designator-with-a-unit"),
        pytest.param("Size", "IfcLabel", '2"-2"', id="of-both-ends"),
        pytest.param("Size", "IfcLabel", "2ø", id="with-a-diameter-sign"),
    ],
)
def test_sizes_are_understood_as_people_write_them(name, measure, value, tmp_path):
    plant = Plant(name="Sizes", boxes=facing_boxes(), routes=(between(size="2"),))
    path = tmp_path / "plant.ifc"
    write(plant, replace(TIDY, size="text"), path)
    file = ifcopenshell.open(path)
    for each in file.by_type("IfcPropertySingleValue"):
        if each.Name == "TradeSize":
            each.Name, each.NominalValue = name, file.create_entity(measure, value)
    file.write(str(path))
    check([path], tmp_path / "out")
    assert differences(tmp_path / "out", expect(plant, TIDY), EXACT) == []


def test_a_locknut_inside_the_box_is_passed_through(tmp_path):
    """A short ring round the conduit's end, inside the wall, named so."""
    box, far = facing_boxes()
    plant = Plant(name="Locknuts", boxes=(box, far), routes=(between(size="2"),))
    path = tmp_path / "plant.ifc"
    write(plant, replace(TIDY, cut=Cut(box_end="inner"), ports="none"), path)
    file = ifcopenshell.open(path)
    (conduit,) = (each for each in file.by_type("IfcCableCarrierSegment") if each.Tag == "R1/S1")
    at = file.create_entity("IfcCartesianPoint", (0.0, 0.0, -8.0))
    axes = file.create_entity("IfcAxis2Placement3D", at)
    ring = file.create_entity("IfcCircleHollowProfileDef", "AREA", Radius=37.0, WallThickness=9.0)
    up = file.create_entity("IfcDirection", (0.0, 0.0, 1.0))
    solid = file.create_entity("IfcExtrudedAreaSolid", ring, axes, up, 8.0)
    context = file.by_type("IfcGeometricRepresentationContext")[0]
    body = file.create_entity("IfcShapeRepresentation", context, "Body", "SweptSolid", [solid])
    nut = file.create_entity("IfcCableCarrierFitting", guid_of("nut"), Name="Locknut 2 in")
    nut.ObjectPlacement = conduit.ObjectPlacement
    nut.Representation = file.create_entity("IfcProductDefinitionShape", None, None, [body])
    file.write(str(path))
    check([path], tmp_path / "out")
    found = tables(tmp_path / "out")
    (run,) = found["runs"]
    assert {run["start_guid"], run["end_guid"]} == {guid_of("PB-1"), guid_of("PB-2")}
    assert (run["bend_total_deg"], run["outcome"]) == ("0.0", "pass")
    walls = {(row["box_guid"], row["wall"]): row["conduit_guid"] for row in found["entries"]}
    assert walls[guid_of("PB-1"), "+x"] == guid_of("R1/S1")
    assert len(walls) == 2
