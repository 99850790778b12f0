"""What the relations of a file relate, and what stands in them in the place of something else."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import ifcopenshell

from modelcheck.read.property_values import Entity

_OBJECTS = ("IfcObjectDefinition", "IfcObjectDefinition")
_MEANT: Mapping[str, tuple[str, str]] = {  # what must stand at the two places; others: anything
    "IfcRelConnectsPorts": ("IfcPort", "IfcPort"),
    "IfcRelConnectsPortToElement": ("IfcPort", "IfcElement"),
    "IfcRelNests": _OBJECTS,
    "IfcRelAggregates": _OBJECTS,
    "IfcRelDefinesByType": ("IfcTypeObject", "IfcObject"),
    "IfcRelDefinesByProperties": ("IfcPropertySetDefinition", "IfcObjectDefinition"),
}


@dataclass(frozen=True, slots=True)
class Misfits:
    """Relations that hold what can't stand there, by the instances that these touch."""

    why: dict[int, str] = field(default_factory=dict)

    def note(
        self, relation: Entity, places: tuple[int, int], sides: tuple[list[Entity], list[Entity]]
    ) -> None:
        """Remember a relation if one of its two sides lacks a thing of the kind that it needs."""
        meant = _MEANT.get(relation.is_a())
        if meant is None:
            return
        for place, wanted, side in zip(places, meant, sides, strict=True):
            if not side or not all(each.is_a(wanted) for each in side):
                name = relation.attribute_name(place)
                text = f"{name} of #{relation.id()} is no {wanted}"
                for each in (*sides[0], *sides[1]):
                    self.why.setdefault(each.id(), text)


def related(
    file: ifcopenshell.file, ifc_class: str, one: int, many: int, misfits: Misfits
) -> Iterator[tuple[list[Entity], list[Entity]]]:
    """Instances at two places of each relation of a class; none where something else stands there.

    Parameters
    ----------
    file : ifcopenshell.file
    ifc_class : str
    one, many : int
        Places of the attributes.
    misfits : Misfits
        Told of the relations that hold what can't stand there.
    """
    for relation in file.by_type(ifc_class):
        sides = _instances(relation[one]), _instances(relation[many])
        misfits.note(relation, (one, many), sides)
        yield sides


def _instances(value: object) -> list[Entity]:
    if isinstance(value, ifcopenshell.entity_instance) and not value.id():
        value = value[0]  # several sets in one value
    listed: Sequence[object] = value if isinstance(value, tuple) else (value,)
    return [each for each in listed if isinstance(each, ifcopenshell.entity_instance) and each.id()]
