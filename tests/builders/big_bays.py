"""Bays of a large building: conduit and boxes as a plant, and as many elements of other trades.

A plant stands in each bay, drawn in one of several habits. `@` in an id stands for the bay.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from tests.builders.habits import Habit
from tests.builders.layout import Layout, moves
from tests.builders.pen import Entity, Pen
from tests.builders.pieces import Cut
from tests.builders.plant import AtBox, AtPoint, Plant
from tests.builders.properties import describe, single
from tests.builders.space import IDENTITY, Frame, Line, Point
from tests.builders.writer import Draw, Writer

BAY_M = (14.0, 10.0)  # from bay to bay along x and y
_LARGE, _SMALL = (0.9, 0.75, 0.25), (0.4, 0.3, 0.2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bay:
    """What stands in a bay, and how an exporter draws it."""

    plant: Plant
    habit: Habit
    in_room: bool  # placed in a room of its own, not in the storey


def _plant(inside_m: Point, size: str) -> Plant:
    """Three boxes; straight and angle pulls, 450 degrees of bend, a cap and an open end."""
    made = Layout("Large building", "EMT")
    made.box("@-PB1", (1.5, 1.0, 2.6), inside_m)
    made.box("@-PB2", (10.5, 1.0, 2.6), inside_m)
    made.box("@-PB3", (10.5, 4.6, 2.6), inside_m)
    made.join("@-R1", size, ("@-PB1", "+x", -0.12, 0.0), ("@-PB2", "-x", -0.12, 0.0))
    made.join("@-R2", size, ("@-PB1", "+x", 0.12, 0.0), ("@-PB2", "-x", 0.12, 0.0))
    made.join("@-R3", size, ("@-PB2", "+y", 0.0, 0.0), ("@-PB3", "-y", 0.0, 0.0))
    made.join("@-R4", size, ("@-PB1", "+y", 0.0, 0.0), ("@-PB3", "-x", 0.0, 0.0), bends=1)
    start = ("@-PB3", "+x", 0.0, 0.0)
    *corners, end = moves(
        made.mouth(start)[0],
        *(("x", 0.8), ("y", 0.9), ("z", -1.2), ("x", -2.5), ("y", 1.0), ("x", -1.6)),
    )
    made.route("@-R5", size, AtBox(*start), AtPoint(end, cap=True), corners)
    made.stub("@-R6", "3/4", ("@-PB2", "+x", 0.0, 0.0), reach_m=0.7)
    return made.plant()


_COUPLED = Cut(joints="coupling")
_SOLID = Habit(cut=_COUPLED, ports="none")
_SWEPT = Habit(
    element_class="carrier-typed", size="type-set", segment_body="disk", elbow_body="disk"
)
_FLOW = Habit(
    element_class="flow",
    box_class="flow-fitting",
    segment_body="hollow",
    elbow_body="revolve-hollow",
    box_body="block",
    cover="property",
    ports="none",
    size="name",
    cut=Cut(joints="coupling", connectors=True),
)
_MAPPED = Habit(
    segment_body="stretched", elbow_body="mapped", box_body="mapped", ports="none", size="length",
    cut=_COUPLED,
)  # fmt: skip
_MESHED = Habit(
    segment_body="extrusion", elbow_body="mesh", box_body="polygons", ports="none", size="md",
    cut=_COUPLED,
)  # fmt: skip
BAYS = (
    Bay(plant=_plant(_LARGE, "2"), habit=_SOLID, in_room=False),
    Bay(plant=_plant(_SMALL, "2"), habit=_FLOW, in_room=True),
    Bay(plant=_plant(_LARGE, "1-1/4"), habit=_MAPPED, in_room=True),
    Bay(plant=_plant(_LARGE, "2"), habit=_SWEPT, in_room=False),
    Bay(plant=_plant(_SMALL, "1-1/4"), habit=_SOLID, in_room=True),
    Bay(plant=_plant(_LARGE, "2"), habit=_FLOW, in_room=False),
    Bay(plant=_plant(_SMALL, "2"), habit=_MAPPED, in_room=False),
    Bay(plant=_plant(_LARGE, "1-1/4"), habit=_MESHED, in_room=True),
)

ORDER = (*range(8), *range(7), *range(7))  # bodies of many facets are rarer than others


def add_other_trades(writer: Writer) -> None:
    """Add walls, columns, ducts, air terminals and pipes, as many as there are elements yet."""
    wanted = len(writer.by_id)
    for number in range(4):
        _wall(writer, number)
    for number in range(2):
        at = (3.0 + 5 * number, 8.2, 0.0)
        _mapped(
            writer, "IfcColumn", "Column", number, at, block=((-0.2, -0.2, 0.0), (0.2, 0.2, 3.4))
        )
    for number in range(8):
        _duct(writer, number)
    for number in range(4):
        at = (1.6 + 3 * number, 7.0, 2.5)
        block = ((0.0, 0.0, 0.0), (0.6, 0.6, 0.1))
        _mapped(writer, "IfcAirTerminal", "Supply diffuser", number, at, block=block)
        at = (2.45 + 3 * number, 6.0, 3.0)
        block = ((0.0, -0.2, -0.15), (0.1, 0.2, 0.15))
        _mapped(writer, "IfcDuctFitting", "Duct transition", number, at, block=block)
    for number in range(wanted - 22):
        _pipe(writer, number)


def _wall(writer: Writer, number: int) -> None:
    name = "Basic wall"
    frame = Frame.at((0.5 + 3 * number, 9.0, 0.0))
    line = Line((0.0, 0.0, 0.0), (2.9, 0.0, 0.0))

    def body(pen: Pen) -> tuple[list[Entity], str]:
        return [replace(pen, base=pen.base @ frame).block((0.0, -0.06, 0.0), (2.9, 0.06, 3.2))], (
            "SweptSolid"
        )

    def axis(pen: Pen) -> tuple[list[Entity], str]:
        points = [pen.corner(frame.point(point)) for point in (line.start, line.end)]
        return [pen.make("IfcPolyline", points)], "Curve3D"

    entity = _typed(writer, "IfcWall", name, number, frame, axis, body)
    pen, own = writer.pen, str(entity.Tag)
    describe(writer, entity, own, "Pset_WallCommon", [
        single(pen, "Reference", "IfcIdentifier", "Partition 120"),
        single(pen, "IsExternal", "IfcBoolean", False),  # noqa: FBT003
        single(pen, "LoadBearing", "IfcBoolean", False),  # noqa: FBT003
        single(pen, "FireRating", "IfcLabel", "EI 60"),
    ])  # fmt: skip
    sizes = {"Length": 2.9, "Height": 3.2, "Width": 0.12}
    quantities = [
        pen.make("IfcQuantityLength", side, None, None, pen.length(size_m))
        for side, size_m in sizes.items()
    ]
    values = {"Name": "Qto_WallBaseQuantities", "Quantities": quantities}
    measured = writer.root("IfcElementQuantity", f"{own} quantities", **values)
    link = {"RelatedObjects": [entity], "RelatingPropertyDefinition": measured}
    writer.root("IfcRelDefinesByProperties", f"{own} measured", **link)


def _duct(writer: Writer, number: int) -> None:
    frame = Frame.at((0.6 + 1.5 * number, 6.0, 3.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))

    def draw(pen: Pen) -> tuple[list[Entity], str]:
        own = replace(pen, base=pen.base @ frame)
        return [own.block((-0.2, -0.15, 0.0), (0.2, 0.15, 1.3))], "SweptSolid"

    entity = _typed(writer, "IfcDuctSegment", "Rectangular duct", number, frame, draw)
    facts = {"System Name": "Supply air 4", "Size": "400 x 300", "Reference Level": "Level"}
    _describe_flow(writer, entity, "Mechanical", facts, {"Flow": 0.42, "Velocity": 3.5})


def _pipe(writer: Writer, number: int) -> None:
    column, row = number % 12, number // 12
    frame = Frame.at((0.6 + column, 7.6 + 0.1 * row, 2.9), (1.0, 0.0, 0.0))

    def draw(pen: Pen) -> tuple[list[Entity], str]:
        return [pen.extrusion(pen.circle(0.03), pen.frame(frame), 0.98)], "SweptSolid"

    entity = _typed(writer, "IfcPipeSegment", "Copper pipe", number, frame, draw)
    facts = {"System Name": "Hot water 2", "Size": "DN 50"}
    _describe_flow(writer, entity, "Plumbing", facts, {"Flow": 0.8})


def _describe_flow(
    writer: Writer, entity: Entity, name: str, facts: dict[str, str], amounts: dict[str, float]
) -> None:
    pen = writer.pen
    properties = [single(pen, key, "IfcLabel", text) for key, text in facts.items()]
    properties += [single(pen, key, "IfcReal", amount) for key, amount in amounts.items()]
    describe(writer, entity, str(entity.Tag), name, properties)


def _mapped(
    writer: Writer, ifc_class: str, name: str, number: int, at: Point, *, block: tuple[Point, Point]
) -> None:
    """Add an element whose body is drawn once for all of its type."""
    frame = Frame.at(at)

    def draw(pen: Pen) -> tuple[list[Entity], str]:
        if (name,) not in pen.maps:
            own = replace(pen, base=IDENTITY)
            body = ("Body", "SweptSolid", [own.block(*block)])
            shape = own.make("IfcShapeRepresentation", pen.contexts["Body"], *body)
            pen.maps[name,] = own.make("IfcRepresentationMap", own.frame(IDENTITY), shape)
        origin = pen.corner(at)
        operator = pen.make("IfcCartesianTransformationOperator3D", None, None, origin, 1.0, None)
        return [pen.make("IfcMappedItem", pen.maps[name,], operator)], "MappedRepresentation"

    _typed(writer, ifc_class, name, number, frame, draw)


def _typed(
    writer: Writer, ifc_class: str, name: str, number: int, frame: Frame, *draw: Draw
) -> Entity:
    entity = writer.add(ifc_class, f"@-{name} {number}", f"{name} @-{number}", frame, *draw)
    writer.typed(entity, f"{ifc_class}Type", "NOTDEFINED", name)
    return entity
