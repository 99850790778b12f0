"""Draws a plant in one habit and writes it: the same plant and habit give the same bytes."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import ifcopenshell
import numpy as np

from tests.builders import box_shapes, shapes
from tests.builders.habits import Habit
from tests.builders.names import box_psets, piece_naming
from tests.builders.pen import Entity, Pen
from tests.builders.pieces import Piece, lay_out
from tests.builders.plant import Box, Equipment, Plant
from tests.builders.ports import connect
from tests.builders.space import Arc, Frame, Line, tup, unit
from tests.builders.writer import Writer

_METRES = {"mm": 0.001, "m": 1.0, "ft": 0.3048, "in": 0.0254}
_DEGREES = {"radian": 180 / np.pi, "missing": 180 / np.pi, "degree": 1.0, "inverted": 1.0}
_SCHEMAS = {"IFC2X3": "IFC2X3", "IFC4": "IFC4", "IFC4X3": "IFC4X3_ADD2"}


def write(plant: Plant, habit: Habit, path: Path) -> dict[str, str]:
    """Write the plant and give the GlobalId of each thing in it, by its id in the truth."""
    writer = _begin(plant, habit)
    for box in plant.boxes:
        _box(writer, box)
    for item in plant.equipment:
        _equipment(writer, item)
    pieces = lay_out(plant, habit.cut)
    for route in pieces.values():
        for piece in route:
            _piece(writer, piece)
    _relate(writer)
    if habit.ports != "none":
        connect(writer, pieces)
    _save(writer.pen.file, path, reverse=habit.reverse)
    return {truth_id: entity.GlobalId for truth_id, entity in writer.by_id.items()}


def _begin(plant: Plant, habit: Habit) -> Writer:
    file = ifcopenshell.file(schema=_SCHEMAS[habit.schema])
    pen = Pen(file, _METRES[habit.unit], _DEGREES[habit.angle])
    if habit.schema == "IFC2X3":
        pen = replace(pen, history=_history(pen))
    context = pen.make(
        "IfcGeometricRepresentationContext",
        None,
        "Model",
        3,
        1e-5,
        pen.frame(Frame.turned()),
    )
    units = pen.make("IfcUnitAssignment", [*_length_units(pen, habit), *_angle_units(pen, habit)])
    project = pen.root(
        "IfcProject",
        "project",
        Name=plant.name,
        RepresentationContexts=[context],
        UnitsInContext=units,
    )
    storey, frame = _spatial(pen, habit, project)
    return Writer(plant, habit, pen, context, storey, frame)


def _history(pen: Pen) -> Entity:
    """Owner history, which IFC2X3 asks of every root."""
    person = pen.make("IfcPerson", FamilyName="Builder")
    organization = pen.make("IfcOrganization", Name="Builders")
    user = pen.make("IfcPersonAndOrganization", person, organization)
    program = pen.make("IfcApplication", organization, "1", "Model builders", "builders")
    return pen.make(
        "IfcOwnerHistory",
        OwningUser=user,
        OwningApplication=program,
        ChangeAction="ADDED",
        CreationDate=1767225600,
    )


def _length_units(pen: Pen, habit: Habit) -> list[Entity]:
    if habit.unit in ("mm", "m"):
        prefix = "MILLI" if habit.unit == "mm" else None
        return [pen.make("IfcSIUnit", UnitType="LENGTHUNIT", Prefix=prefix, Name="METRE")]
    metre = pen.make("IfcSIUnit", UnitType="LENGTHUNIT", Name="METRE")
    powers = pen.make("IfcDimensionalExponents", 1, 0, 0, 0, 0, 0, 0)
    factor = pen.make("IfcRatioMeasure", _METRES[habit.unit])
    name = {"ft": "FOOT", "in": "INCH"}[habit.unit]
    value = pen.make("IfcMeasureWithUnit", factor, metre)
    return [pen.make("IfcConversionBasedUnit", powers, "LENGTHUNIT", name, value)]


def _angle_units(pen: Pen, habit: Habit) -> list[Entity]:
    if habit.angle == "missing":
        return []
    radian = pen.make("IfcSIUnit", UnitType="PLANEANGLEUNIT", Name="RADIAN")
    if habit.angle == "radian":
        return [radian]
    powers = pen.make("IfcDimensionalExponents", 0, 0, 0, 0, 0, 0, 0)
    radians_each = np.pi / 180 if habit.angle == "degree" else 180 / np.pi
    factor = pen.make("IfcPlaneAngleMeasure", float(radians_each))
    value = pen.make("IfcMeasureWithUnit", factor, radian)
    return [pen.make("IfcConversionBasedUnit", powers, "PLANEANGLEUNIT", "DEGREE", value)]


def _spatial(pen: Pen, habit: Habit, project: Entity) -> tuple[Entity, Frame]:
    """Site, building and storey; nested ones carry the motion in three steps."""
    steps = [Frame.turned()] * 3
    if habit.placement == "nested":
        lift = Frame.turned((0.0, 0.0, 3.5))
        shift = Frame.turned((12.0, -4.0, 0.0), about="z", degrees_=(30.0,))  # type: ignore[arg-type]
        steps = [habit.motion, shift, lift]
    parent, placement, total = project, None, Frame.turned()
    for ifc_class, step in zip(("IfcSite", "IfcBuilding", "IfcBuildingStorey"), steps, strict=True):
        placement = pen.make("IfcLocalPlacement", placement, pen.frame(step))
        node = pen.root(
            ifc_class,
            ifc_class,
            Name=ifc_class[3:],
            ObjectPlacement=placement,
            CompositionType="ELEMENT",
        )
        pen.root(
            "IfcRelAggregates",
            f"{ifc_class} in",
            RelatingObject=parent,
            RelatedObjects=[node],
        )
        parent, total = node, total @ step
    return parent, total


def _box(writer: Writer, box: Box) -> None:
    habit = writer.habit
    placement, pen = writer.place(box.id, box.frame)
    pen = replace(pen, base=pen.base @ box.frame)
    items = box_shapes.box_items(pen, box, body=habit.box_body, cover=habit.cover)
    kind = {"boolean": "CSG", "brep": "Brep", "mesh": "Tessellation"}.get(
        habit.box_body, "SweptSolid"
    )
    names = {
        "junction-box": "IfcJunctionBox",
        "flow-fitting": "IfcFlowFitting",
        "flow-controller": "IfcFlowController",
        "chamber": "IfcDistributionChamberElement",
    }
    entity = writer.root(
        names[habit.box_class],
        box.id,
        Name=f"Pull box {box.id}",
        ObjectPlacement=placement,
        Representation=writer.body(items, kind),
    )
    if habit.box_class in ("flow-fitting", "flow-controller"):
        _typed(writer, entity, "IfcJunctionBoxType", "NOTDEFINED", "Pull box")
    writer.by_id[box.id] = entity
    box_psets(writer, entity, box)


def _equipment(writer: Writer, item: Equipment) -> None:
    placement, pen = writer.place(item.id, item.frame)
    pen = replace(pen, base=pen.base @ item.frame)
    half = np.array(item.size_m) / 2
    entity = writer.root(
        "IfcFlowTerminal" if writer.habit.schema == "IFC2X3" else "IfcElectricDistributionBoard",
        item.id,
        Name=f"Panel {item.id}",
        ObjectPlacement=placement,
        Representation=writer.body([pen.block(tup(-half), tup(half))], "SweptSolid"),
    )
    if writer.habit.schema == "IFC2X3":
        _typed(writer, entity, "IfcElectricApplianceType", "NOTDEFINED", "Panel")
    writer.by_id[item.id] = entity


def _piece(writer: Writer, piece: Piece) -> None:
    along = piece.directions[0]
    leg = piece.legs[0]
    x = tup(unit(np.subtract(leg.start, leg.centre))) if isinstance(leg, Arc) else None
    placement, pen = writer.place(piece.id, Frame.at(piece.start, along, x))
    items, kind = _tube(writer.habit, pen, piece)
    naming = piece_naming(writer, piece)
    entity = writer.root(
        naming.ifc_class,
        piece.id,
        Name=naming.name,
        Tag=piece.id,
        ObjectPlacement=placement,
        Representation=writer.body(items, kind),
    )
    if naming.predefined and hasattr(entity, "PredefinedType"):
        entity.PredefinedType = naming.predefined
    if naming.type_class:
        _typed(writer, entity, naming.type_class, naming.type_predefined, naming.type_name)
    naming.add_psets(entity)
    writer.by_id[piece.id] = entity


def _tube(habit: Habit, pen: Pen, piece: Piece) -> tuple[list[Entity], str]:
    """Items of a piece of raceway, and the type of representation they make."""
    legs, radius = piece.legs, piece.outside_m / 2
    straight = len(legs) == 1 and isinstance(legs[0], Line)
    body = habit.segment_body if straight else habit.elbow_body
    if straight and body in ("extrusion", "hollow", "across"):
        if body == "across":
            return [shapes.across(pen, legs[0], radius)], "SweptSolid"
        bore = radius - 0.002 if body == "hollow" else None
        return [shapes.straight(pen, legs[0], radius, bore_m=bore)], "SweptSolid"
    if not straight and body == "revolve":
        return [
            shapes.revolved(pen, leg, radius)
            if isinstance(leg, Arc)
            else shapes.straight(pen, leg, radius)
            for leg in legs
        ], "SweptSolid"
    if body in ("disk", "disk-composite", "chords"):
        curve = {
            "disk": shapes.indexed_curve,
            "disk-composite": shapes.composite_curve,
            "chords": lambda pen, legs: shapes.polyline(pen, shapes.path_points(legs)),
        }[body]
        if straight:
            curve = lambda pen, legs: shapes.polyline(pen, shapes.path_points(legs))  # noqa: E731
        return [shapes.disk(pen, curve(pen, legs), radius)], "AdvancedSweptSolid"
    draw, kind = {
        "brep": (shapes.brep, "Brep"),
        "mesh": (shapes.triangulated, "Tessellation"),
        "polygons": (shapes.polygonal, "Tessellation"),
    }[body]
    return [draw(pen, shapes.tube_mesh(legs, radius))], kind


def _typed(writer: Writer, entity: Entity, ifc_class: str, predefined: str, name: str) -> None:
    key = (ifc_class, predefined, name)
    if key not in writer.types:
        made = writer.root(ifc_class, "type " + " ".join(key), Name=name, PredefinedType=predefined)
        writer.types[key] = (made, [])
    writer.types[key][1].append(entity)


def _relate(writer: Writer) -> None:
    writer.root(
        "IfcRelContainedInSpatialStructure",
        "contained",
        RelatedElements=list(writer.by_id.values()),
        RelatingStructure=writer.storey,
    )
    for (_, _, name), (made, entities) in writer.types.items():
        writer.root(
            "IfcRelDefinesByType",
            f"typed {made.is_a()} {name} {made.PredefinedType}",
            RelatedObjects=entities,
            RelatingType=made,
        )


def _save(file: ifcopenshell.file, path: Path, *, reverse: bool) -> None:
    header = file.header
    header.file_description.description = ("ViewDefinition [ReferenceView]",)
    header.file_name.name = path.name
    header.file_name.time_stamp = "2026-01-01T00:00:00"
    header.file_name.author = ("",)
    header.file_name.organization = ("",)
    header.file_name.preprocessor_version = "model builders"
    header.file_name.originating_system = "model builders"
    header.file_name.authorization = ""
    text = file.to_string()
    if reverse:
        head, _, rest = text.partition("DATA;\n")
        data, _, tail = rest.partition("ENDSEC;")
        lines = data.splitlines(keepends=True)
        text = head + "DATA;\n" + "".join(reversed(lines)) + "ENDSEC;" + tail
    path.write_text(text, encoding="utf-8", newline="\n")
