"""GlobalIds that follow from names of the truth, so a thing has the same one in every habit."""

from __future__ import annotations

import uuid

import ifcopenshell.guid

_NAMESPACE = uuid.UUID("5f0c5d8e-6a53-4a47-9c69-1b8b5d0a7c11")


def guid_of(truth_id: str) -> str:
    """Give the GlobalId of a thing of the truth."""
    return str(ifcopenshell.guid.compress(uuid.uuid5(_NAMESPACE, truth_id).hex))
