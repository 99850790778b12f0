"""What the relations of a file relate, whatever else stands in their places."""

from __future__ import annotations

from collections.abc import Iterator

import ifcopenshell

from modelcheck.read.property_values import Entity


def related(
    file: ifcopenshell.file, ifc_class: str, one: int, many: int
) -> Iterator[tuple[list[Entity], list[Entity]]]:
    """Instances at two places of each relation of a class; none where something else stands there.

    Parameters
    ----------
    file : ifcopenshell.file
    ifc_class : str
    one, many : int
        Places of the attributes.
    """
    for relation in file.by_type(ifc_class):
        yield _instances(relation[one]), _instances(relation[many])


def _instances(value: object) -> list[Entity]:
    listed = value if isinstance(value, tuple) else (value,)
    return [each for each in listed if isinstance(each, ifcopenshell.entity_instance) and each.id()]
