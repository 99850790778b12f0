"""Classes and names of boxes and pieces in each habit."""

from __future__ import annotations

from dataclasses import dataclass

from tests.builders.habits import Habit
from tests.builders.pieces import Piece
from tests.builders.plant import Box

_NOUN = {
    "segment": "Conduit",
    "elbow": "Conduit elbow",
    "coupling": "Conduit coupling",
    "connector": "Conduit connector",
    "cap": "Conduit cap",
    "reducer": "Conduit reducer",
}
_BOX_CLASS = {
    "junction-box": "IfcJunctionBox",
    "flow-fitting": "IfcFlowFitting",
    "flow-controller": "IfcFlowController",
    "chamber": "IfcDistributionChamberElement",
    "terminal": "IfcFlowTerminal",
    "proxy": "IfcBuildingElementProxy",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Naming:
    """Class and names of one element and of its type; empty: it has none."""

    ifc_class: str
    name: str
    predefined: str = ""
    type_class: str = ""
    type_predefined: str = "NOTDEFINED"
    type_name: str = ""


def name_box(habit: Habit, box: Box) -> Naming:
    """Name a box as the habit does."""
    typed = habit.box_class in ("flow-fitting", "flow-controller", "terminal")
    noun = "Handhole" if habit.box_class == "chamber" else "Pull box"
    ifc_class = _BOX_CLASS[habit.box_class]
    if habit.box_body == "assembly" and habit.box_class == "proxy":
        ifc_class = "IfcElementAssembly"
    return Naming(
        ifc_class=ifc_class,
        name=f"{noun} {box.id}",
        type_class="IfcJunctionBoxType" if typed else "",
        type_name="Pull box",
    )


def name_piece(habit: Habit, piece: Piece) -> Naming:
    """Name a piece as the habit does."""
    carrier = "IfcCableCarrierSegment" if piece.role == "segment" else "IfcCableCarrierFitting"
    flow = "IfcFlowSegment" if piece.role == "segment" else "IfcFlowFitting"
    predefined = _predefined(piece.role, habit.schema)
    typed = habit.element_class in ("carrier-typed", "flow") or habit.named_by_type
    is_proxy = habit.element_class == "proxy"
    return Naming(
        ifc_class={
            "carrier": carrier,
            "carrier-typed": carrier,
            "flow": flow,
            "flow-untyped": flow,
            "proxy": "IfcBuildingElementProxy",
        }[habit.element_class],
        name=_name(habit, piece),
        predefined=predefined if habit.element_class == "carrier" else "",
        type_class=("IfcBuildingElementProxyType" if is_proxy else f"{carrier}Type") * typed,
        type_predefined="NOTDEFINED" if is_proxy else predefined,
        type_name=_type_name(habit, piece),
    )


def _predefined(role: str, schema: str) -> str:
    if role == "segment":
        return "CONDUITSEGMENT"
    if role == "elbow":
        return "BEND"
    if role == "reducer":
        return "REDUCER"
    return "CONNECTOR" if schema == "IFC4X3" and role != "cap" else "NOTDEFINED"


def _name(habit: Habit, piece: Piece) -> str:
    route = piece.route
    if habit.size == "name":
        return f'{_NOUN[piece.role]} {route.raceway_type} {route.trade_size_in}"'
    return f"{_NOUN[piece.role]} {piece.id}"


def _type_name(habit: Habit, piece: Piece) -> str:
    route = piece.route
    if habit.size == "type":
        return f'{route.trade_size_in}" {route.raceway_type} {_NOUN[piece.role]}'
    if habit.size == "type-set":
        return f"{_NOUN[piece.role]} {route.raceway_type} {route.trade_size_in.replace('/', '_')}"
    return f"{_NOUN[piece.role]} {route.raceway_type}"


def profile_label(habit: Habit, piece: Piece) -> str:
    """Name of the profile of a body."""
    route = piece.route
    return f'{route.raceway_type} {route.trade_size_in}"' if habit.size == "profile" else ""
