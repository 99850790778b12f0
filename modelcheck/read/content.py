"""What an instance says and refers to, without its numbers: instances of one content are alike."""

from __future__ import annotations

from hashlib import blake2b

import ifcopenshell

from modelcheck.read.property_values import Entity


def content_of(instance: Entity) -> bytes:
    """Digest of what `instance` and all that it refers to hold, to the last bit of each number.

    Raises
    ------
    ValueError
        If a list holds what no list of a sound file does.
    """
    found, places = [instance], {instance.id(): 0}

    def plain(value: Entity) -> Entity:
        """`value` with the place among those found for each instance in it."""
        if isinstance(value, tuple):
            is_flat = not value or isinstance(value[0], float | int | str)
            return value if is_flat else tuple([plain(each) for each in value])
        if not isinstance(value, ifcopenshell.entity_instance):
            return value
        step_id = value.id()
        if not step_id:  # a measure
            return value.is_a(), plain(value[0])
        if step_id not in places:
            places[step_id] = len(found)
            found.append(value)
        return places[step_id]

    held = [
        (each.is_a(), *[plain(each.get_argument(place)) for place in range(len(each))])
        for each in found  # grows meanwhile
    ]
    return blake2b(repr(held).encode(), digest_size=16).digest()
