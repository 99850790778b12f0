"""What a model says of the place of an element, in whatever way it is drawn."""

from dataclasses import replace
from pathlib import Path

import ifcopenshell
import pytest

from modelcheck.model.element import ElementRef
from modelcheck.model.whereabouts import Whereabouts
from modelcheck.read.ifc_file import ModelFile
from modelcheck.read.whereabouts import Subject, whereabouts_of
from tests.builders.habits import FAR, TIDY, TURNED
from tests.builders.scenes import first_plant
from tests.builders.space import Frame
from tests.builders.write_ifc import draw
from tests.unit.read.small_model import SmallModel

PLANT = first_plant()
NESTED = replace(TIDY, placement="nested")
# the four boxes stand at (0, 0), (6, 0), (0, 4) and (8, 5); the lines by hand
GRID = {"1": -1.0, "2": 5.0, "3": 9.5}, {"A": -1.0, "B": 3.9, "C": 7.0}
NEAREST = {"PB-1": "1/A", "PB-2": "2/A", "PB-3": "1/B", "PB-4": "3/B"}
HABITS = {
    "tidy": TIDY,
    "world": replace(TIDY, placement="world", motion=TURNED),
    "turned-site-in-feet": replace(NESTED, motion=TURNED, unit="ft", angle="degree"),
    "far-in-inches": replace(NESTED, motion=FAR, unit="in"),
    "old-in-metres": replace(
        NESTED, schema="IFC2X3", unit="m", element_class="flow", box_class="flow-fitting",
        ports="relation", box_body="brep",
    ),
    "newest": replace(NESTED, schema="IFC4X3", reverse=True),
    "in-a-space": replace(NESTED, grouping="space"),
    "in-an-assembly": replace(NESTED, grouping="assembly"),
}  # fmt: skip


def line(pen, start, end):
    points = [pen.make("IfcCartesianPoint", pen.row(point)[:2]) for point in (start, end)]
    return pen.make("IfcPolyline", points)


def add_grid(writer, *, turned_deg=20.0):
    """Add the grid to a file in the making, its placement turned against the plant."""
    turned = Frame.turned((1.0, 2.0, 0.0), about="z", degrees_=(turned_deg,))
    placement, pen = writer.place("grid", turned)
    axes = [
        [
            pen.make("IfcGridAxis", tag, line(pen, *ends), SameSense=True)
            for tag, ends in lines.items()
        ]
        for lines in (
            {tag: ((x, -3.0, 0.0), (x, 9.0, 0.0)) for tag, x in GRID[0].items()},
            {tag: ((-3.0, y, 0.0), (12.0, y, 0.0)) for tag, y in GRID[1].items()},
        )
    ]
    writer.root("IfcGrid", "the grid", ObjectPlacement=placement, UAxes=axes[0], VAxes=axes[1])


def opened(handle, model="plant.ifc"):
    return ModelFile(model=model, path=Path(model), sha256="", schema="", handle=handle)


def box_subjects(writer, model="plant.ifc"):
    return {
        box.id: Subject(
            ref=ElementRef(model=model, guid="", step_id=writer.by_id[box.id].id()),
            at=(writer.habit.motion @ box.frame).point((0.0, 0.0, 0.0)),
        )
        for box in PLANT.boxes
    }


def told(files, subjects):
    return dict(zip(subjects, whereabouts_of(files, [*subjects.values()]), strict=True))


@pytest.mark.parametrize("habit", HABITS.values(), ids=HABITS)
def test_storey_height_and_grid_hang_on_no_habit(habit):
    writer = draw(PLANT, habit, more=add_grid)
    subjects = box_subjects(writer)
    found = told([opened(writer.pen.file)], subjects)
    assert {name: where.grid for name, where in found.items()} == NEAREST
    assert {where.storey for where in found.values()} == {"BuildingStorey"}
    assert {where.space for where in found.values()} == {
        "Room" if habit.grouping == "space" else ""
    }
    if habit.placement == "nested":  # the storey lies 3.5 m up
        assert found["PB-1"].height_m == pytest.approx(2.0 - 3.5, abs=1e-6)
        assert found["PB-4"].height_m == pytest.approx(3.0 - 3.5, abs=1e-6)
        assert found["PB-1"].storey_elevation_m == pytest.approx(3.5, abs=1e-6)


