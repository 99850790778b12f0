"""Of what trade elements are: the kind of the systems that they are in, or their classification."""

from __future__ import annotations

import ifcopenshell

from modelcheck.read.property_values import Entity
from modelcheck.read.spatial import text_of


class Trades:
    """Trades of the elements of one file; systems and types are asked once."""

    def __init__(self, file: ifcopenshell.file) -> None:
        self._types = "IsDefinedBy" if file.schema == "IFC2X3" else "IsTypedBy"
        self._kinds: dict[int, str] = {}  # by group
        self._of_types: dict[int, str] = {}

    def of(self, element: Entity) -> str:
        """Kinds of the systems of `element`, else its classification; as the model has it."""
        groups = [
            relation.RelatingGroup
            for relation in getattr(element, "HasAssignments", None) or ()
            if relation.is_a("IfcRelAssignsToGroup") and relation.RelatingGroup is not None
        ]
        kinds = {kind for group in groups if (kind := self._kind(group))}
        return ";".join(sorted(kinds)) or _classification(element) or self._of_type(element)

    def _kind(self, group: Entity) -> str:
        step_id = group.id()
        if step_id not in self._kinds:
            self._kinds[step_id] = _system_kind(group)
        return self._kinds[step_id]

    def _of_type(self, element: Entity) -> str:
        """Classification of the type of `element`."""
        for relation in getattr(element, self._types, None) or ():
            if relation.is_a("IfcRelDefinesByType"):
                return self._of(relation.RelatingType)
        return ""

    def _of(self, of_type: Entity | None) -> str:
        if of_type is None:
            return ""
        step_id = of_type.id()
        if step_id not in self._of_types:
            self._of_types[step_id] = _classification(of_type)
        return self._of_types[step_id]


def _system_kind(group: Entity) -> str:
    if group.is_a("IfcElectricalCircuit"):
        return "electrical"
    if not group.is_a("IfcDistributionSystem"):
        return ""
    kind = group.PredefinedType or ""
    if kind == "USERDEFINED":
        return text_of(group.ObjectType)
    return "" if kind == "NOTDEFINED" else kind.lower()


def _classification(owner: Entity) -> str:
    """First classification of an element or a type: code and name."""
    relations = (
        relation
        for relation in getattr(owner, "HasAssociations", None) or ()
        if relation.is_a("IfcRelAssociatesClassification")
    )
    texts = (_reference_text(relation.RelatingClassification) for relation in relations)
    return next((text for text in texts if text), "")


def _reference_text(reference: Entity | None) -> str:
    if reference is None or not reference.is_a("IfcClassificationReference"):
        return ""
    codes = (getattr(reference, name, None) for name in ("Identification", "ItemReference"))
    names = [text_of(each) for each in (*codes, reference.Name)]
    return " ".join(dict.fromkeys(name for name in names if name))
