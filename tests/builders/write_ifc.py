"""Draws a plant in one habit and writes it: the same plant and habit give the same bytes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import ifcopenshell
import numpy as np

from tests.builders.elements import (
    add_box,
    add_branch,
    add_equipment,
    add_pieces,
    add_strangers,
)
from tests.builders.habits import Habit
from tests.builders.pen import Entity, Pen
from tests.builders.pieces import lay_out
from tests.builders.plant import METRIC, Plant
from tests.builders.ports import connect
from tests.builders.properties import property_set, size_properties
from tests.builders.space import IDENTITY
from tests.builders.spatial import add_circuits, add_grid, add_levels, contain
from tests.builders.writer import Writer

_METRES = {"mm": 0.001, "m": 1.0, "ft": 0.3048, "in": 0.0254}
_DEGREES = {"radian": 180 / np.pi, "missing": 180 / np.pi, "degree": 1.0, "inverted": 1.0}
_SCHEMAS = {"IFC2X3": "IFC2X3", "IFC4": "IFC4", "IFC4X3": "IFC4X3_ADD2"}


def write(plant: Plant, habit: Habit, path: Path, *, part: str = "whole") -> None:
    """Write the plant as this habit draws it, or only its "boxes" or its "raceways"."""
    _save(draw(plant, habit, part=part).pen.file, path, reverse=habit.reverse)


def draw(
    plant: Plant, habit: Habit, *, part: str = "whole", more: Callable[[Writer], None] | None = None
) -> Writer:
    """Draw it without saving it; `more` adds what else stands there."""
    writer = _begin(plant, habit)
    laid = lay_out(plant, habit.cut)
    if part != "raceways":
        for box in plant.boxes:
            add_box(writer, box)
        add_equipment(writer)
    if part != "boxes":
        for branch in plant.branches:
            add_branch(writer, branch)
        add_pieces(writer, laid)
    if habit.strangers:
        add_strangers(writer)
    if more is not None:
        more(writer)
    contain(writer)
    add_grid(writer)
    add_circuits(writer, laid)
    _write_types(writer)
    if part == "whole" and habit.ports not in ("none", "typed"):
        connect(writer, laid)
    return writer


def _begin(plant: Plant, habit: Habit) -> Writer:
    file = ifcopenshell.file(schema=_SCHEMAS[habit.schema])
    pen = Pen(file, _METRES[habit.unit], _DEGREES[habit.angle], scope=f"{plant.name}: ")
    if habit.schema == "IFC2X3":
        pen = replace(pen, history=_history(pen))
    world = pen.frame(IDENTITY)
    context = pen.make("IfcGeometricRepresentationContext", None, "Model", 3, 1e-5, world)
    pen = replace(pen, contexts=_contexts(pen, context, habit))
    project = pen.root(
        "IfcProject",
        "project",
        Name=plant.name,
        RepresentationContexts=[context],
        UnitsInContext=_units(pen, habit),
    )
    levels = add_levels(pen, plant, habit, project)
    return Writer(plant=plant, habit=habit, pen=pen, levels=levels)


def _contexts(pen: Pen, main: Entity, habit: Habit) -> dict[str, Entity]:
    """Context of each kind of representation: the main one, or one below it."""
    names = ("Body", "Axis", "Box")
    if habit.contexts == "main":
        return dict.fromkeys(names, main)
    view = {"ParentContext": main, "TargetView": "MODEL_VIEW", "ContextType": "Model"}
    return {
        name: pen.make("IfcGeometricRepresentationSubContext", ContextIdentifier=name, **view)
        for name in names
    }


def _history(pen: Pen) -> Entity:
    """Owner history, which IFC2X3 asks of every root."""
    person = pen.make("IfcPerson", FamilyName="Builder")
    organization = pen.make("IfcOrganization", Name="Builders")
    return pen.make(
        "IfcOwnerHistory",
        OwningUser=pen.make("IfcPersonAndOrganization", person, organization),
        OwningApplication=pen.make("IfcApplication", organization, "1", "Builders", "builders"),
        ChangeAction="ADDED",
        CreationDate=1767225600,
    )


def _units(pen: Pen, habit: Habit) -> Entity:
    units = [*_length_units(pen, habit), *_angle_units(pen, habit)]
    return pen.make("IfcUnitAssignment", units)


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
    """Unit of angles; an inverted one says how many degrees a radian has."""
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


def _write_types(writer: Writer) -> None:
    """Write the types that elements have."""
    for (ifc_class, predefined, name), entities in writer.types.items():
        type_id = f"{ifc_class} {name}"
        made = writer.root(ifc_class, type_id, Name=name, PredefinedType=predefined)
        _describe_type(writer, made, type_id, name)
        link = {"RelatedObjects": entities, "RelatingType": made}
        writer.root("IfcRelDefinesByType", f"typed {type_id}", **link)


def _describe_type(writer: Writer, made: Entity, type_id: str, name: str) -> None:
    """Give a type its size, or its ports, where this habit does so."""
    size = name.rpartition(" ")[2].replace("_", "/")
    if writer.habit.size == "type-set" and size in METRIC:
        properties = size_properties(writer, size)
        made.HasPropertySets = [property_set(writer, type_id, "Conduit", properties)]
    if writer.habit.ports == "typed" and made.is_a().startswith("IfcCableCarrier"):
        ports = [
            writer.root("IfcDistributionPort", f"{type_id} port {end}", FlowDirection=end)
            for end in ("SINK", "SOURCE")
        ]
        link = {"RelatingObject": made, "RelatedObjects": ports}
        writer.root("IfcRelNests", f"{type_id} nests", **link)


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
