"""Takes a model apart one piece of evidence at a time: what is said of something that stays."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import ifcopenshell

File = ifcopenshell.file
Entity = ifcopenshell.entity_instance

_TEXTS = ("Name", "Description", "ObjectType", "Tag", "LongName", "ElementType", "PredefinedType")
_LISTED = {  # members of a list that can be taken out of it on their own
    "IfcPropertySet": ("HasProperties",),
    "IfcElementQuantity": ("Quantities",),
    "IfcTypeProduct": ("HasPropertySets",),
    "IfcUnitAssignment": ("Units",),
    "IfcRepresentation": ("Items",),
    "IfcProductRepresentation": ("Representations",),
    "IfcConnectedFaceSet": ("CfsFaces",),
    "IfcFaceBasedSurfaceModel": ("FbsmFaces",),
    "IfcShellBasedSurfaceModel": ("SbsmBoundary",),
    "IfcPolygonalFaceSet": ("Faces",),
    "IfcTriangulatedFaceSet": ("CoordIndex",),
    "IfcRelDefinesByProperties": ("RelatedObjects",),
    "IfcRelDefinesByType": ("RelatedObjects",),
    "IfcRelNests": ("RelatedObjects",),
    "IfcRelAggregates": ("RelatedObjects",),
    "IfcRelAssignsToGroup": ("RelatedObjects",),
    "IfcRelContainedInSpatialStructure": ("RelatedElements",),
}
_WHOLE = ("IfcRelConnectsPorts", "IfcRelConnectsPortToElement")


@dataclass(frozen=True, slots=True)
class Evidence:
    """One piece: an attribute, a member of a list, or a whole relation."""

    step_id: int
    attribute: str = ""  # empty: the instance itself
    member: int | None = None  # place in the list; None: the whole attribute

    def told(self, file: File) -> str:
        """Name it for a person."""
        holder = file.by_id(self.step_id)
        place = "" if self.member is None else f"[{self.member}]"
        return f"#{self.step_id}={holder.is_a()}.{self.attribute}{place}"

    def take_from(self, file: File) -> None:
        """Take it out of `file`."""
        holder = file.by_id(self.step_id)
        if not self.attribute:
            file.remove(holder)
        elif self.member is None:
            setattr(holder, self.attribute, None)
        else:
            rest = list(getattr(holder, self.attribute))
            del rest[self.member]
            if rest:
                setattr(holder, self.attribute, rest)
            else:
                file.remove(holder)


def evidence_in(file: File) -> Iterator[Evidence]:
    """Every piece of evidence in `file`, in the order of its instances."""
    for holder in sorted(file, key=lambda each: each.id()):
        if holder.is_a() in _WHOLE:
            yield Evidence(holder.id())
        if holder.is_a("IfcElement") or holder.is_a("IfcTypeObject"):
            for text in _TEXTS:
                if getattr(holder, text, None) is not None:
                    yield Evidence(holder.id(), text)
        if holder.is_a("IfcPort") and holder.ObjectPlacement is not None:
            yield Evidence(holder.id(), "ObjectPlacement")
        for name, attributes in _LISTED.items():
            if holder.is_a(name):
                for attribute in attributes:
                    for member in range(len(getattr(holder, attribute) or ())):
                        yield Evidence(holder.id(), attribute, member)