def test_a_grid_in_another_file_in_other_units_tells_of_the_elements_of_all():
    writer = draw(PLANT, replace(NESTED, motion=TURNED))
    other = draw(PLANT, replace(TIDY, motion=TURNED, unit="ft"), part="raceways", more=add_grid)
    files = [opened(writer.pen.file), opened(other.pen.file, "grid.ifc")]
    found = told(files, box_subjects(writer))
    assert {name: where.grid for name, where in found.items()} == NEAREST


def test_a_grid_far_off_says_nothing():
    writer = draw(PLANT, TIDY, more=add_grid)
    subject = box_subjects(writer)["PB-1"]
    places = [(0.0, 36.9, 0.0), (0.0, 37.1, 0.0)]  # line C lies at y = 7
    subjects = [replace(subject, at=at) for at in places]
    found = whereabouts_of([opened(writer.pen.file)], subjects)
    assert [each.grid for each in found] == ["1/C", ""]


def small(unit="m"):
    model = SmallModel(unit=unit)
    model.project = model.file.by_type("IfcProject")[0]
    return model


def placed(model, at=(0.0, 0.0, 0.0), relative_to=None):
    origin = model.make("IfcCartesianPoint", Coordinates=[float(value) for value in at])
    axes = model.make("IfcAxis2Placement3D", Location=origin)
    return model.make("IfcLocalPlacement", PlacementRelTo=relative_to, RelativePlacement=axes)


def contain(model, holder, *elements):
    link = {"RelatedElements": [*elements], "RelatingStructure": holder}
    model.root("IfcRelContainedInSpatialStructure", **link)


def storey(model, name, *, level=0.0, elevation=None, building=None):
    made = model.root("IfcBuildingStorey", Name=name, Elevation=elevation)
    base = building.ObjectPlacement if building else None
    made.ObjectPlacement = placed(model, (0.0, 0.0, level), base)
    model.aggregate(building or model.project, [made])
    return made


def where(model, element, at=(0.0, 0.0, 0.0), **more):
    ref = ElementRef(model="plant.ifc", guid="", step_id=element.id())
    return whereabouts_of([opened(model.file)], [Subject(ref=ref, at=at, **more)])[0]


@pytest.mark.parametrize(
    ("levels", "elevations", "expected"),
    [
        pytest.param((0.0, 4.0), (0.0, 4.0), (4.0, 1.5), id="both-agree"),
        pytest.param((0.0, 0.0), (0.0, 4.0), (4.0, 1.5), id="placements-left-at-zero"),
        pytest.param((0.0, 4.0), (121.0, 125.0), (125.0, 1.5), id="elevations-above-the-sea"),
        pytest.param((0.0, 4.0), (None, None), (4.0, 1.5), id="no-elevations"),
        pytest.param((0.0, 0.0), (0.0, 0.0), (0.0, 5.5), id="all-at-zero"),
    ],
)
def test_the_height_is_above_the_storey_however_its_level_is_told(levels, elevations, expected):
    model = small()
    building = model.root("IfcBuilding", Name="B", ObjectPlacement=placed(model, (0, 0, 100.0)))
    model.aggregate(model.project, [building])
    storeys = [
        storey(model, name, level=level, elevation=elevation, building=building)
        for name, level, elevation in zip(("L1", "L2"), levels, elevations, strict=True)
    ]
    box = model.element("IfcJunctionBox", "PB-1")
    contain(model, storeys[1], box)
    found = where(model, box, (0.0, 0.0, 105.5))
    assert found.storey == "L2"
    assert (found.storey_elevation_m, found.height_m) == pytest.approx(expected)


