"""Instances copied with all that they refer to, in one call of the library.

To ask an instance for one value costs as much as to copy it whole.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from ifcopenshell import ifcopenshell_wrapper

from modelcheck.read.property_values import Entity
from modelcheck.read.statements import Statements

_MOST = 4096  # instances that are worth to be copied together
_SCHEMAS = ("IFC4X3_ADD2", "IFC4", "IFC2X3")


class Copy:
    """Copy of an instance: it answers as the instance does, but knows neither id nor inverses."""

    __slots__ = ("values",)

    def __init__(self, values: dict[str, Any]) -> None:
        self.values = values  # by name; the class stands under type

    def value(self, name: str) -> Entity:
        """Value of an attribute.

        Raises
        ------
        AttributeError
            If there is none of that name.
        """
        try:
            value = self.values[name]
        except KeyError:
            raise AttributeError(f"{self.is_a()} has no attribute {name}") from None
        return _opened(value) if type(value) in (dict, tuple) else value

    __getattr__ = value

    def of_each(self, name: str, inner: str) -> list[Any]:
        """Attribute `inner`, which holds no instance, of each in the list `name`; quicker so."""
        try:
            return [each[inner] for each in self.values[name]]
        except KeyError as key:
            raise AttributeError(f"{self.is_a()} has no attribute {key}") from None

    def is_a(self, ifc_class: str = "") -> Entity:
        """Class of the instance, or whether it is of `ifc_class` or one derived from that."""
        own = self.values["type"]
        return ifc_class in _classes_of(own) if ifc_class else own


@dataclass(frozen=True, slots=True)
class Copies:
    """Copies instances of one file, if that is known to come to an end."""

    uncopied: frozenset[int] | None = None  # ids of what is too large; None: nothing is copied

    @classmethod
    def by(cls, statements: Statements | None) -> Copies:
        """Tell what may be copied of a file.

        Parameters
        ----------
        statements : Statements or None
            Of its text; nothing is copied where a reference might lead round in a circle.
        """
        trees = None if statements is None else statements.trees()
        if statements is None or trees is None:
            return cls()
        return cls(frozenset(statements.ids[np.flatnonzero(trees > _MOST)].tolist()))

    def of(self, entity: Entity) -> Entity:
        """Copy of `entity`, or itself where that isn't known to end, or to be worth it."""
        if self.uncopied is None or entity.id() in self.uncopied:
            return entity
        return Copy(ifcopenshell_wrapper.get_info_cpp(entity, True, False))  # noqa: FBT003


def _opened(value: Entity) -> Entity:
    if type(value) is dict:
        return Copy(value)
    if type(value) is tuple and value and type(value[0]) in (dict, tuple):
        return tuple([Copy(each) if type(each) is dict else _opened(each) for each in value])
    return value


@cache
def _classes_of(ifc_class: str) -> frozenset[str]:
    """A class and those that it is derived from."""
    names = {ifc_class}
    for schema in _SCHEMAS:
        try:
            declared = ifcopenshell_wrapper.schema_by_name(schema).declaration_by_name(ifc_class)
        except RuntimeError:
            continue
        entity = declared.as_entity()
        while entity is not None:
            names.add(entity.name())
            entity = entity.supertype()
    return frozenset(names)
