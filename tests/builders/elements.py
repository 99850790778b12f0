"""Boxes, equipment, branches and pieces of raceway as elements of one habit."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import numpy as np

from tests.builders import box_shapes, shapes
from tests.builders.naming import name_box, name_piece, profile_label
from tests.builders.pen import Entity, Pen
from tests.builders.pieces import Laid, Piece
from tests.builders.plant import AtBox, Box, Branch, Plant
from tests.builders.properties import describe_box, describe_piece
from tests.builders.space import Frame, Line, Point, tup
from tests.builders.tubes import stand, tube
from tests.builders.writer import Writer

BESIDE = {"axis": "axis", "box": "bounds"}


def add_box(writer: Writer, box: Box) -> None:
    """Add a pull box, in one piece or in parts."""
    habit = writer.habit
    naming = name_box(habit, box)
    in_parts = habit.box_body == "assembly"
    holes = _holes(writer.plant, box)

    def draw(pen: Pen) -> tuple[list[Entity], str]:
        own = replace(pen, base=pen.base @ box.frame)
        return box_shapes.items_of(own, box, body=habit.box_body, cover=habit.cover, holes=holes)

    drawn = () if in_parts else (draw,)
    entity = writer.add(naming.ifc_class, box.id, naming.name, box.frame, *drawn)
    if naming.type_class:
        writer.typed(entity, naming.type_class, "NOTDEFINED", naming.type_name)
    if in_parts:
        _add_parts(writer, box, entity)
    describe_box(writer, entity, box)


def _holes(plant: Plant, box: Box) -> list[box_shapes.Hole]:
    return [
        (end.wall, end.u_m, end.v_m, route.outside_m / 2 + 0.001)
        for route in plant.routes
        for end in (route.start, route.end)
        if isinstance(end, AtBox) and end.box == box.id
    ]


def _add_parts(writer: Writer, box: Box, whole: Entity) -> None:
    """Add one plate a side, in the frame of the whole."""
    habit = writer.habit
    parts = []
    for side in box_shapes.SIDES:
        if habit.cover in ("open", "plate") and side in box.cover:
            if habit.cover == "open":
                continue
            corners = box_shapes.lid(box, side)
        else:
            open_sides = box.cover if habit.cover in ("open", "plate") else ()
            corners = box_shapes.plate(box, side, open_sides)
        is_cover = habit.cover in ("part", "plate") and side in box.cover
        part_id = f"{box.id} part {side}"
        draw = partial(_block, frame=box.frame, corners=corners)
        name = "Cover" if is_cover else f"Plate {box_shapes.SIDES.index(side) + 1}"
        parts.append(writer.add("IfcPlate", part_id, name, box.frame, draw))
        del writer.by_id[part_id]
    writer.root("IfcRelAggregates", f"{box.id} parts", RelatingObject=whole, RelatedObjects=parts)


def _block(pen: Pen, *, frame: Frame, corners: tuple[Point, Point]) -> tuple[list[Entity], str]:
    own = replace(pen, base=pen.base @ frame)
    return [own.block(*corners)], "SweptSolid"


def add_block(writer: Writer, ifc_class: str, truth_id: str, name: str, *, frame: Frame,
              size_m: Point) -> Entity:  # fmt: skip
    """Add an element that is a plain block about its middle."""
    half = np.array(size_m) / 2
    draw = partial(_block, frame=frame, corners=(tup(-half), tup(half)))
    return writer.add(ifc_class, truth_id, name, frame, draw)


def add_equipment(writer: Writer) -> None:
    """Add the panels that runs end at."""
    old = writer.habit.schema == "IFC2X3"
    for item in writer.plant.equipment:
        entity = add_block(
            writer,
            "IfcFlowTerminal" if old else "IfcElectricDistributionBoard",
            item.id,
            f"Panel {item.id}",
            frame=item.frame,
            size_m=item.size_m,
        )
        if old:
            writer.typed(entity, "IfcElectricApplianceType", "NOTDEFINED", "Panel")


def add_branch(writer: Writer, branch: Branch) -> None:
    """Add a fitting with three ends or more, one cylinder an arm."""
    old = writer.habit.schema == "IFC2X3"

    def draw(pen: Pen) -> tuple[list[Entity], str]:
        lines = [Line(branch.centre, branch.mouth(k)) for k in range(len(branch.arms))]
        profile = pen.circle(branch.outside_m / 2)
        return [shapes.straight(pen, line, profile) for line in lines], "SweptSolid"

    entity = writer.add(
        "IfcFlowFitting" if old else "IfcCableCarrierFitting",
        branch.id,
        f"{branch.name} {branch.id}",
        Frame.at(branch.centre),
        draw,
    )
    kind = "TEE" if len(branch.arms) > 2 else "BEND"
    if old:
        size = branch.trade_size_in.replace("/", "_")
        name = f"{branch.name} {branch.raceway_type} {size}"
        writer.typed(entity, "IfcCableCarrierFittingType", kind, name)
    else:
        entity.PredefinedType = kind


def add_pieces(writer: Writer, laid: Laid) -> None:
    """Add every piece once, also one that two routes share."""
    for route in laid.values():
        for piece in route:
            if piece.id not in writer.by_id:
                _add_piece(writer, piece)


def _add_piece(writer: Writer, piece: Piece) -> None:
    habit = writer.habit
    naming = name_piece(habit, piece)
    body = habit.segment_body if piece.is_straight else habit.elbow_body
    bodies = [body] if habit.also == "nothing" else [body, BESIDE[habit.also]]
    label = profile_label(habit, piece)
    entity = writer.add(
        naming.ifc_class,
        piece.id,
        naming.name,
        stand(piece),
        *(partial(tube, piece=piece, body=each, label=label) for each in bodies),
    )
    if naming.predefined and hasattr(entity, "PredefinedType"):
        entity.PredefinedType = naming.predefined
    if naming.type_class:
        writer.typed(entity, naming.type_class, naming.type_predefined, naming.type_name)
    describe_piece(writer, entity, piece)


def add_strangers(writer: Writer) -> None:
    """Add what stands about in a building and is neither conduit nor box."""
    old = writer.habit.schema == "IFC2X3"
    for number, (at, size) in enumerate(writer.plant.walls, 1):
        frame = Frame.turned(at)
        add_block(writer, "IfcWall", f"wall {number}", f"Wall {number}", frame=frame, size_m=size)
    for number, (at, size) in enumerate(writer.plant.trays, 1):
        frame = Frame.turned(at)
        ifc_class = "IfcFlowSegment" if old else "IfcCableCarrierSegment"
        name = f"Cable tray {number}"
        entity = add_block(writer, ifc_class, f"tray {number}", name, frame=frame, size_m=size)
        if old:
            writer.typed(entity, "IfcCableCarrierSegmentType", "CABLETRAYSEGMENT", "Cable tray")
        else:
            entity.PredefinedType = "CABLETRAYSEGMENT"
