"""What an instance says and refers to, without its numbers: instances of one content are alike."""

from __future__ import annotations

from hashlib import blake2b
from marshal import dumps

import ifcopenshell

from modelcheck.read.copies import Copy
from modelcheck.read.property_values import Entity


def content_of(instance: Entity) -> bytes:
    """Digest of what `instance` and all that it refers to hold, to the last bit of each number.

    That of a copy is another than that of the instance.

    Raises
    ------
    ValueError
        If a list holds what no list of a sound file does.
    """
    if type(instance) is Copy:
        return _digest(instance.values)
    found, places = [instance], {instance.id(): 0}
    held = [
        (each.is_a(), *[_plain(each.get_argument(at), found, places) for at in range(len(each))])
        for each in found  # grows meanwhile
    ]
    return _digest(held)


def _digest(held: Entity) -> bytes:
    # in the version that doesn't ask whether a text is known already: equal values, equal bytes
    return blake2b(dumps(held, 2), digest_size=16).digest()


def _plain(value: Entity, found: list[Entity], places: dict[int, int]) -> Entity:
    """`value` with the place among those found for each instance in it; new ones are added."""
    if isinstance(value, tuple):
        is_flat = not value or isinstance(value[0], float | int | str)
        return value if is_flat else tuple([_plain(each, found, places) for each in value])
    if not isinstance(value, ifcopenshell.entity_instance):
        return value
    step_id = value.id()
    if not step_id:  # a measure
        return value.is_a(), _plain(value[0], found, places)
    if step_id not in places:
        places[step_id] = len(found)
        found.append(value)
    return places[step_id]
