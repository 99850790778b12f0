"""What elements are called and which properties say their size, in each habit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from tests.builders.pen import Entity
from tests.builders.pieces import Piece
from tests.builders.plant import METRIC, Box
from tests.builders.writer import Writer

_CABLE_CARRIER = {"segment": "IfcCableCarrierSegment"}
_FITTING = "IfcCableCarrierFitting"


@dataclass(frozen=True, slots=True, kw_only=True)
class Naming:
    """Class, names and properties of one piece."""

    ifc_class: str
    name: str
    predefined: str
    type_class: str
    type_predefined: str
    type_name: str
    add_psets: Callable[[Entity], None]


def piece_naming(writer: Writer, piece: Piece) -> Naming:
    """Name a piece as the habit does."""
    habit = writer.habit
    is_segment = piece.role == "segment"
    carrier = "IfcCableCarrierSegment" if is_segment else "IfcCableCarrierFitting"
    predefined = _predefined(piece.role, habit.schema)
    flow = "IfcFlowSegment" if is_segment else "IfcFlowFitting"
    on_occurrence = habit.element_class == "carrier"
    typed = habit.element_class in ("carrier-typed", "flow")
    ifc_class = {
        "carrier": carrier,
        "carrier-typed": carrier,
        "flow": flow,
        "flow-untyped": flow,
        "proxy": "IfcBuildingElementProxy",
    }[habit.element_class]
    return Naming(
        ifc_class=ifc_class,
        name=_name(writer, piece),
        predefined=predefined if on_occurrence else "",
        type_class=f"{carrier}Type" if typed else "",
        type_predefined=predefined,
        type_name=_type_name(writer, piece),
        add_psets=lambda entity: _size_psets(writer, entity, piece),
    )


def _predefined(role: str, schema: str) -> str:
    if role == "segment":
        return "CONDUITSEGMENT"
    if role == "elbow":
        return "BEND"
    return "CONNECTOR" if schema == "IFC4X3" and role != "cap" else "NOTDEFINED"


def _noun(piece: Piece) -> str:
    return {
        "segment": "Conduit",
        "elbow": "Conduit elbow",
        "coupling": "Conduit coupling",
        "connector": "Conduit connector",
        "cap": "Conduit cap",
    }[piece.role]


def _name(writer: Writer, piece: Piece) -> str:
    route = piece.route
    if writer.habit.size == "name":
        return f'{_noun(piece)} {route.raceway_type} {route.trade_size_in}"'
    return f"{_noun(piece)} {piece.id}"


def _type_name(writer: Writer, piece: Piece) -> str:
    route = piece.route
    if writer.habit.size == "type":
        return f'{route.raceway_type} {_noun(piece)} {route.trade_size_in}"'
    return f"{_noun(piece)} {route.raceway_type}"


def pset(writer: Writer, entity: Entity, truth_id: str, name: str, values: dict[str, Any]) -> None:
    """Add a property set; a value is (measure type, value)."""
    pen = writer.pen
    properties = [
        pen.make("IfcPropertySingleValue", key, None, pen.make(measure, value), None)
        for key, (measure, value) in values.items()
    ]
    made = writer.root("IfcPropertySet", f"{truth_id} {name}", Name=name, HasProperties=properties)
    writer.root(
        "IfcRelDefinesByProperties",
        f"{truth_id} has {name}",
        RelatedObjects=[entity],
        RelatingPropertyDefinition=made,
    )


def _size_psets(writer: Writer, entity: Entity, piece: Piece) -> None:
    route = piece.route
    if writer.habit.size == "text":
        values = {
            "TradeSize": ("IfcLabel", f'{route.trade_size_in}"'),
            "RacewayType": ("IfcLabel", route.raceway_type),
        }
        pset(writer, entity, piece.id, "Conduit", values)
    elif writer.habit.size == "length":
        nominal = writer.pen.length(METRIC[route.trade_size_in] / 1000)
        values = {"NominalWidth": ("IfcPositiveLengthMeasure", nominal)}
        name = "Pset_CableCarrierSegmentTypeConduitSegment"
        if piece.role != "segment":
            name = "Pset_CableCarrierFittingTypeCommon"
        pset(writer, entity, piece.id, name, values)
        raceway = {"RacewayType": ("IfcLabel", route.raceway_type)}
        pset(writer, entity, piece.id, "Conduit", raceway)


def box_psets(writer: Writer, entity: Entity, box: Box) -> None:
    """Properties of a box."""
    if writer.habit.cover == "property" and box.cover:
        values = {"CoverSide": ("IfcLabel", ";".join(box.cover))}
        pset(writer, entity, box.id, "Pull box", values)