def test_of_a_lone_storey_whose_two_levels_differ_no_height_is_guessed():
    model = small()
    box = model.element("IfcJunctionBox", "PB-1")
    contain(model, storey(model, "L9", level=0.0, elevation=121.0), box)
    found = where(model, box, (0.0, 0.0, 2.0))
    assert (found.storey, found.storey_elevation_m, found.height_m) == ("L9", 121.0, None)


def test_an_element_referenced_in_two_storeys_has_both_and_no_height():
    model = small()
    box = model.element("IfcJunctionBox", "PB-1")
    for name, level in (("L2", 4.0), ("L1", 0.0)):
        link = {"RelatedElements": [box], "RelatingStructure": storey(model, name, level=level)}
        model.root("IfcRelReferencedInSpatialStructure", **link)
    found = where(model, box, (0.0, 0.0, 2.0))
    assert (found.storey, found.height_m) == ("L1;L2", None)
    contain(model, storey(model, "L3", level=1.0), box)
    assert where(model, box, (0.0, 0.0, 2.0)).storey == "L3"


@pytest.mark.parametrize("relation", ["IfcRelAggregates", "IfcRelNests"])
def test_a_part_is_where_its_whole_is(relation):
    model = small()
    level, space = storey(model, "L1"), model.root("IfcSpace", Name="101", LongName="Switch room")
    model.aggregate(level, [space])
    whole = model.element("IfcElementAssembly", "skid")
    inner = model.element("IfcElementAssembly", "frame")
    box = model.element("IfcJunctionBox", "PB-1")
    model.root(relation, RelatingObject=whole, RelatedObjects=[inner])
    model.root(relation, RelatingObject=inner, RelatedObjects=[box])
    contain(model, space, whole)
    found = where(model, box, (0.0, 0.0, 1.2))
    assert found == Whereabouts(
        storey="L1", storey_elevation_m=0.0, height_m=1.2, space="101 Switch room"
    )


def test_wholes_in_a_circle_and_elements_nowhere_are_no_trouble():
    model = small()
    first, second = (model.element("IfcElementAssembly", name) for name in "ab")
    model.aggregate(first, [second])
    model.aggregate(second, [first])
    assert where(model, first) == Whereabouts()
    assert where(model, model.element("IfcJunctionBox", "PB-1")) == Whereabouts()


def room(model, name, low, size, level, **more):
    """Room with a rectangle drawn upwards as its body."""
    corner = placed(model, low)
    flat = model.make("IfcCartesianPoint", Coordinates=[size[0] / 2, size[1] / 2])
    profile = model.make(
        "IfcRectangleProfileDef",
        ProfileType="AREA",
        Position=model.make("IfcAxis2Placement2D", Location=flat),
        XDim=size[0],
        YDim=size[1],
    )
    up = model.make("IfcDirection", DirectionRatios=[0.0, 0.0, 1.0])
    solid = model.make(
        "IfcExtrudedAreaSolid", SweptArea=profile, ExtrudedDirection=up, Depth=size[2]
    )
    body = {"RepresentationIdentifier": "Body", "RepresentationType": "SweptSolid"}
    shape = model.make(
        "IfcProductDefinitionShape",
        Representations=[model.make("IfcShapeRepresentation", Items=[solid], **body)],
    )
    values = {"Name": name, "ObjectPlacement": corner, "Representation": shape, **more}
    space = model.root("IfcSpace", **values)
    model.aggregate(level, [space])
    return space


def test_the_space_is_the_one_whose_body_holds_the_place_also_of_another_file():
    model, other = small("ft"), small()
    box = model.element("IfcJunctionBox", "PB-1")
    level = storey(other, "L2", level=4.0)
    room(other, "201", (0.0, 0.0, 4.0), (5.0, 4.0, 3.0), level, LongName="Plant room")
    room(other, "202", (5.0, 0.0, 4.0), (5.0, 4.0, 3.0), level)
    whole = {"PredefinedType": "GFA"}
    room(other, "all", (-1.0, -1.0, 4.0), (20.0, 20.0, 3.0), level, **whole)
    files = [opened(model.file), opened(other.file, "rooms.ifc")]
    ref = ElementRef(model="plant.ifc", guid="", step_id=box.id())
    places = [(1.0, 1.0, 5.0), (6.0, 1.0, 5.0), (6.0, 1.0, 8.0), (12.0, 1.0, 5.0)]
    found = whereabouts_of(files, [Subject(ref=ref, at=at) for at in places])
    assert [each.space for each in found] == ["201 Plant room", "202", "", ""]
    assert [each.storey for each in found] == ["L2", "L2", "", ""]
    assert found[0].height_m == pytest.approx(1.0)


