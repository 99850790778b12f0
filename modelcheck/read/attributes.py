"""Attributes by their names as quickly as by their places, which are looked up once a class."""

from __future__ import annotations

from modelcheck.read.copies import Copy
from modelcheck.read.property_values import Entity

_FORWARD = 1  # the library's word for an attribute that the file holds
_places: dict[tuple[str, str], int] = {}


def attribute(entity: Entity, name: str) -> Entity:
    """Value of an attribute that the file holds.

    Raises
    ------
    AttributeError
        If the class of `entity` has none of that name.
    """
    if type(entity) is Copy:
        return entity.value(name)
    key = (entity.is_a(True), name)  # noqa: FBT003 - the class with its schema
    place = _places.get(key)
    if place is None:
        place = _places[key] = _place_of(entity, name)
    return entity.get_argument(place)


def of_each(entity: Entity, name: str, inner: str) -> list[Entity]:
    """Values of the attribute `inner` of each instance that stands in the list `name` of `entity`.

    Raises
    ------
    AttributeError, TypeError
        If there is no such list or attribute.
    """
    if type(entity) is Copy:
        return entity.of_each(name, inner)
    return [attribute(each, inner) for each in attribute(entity, name)]


def _place_of(entity: Entity, name: str) -> int:
    if entity.get_attribute_category(name) != _FORWARD:
        raise AttributeError(f"{entity.is_a()} has no attribute {name}")
    return int(entity.get_argument_index(name))
