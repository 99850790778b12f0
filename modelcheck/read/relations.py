"""What the relations of a file relate, and what stands in them in the place of something else."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence

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


class Misfits:
    """Relations that hold what can't stand there, by the instances that these touch."""

    def __init__(self) -> None:
        self.why: dict[int, str] = {}
        self._fit: dict[str, set[str]] = defaultdict(set)  # names of classes that are one

    def are_fit(self, instances: list[Entity], wanted: str) -> bool:
        """Whether there are some and all of them are of a class."""
        known = self._fit[wanted]
        for each in instances:
            name = each.is_a()
            if name not in known:
                if not each.is_a(wanted):
                    return False
                known.add(name)
        return bool(instances)

    def note(self, relation: Entity, place: int, wanted: str, touched: Iterable[Entity]) -> None:
        """Remember what a relation touches that lacks what it needs at a place."""
        text = f"{relation.attribute_name(place)} of #{relation.id()} is no {wanted}"
        for each in touched:
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
    meant = _MEANT.get(ifc_class)
    for relation in file.by_type(ifc_class):
        first, second = _instances(relation[one]), _instances(relation[many])
        if meant and not misfits.are_fit(first, meant[0]):
            misfits.note(relation, one, meant[0], [*first, *second])
        if meant and not misfits.are_fit(second, meant[1]):
            misfits.note(relation, many, meant[1], [*first, *second])
        yield first, second


def _instances(value: object) -> list[Entity]:
    if isinstance(value, ifcopenshell.entity_instance) and not value.id():
        value = value[0]  # several sets in one value
    listed: Sequence[object] = value if isinstance(value, tuple) else (value,)
    return [each for each in listed if isinstance(each, ifcopenshell.entity_instance) and each.id()]
