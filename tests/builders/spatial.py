"""Where the elements of a file are: storeys, rooms and grid lines, and the systems they are in."""

from __future__ import annotations

from collections import defaultdict

from tests.builders.habits import Habit
from tests.builders.pen import Entity, Pen
from tests.builders.pieces import Laid
from tests.builders.plant import AtBox, Circuit, Plant, Room, Route, Storey
from tests.builders.space import IDENTITY, Frame
from tests.builders.writer import Level, Writer

_STOREY = Storey(name="BuildingStorey", level_m=3.5)
_ROOM = Room(number="Room")


def add_levels(pen: Pen, plant: Plant, habit: Habit, project: Entity) -> tuple[Level, ...]:
    """Add site, building and storeys; nested ones are turned and lifted."""
    is_nested = habit.placement == "nested"
    shift = Frame.turned((12.0, -4.0, 0.0), about="z", degrees_=(30.0,))
    steps = (habit.motion, shift) if is_nested else (IDENTITY, IDENTITY)
    parent, placement, total = project, None, IDENTITY
    for ifc_class, step in zip(("IfcSite", "IfcBuilding"), steps, strict=True):
        placement = pen.make("IfcLocalPlacement", placement, pen.frame(step))
        name = ifc_class.removeprefix("Ifc")
        parent = _add_node(pen, ifc_class, parent, own_id=ifc_class, name=name, placement=placement)
        total = total @ step
    levels = []
    for number, storey in enumerate(plant.storeys or (_STOREY,)):
        lift = Frame.turned((0.0, 0.0, storey.level_m)) if is_nested else IDENTITY
        stands = pen.make("IfcLocalPlacement", placement, pen.frame(lift))
        own_id = f"IfcBuildingStorey {number}" if number else "IfcBuildingStorey"
        node = _add_node(
            pen, "IfcBuildingStorey", parent, own_id=own_id, name=storey.name, placement=stands
        )
        if habit.says_elevation:
            node.Elevation = pen.length(storey.level_m)
        levels.append(Level(entity=node, frame=total @ lift, level_m=storey.level_m))
    return tuple(levels)


def _add_node(
    pen: Pen, ifc_class: str, parent: Entity, *, own_id: str, name: str, placement: Entity
) -> Entity:
    values = {"Name": name, "ObjectPlacement": placement, "CompositionType": "ELEMENT"}
    node = pen.root(ifc_class, own_id, **values)
    link = {"RelatingObject": parent, "RelatedObjects": [node]}
    pen.root("IfcRelAggregates", f"{own_id} in", **link)
    return node


def contain(writer: Writer) -> None:
    """Put the elements in their storeys, in rooms, or in an assembly of all of them."""
    rooms = _add_rooms(writer)
    held: dict[Entity, list[Entity]] = defaultdict(list)
    if writer.habit.grouping == "assembly":
        held[writer.storey] = [_add_assembly(writer)]
    else:
        for truth_id, element in writer.by_id.items():
            held[_holder(writer, rooms, truth_id)].append(element)
    for number, (holder, elements) in enumerate(held.items()):
        link = {"RelatedElements": elements, "RelatingStructure": holder}
        own_id = f"contained {number}" if number else "contained"
        writer.root("IfcRelContainedInSpatialStructure", own_id, **link)


def _holder(writer: Writer, rooms: list[tuple[Room, Entity]], truth_id: str) -> Entity:
    point = writer.origins[truth_id]
    storey = writer.level_at(point).entity
    if writer.habit.grouping != "space":
        return storey
    return next((entity for room, entity in rooms if room.holds(point)), storey)


def _add_assembly(writer: Writer) -> Entity:
    values = {"Name": "Electrical works", "ObjectPlacement": writer.storey.ObjectPlacement}
    works = writer.root("IfcElementAssembly", "works", **values)
    link = {"RelatingObject": works, "RelatedObjects": list(writer.by_id.values())}
    writer.root("IfcRelAggregates", "whole", **link)
    return works


def _add_rooms(writer: Writer) -> list[tuple[Room, Entity]]:
    is_asked = writer.habit.grouping == "space"
    rooms = writer.plant.rooms or ((_ROOM,) if is_asked else ())
    return [(room, _add_room(writer, room)) for room in rooms]


def _add_room(writer: Writer, room: Room) -> Entity:
    """Add a room; its body, if it has one, is a block in its own coordinates."""
    own_id = "room" if room is _ROOM else f"room {room.number}"
    level = writer.levels[0] if room.corners is None else writer.level_at(room.corners[0])
    values = {"Name": room.number, "CompositionType": "ELEMENT"}
    if room.name:
        values["LongName"] = room.name
    if writer.habit.schema == "IFC2X3":
        values["InteriorOrExteriorSpace"] = "INTERNAL"
    space = writer.root("IfcSpace", own_id, **values)
    space.ObjectPlacement = level.entity.ObjectPlacement
    if room.corners is not None:
        space.ObjectPlacement, pen = writer.place(own_id, Frame.turned(room.corners[0]))
        space.Representation = writer.shape(([pen.block(*room.corners)], "SweptSolid"))
    link = {"RelatingObject": level.entity, "RelatedObjects": [space]}
    writer.root("IfcRelAggregates", "whole" if room is _ROOM else f"{own_id} in", **link)
    return space


def add_grid(writer: Writer) -> None:
    """Add the grid lines, if there are any, in the lowest storey."""
    grid = writer.plant.grid
    if grid is None:
        return
    placement, pen = writer.place("grid", IDENTITY)
    (west, south), (east, north) = grid.low, grid.high
    letters = [_add_axis(pen, tag, ((west, y), (east, y))) for tag, y in grid.along_x.items()]
    numbers = [_add_axis(pen, tag, ((x, south), (x, north))) for tag, x in grid.along_y.items()]
    axes = {"UAxes": letters, "VAxes": numbers}
    made = writer.root("IfcGrid", "grid", Name="Site grid", ObjectPlacement=placement, **axes)
    link = {"RelatedElements": [made], "RelatingStructure": writer.storey}
    writer.root("IfcRelContainedInSpatialStructure", "grid in", **link)


def _add_axis(pen: Pen, tag: str, ends: tuple[tuple[float, float], ...]) -> Entity:
    points = [pen.make("IfcCartesianPoint", pen.row((*end, 0.0))[:2]) for end in ends]
    return pen.make("IfcGridAxis", tag, pen.make("IfcPolyline", points), SameSense=True)


def add_circuits(writer: Writer, laid: Laid) -> None:
    """Add the systems, each with its raceways and the boxes that they meet."""
    for circuit in writer.plant.circuits:
        values = {"Name": circuit.name}
        if writer.habit.circuit_class.startswith("IfcDistribution"):
            values["PredefinedType"] = "ELECTRICAL"
        system = writer.root(writer.habit.circuit_class, f"circuit {circuit.name}", **values)
        members = [writer.by_id[each] for each in _members(writer.plant, circuit, laid)]
        link = {"RelatedObjects": members, "RelatingGroup": system}
        writer.root("IfcRelAssignsToGroup", f"in circuit {circuit.name}", **link)


def _members(plant: Plant, circuit: Circuit, laid: Laid) -> dict[str, None]:
    """Ids of what a circuit is made of, each once and in order."""
    routes: list[Route] = [each for each in plant.routes if each.id in circuit.routes]
    ends = [end for route in routes for end in (route.start, route.end)]
    boxes = [end.box for end in ends if isinstance(end, AtBox)]
    pieces = [piece.id for route in routes for piece in laid[route.id]]
    return dict.fromkeys([*boxes, *pieces])