def test_the_trade_is_the_kind_of_the_system_else_the_classification():
    model = small()
    box = model.element("IfcJunctionBox", "PB-1")
    assert where(model, box, system="EM-1").system == "EM-1"
    assert where(model, box).trade == ""
    of_type = model.typed(box, "IfcJunctionBoxType", "deep")
    classes = model.make("IfcClassificationReference", Identification="E-20", Name="Power")
    link = {"RelatedObjects": [of_type], "RelatingClassification": classes}
    model.root("IfcRelAssociatesClassification", **link)
    assert where(model, box).trade == "E-20 Power"
    group = model.root("IfcDistributionSystem", Name="EM-1", PredefinedType="LIGHTING")
    model.root("IfcRelAssignsToGroup", RelatedObjects=[box], RelatingGroup=group)
    assert where(model, box).trade == "lighting"


def axis(model, tag, curve):
    return model.make("IfcGridAxis", AxisTag=tag, AxisCurve=curve, SameSense=True)


def flat_line(model, *points):
    made = [model.make("IfcCartesianPoint", Coordinates=list(point)) for point in points]
    return model.make("IfcPolyline", Points=made)


def arc(model, radius, first_deg, second_deg):
    centre = model.make("IfcCartesianPoint", Coordinates=[0.0, 0.0])
    position = model.make("IfcAxis2Placement2D", Location=centre)
    circle = model.make("IfcCircle", Position=position, Radius=radius)
    trims = [
        [model.make("IfcParameterValue", wrappedValue=value)]
        for value in (first_deg / 57.29577951308232, second_deg / 57.29577951308232)
    ]
    return model.make(
        "IfcTrimmedCurve",
        BasisCurve=circle,
        Trim1=trims[0],
        Trim2=trims[1],
        SenseAgreement=True,
        MasterRepresentation="PARAMETER",
    )


def test_round_and_radial_lines_are_told_as_they_are_drawn():
    model = small()
    box = model.element("IfcJunctionBox", "PB-1")
    arcs = [axis(model, f"R{radius}", arc(model, float(radius), 0.0, 180.0)) for radius in (5, 10)]
    rays = [
        axis(model, "E", flat_line(model, (2.0, 0.0), (12.0, 0.0))),
        axis(model, "N", flat_line(model, (0.0, 2.0), (0.0, 12.0))),
        axis(model, "W", flat_line(model, (-2.0, 0.0), (-12.0, 0.0))),
        axis(model, "", flat_line(model, (-3.0, 5.0), (-3.0, 6.0))),
    ]
    model.root("IfcGrid", ObjectPlacement=placed(model), UAxes=arcs, VAxes=rays)
    places = {(6.0, 1.0): "R5/E", (-1.0, 9.0): "R10/N", (-9.0, 2.0): "R10/W", (-3.0, 5.5): "R5/N"}
    found = {at: where(model, box, (*at, 3.0)).grid for at in places}
    assert found == places


def test_a_line_without_ends_and_one_of_a_kind_that_is_not_worked():
    model = small()
    box = model.element("IfcJunctionBox", "PB-1")
    origin = model.make("IfcCartesianPoint", Coordinates=[0.0, 0.0])
    along = model.make("IfcDirection", DirectionRatios=[1.0, 0.0])
    endless = model.make(
        "IfcLine", Pnt=origin, Dir=model.make("IfcVector", Orientation=along, Magnitude=1.0)
    )
    ellipse = model.make(
        "IfcEllipse",
        Position=model.make("IfcAxis2Placement2D", Location=origin),
        SemiAxis1=1.0,
        SemiAxis2=2.0,
    )
    lines = [axis(model, "X", endless), axis(model, "?", ellipse)]
    across = [axis(model, "Y", flat_line(model, (500.0, -9.0), (500.0, 9.0)))]
    model.root("IfcGrid", ObjectPlacement=placed(model), UAxes=lines, VAxes=across)
    assert where(model, box, (501.0, 0.5, 0.0)).grid == "X/Y"


