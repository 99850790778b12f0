"""Which properties tell the size of a conduit and the cover of a box, in each habit."""

from __future__ import annotations

from tests.builders.pen import Entity, Pen
from tests.builders.pieces import Piece
from tests.builders.plant import METRIC, Box
from tests.builders.writer import Writer

CONDUIT_SET = "Pset_CableCarrierSegmentTypeConduitSegment"
_WORDS = {
    "EMT": "Electrical metallic tubing",
    "RMC": "Rigid metal conduit",
    "PVC40": "PVC Schedule 40",
}


def inches(trade_size_in: str) -> float:
    """Trade size as a number: 1-1/4 is 1.25."""
    total = 0.0
    for part in trade_size_in.split("-"):
        top, _, bottom = part.partition("/")
        total += float(top) / float(bottom or 1)
    return total


def single(pen: Pen, name: str, measure: str, value: object) -> Entity:
    """Add a property with one value."""
    return pen.make("IfcPropertySingleValue", name, None, pen.make(measure, value), None)


def property_set(writer: Writer, truth_id: str, name: str, properties: list[Entity]) -> Entity:
    """Add a property set that belongs to nothing yet."""
    return writer.root("IfcPropertySet", f"{truth_id} {name}", Name=name, HasProperties=properties)


def describe(
    writer: Writer, entity: Entity, truth_id: str, name: str, properties: list[Entity]
) -> None:
    """Add a property set to an element."""
    made = property_set(writer, truth_id, name, properties)
    writer.root(
        "IfcRelDefinesByProperties",
        f"{truth_id} has {name}",
        RelatedObjects=[entity],
        RelatingPropertyDefinition=made,
    )


def size_properties(writer: Writer, trade_size_in: str) -> list[Entity]:
    """Property that tells a trade size, if one does in this habit."""
    pen, metric = writer.pen, METRIC[trade_size_in]
    quoted = pen.make("IfcLabel", f'{trade_size_in}"')
    nominal = pen.make("IfcPositiveLengthMeasure", pen.length(metric / 1000))
    drawn = pen.make("IfcPositiveLengthMeasure", pen.length(inches(trade_size_in) * 0.0254))
    name, kind, *values = {
        "text": ("TradeSize", "Single", quoted, None),
        "type-set": ("TradeSize", "Single", quoted, None),
        "enumerated": ("TradeSize", "Enumerated", [quoted], None),
        "inches": ("Trade Size", "Single", pen.make("IfcLabel", f"{trade_size_in} in"), None),
        "dn": ("Nominal Size", "Single", pen.make("IfcLabel", f"DN {metric}"), None),
        "number": ("Nominal Size", "Single", pen.make("IfcLabel", f"{metric}"), None),
        "md": ("Size", "Single", pen.make("IfcLabel", f"MD {metric}"), None),
        "integer": ("MetricDesignator", "Single", pen.make("IfcInteger", metric), None),
        "length": ("NominalWidth", "Single", nominal, None),
        "length-inch": ("NominalDiameter", "Single", drawn, None),
        "list": ("NominalDiameter", "List", [nominal], None),
        "bounded": ("NominalDiameter", "Bounded", nominal, nominal, None),
    }.get(writer.habit.size, ("", ""))
    return [pen.make(f"IfcProperty{kind}Value", name, None, *values)] if kind else []


def describe_piece(writer: Writer, entity: Entity, piece: Piece) -> None:
    """Tell size and raceway type of a piece, where this habit does so on the occurrence."""
    habit, route = writer.habit, piece.route
    if habit.size in ("name", "type", "profile", "diameter", "type-set"):
        return
    raceway = _WORDS[route.raceway_type] if habit.size == "inches" else route.raceway_type
    properties = size_properties(writer, route.trade_size_in)
    material = single(writer.pen, "RacewayType", "IfcLabel", raceway)
    if habit.size != "length":
        describe(writer, entity, piece.id, "Conduit", [*properties, material])
        return
    name = CONDUIT_SET if piece.role == "segment" else "Pset_CableCarrierFittingTypeCommon"
    describe(writer, entity, piece.id, name, properties)
    describe(writer, entity, piece.id, "Raceway", [material])


def describe_box(writer: Writer, entity: Entity, box: Box) -> None:
    """Tell cover and inside size of a box, where this habit does so."""
    pen = writer.pen
    properties = []
    if writer.habit.cover == "property" and box.cover:
        properties.append(single(pen, "CoverSide", "IfcLabel", ";".join(box.cover)))
    if writer.habit.box_body == "block-outer":
        for name, side in zip(("Width", "Height", "Depth"), box.inside_m, strict=True):
            properties.append(single(pen, name, "IfcLengthMeasure", pen.length(side)))
    if properties:
        describe(writer, entity, box.id, "Pull box", properties)