def test_of_two_grids_the_nearer_tells_and_of_two_alike_that_of_the_own_file():
    model, other = small(), small()
    box = model.element("IfcJunctionBox", "PB-1")

    def grid(into, tag, x):
        across = [axis(into, tag, flat_line(into, (x, -9.0), (x, 9.0)))]
        along = [axis(into, "A", flat_line(into, (x - 5.0, 0.0), (x + 5.0, 0.0)))]
        into.root("IfcGrid", ObjectPlacement=placed(into), UAxes=across, VAxes=along)

    grid(other, "theirs", 0.0)
    grid(model, "own", 0.0)
    grid(other, "far wing", 40.0)
    ref = ElementRef(model="plant.ifc", guid="", step_id=box.id())
    files = [opened(other.file, "a.ifc"), opened(model.file)]
    places = [(1.0, 1.0, 0.0), (39.0, 1.0, 0.0)]
    found = whereabouts_of(files, [Subject(ref=ref, at=at) for at in places])
    assert [each.grid for each in found] == ["own/A", "far wing/A"]


_DAMAGED = """ISO-10303-21;
HEADER;FILE_DESCRIPTION((''),'2;1');FILE_NAME('','',(''),(''),'','','');FILE_SCHEMA(('IFC4'));
ENDSEC;
DATA;
#1=IFCPROJECT('0000000000000000000001',$,7,$,$,$,$,$,$);
#2=IFCBUILDINGSTOREY('0000000000000000000002',$,12,$,$,#99,$,$,.ELEMENT.,'high');
#3=IFCSPACE('0000000000000000000003',$,1.5,$,$,#98,#97,$,.ELEMENT.,$,$);
#4=IFCJUNCTIONBOX('0000000000000000000004',$,$,$,$,$,$,$,$);
#5=IFCRELCONTAINEDINSPATIALSTRUCTURE('0000000000000000000005',$,$,$,(#4),#3);
#6=IFCRELAGGREGATES('0000000000000000000006',$,$,$,#2,(#3,#95));
#7=IFCRELASSIGNSTOGROUP('0000000000000000000007',$,$,$,(#4),$,#94);
#8=IFCRELASSOCIATESCLASSIFICATION('0000000000000000000008',$,$,$,(#4),'electrical');
#9=IFCGRIDAXIS(5,#93,.T.);
#10=IFCGRID('0000000000000000000010',$,$,$,$,#2,$,(#9,#92),'x',$,$);
#11=IFCRELAGGREGATES('0000000000000000000011',$,$,$,(1,2),(#2));
#12=IFCJUNCTIONBOX('0000000000000000000012',$,$,$,$,$,$,$,$);
#13=IFCRELCONTAINEDINSPATIALSTRUCTURE('0000000000000000000013',$,$,$,(#12),'storey');
ENDSEC;
END-ISO-10303-21;
"""


def test_damaged_attributes_leave_the_whereabouts_empty(tmp_path):
    path = tmp_path / "damaged.ifc"
    path.write_text(_DAMAGED, encoding="utf-8")
    file = opened(ifcopenshell.open(str(path)), "damaged.ifc")
    subjects = [
        Subject(ref=ElementRef(model="damaged.ifc", guid="", step_id=step_id), at=(0.0, 0.0, 1.0))
        for step_id in (4, 12)
    ]
    for found in whereabouts_of([file], subjects):
        assert (found.storey, found.space, found.grid, found.trade) == ("", "", "", "")
        assert found.storey_elevation_m in (None, 0.0)
