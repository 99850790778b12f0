"""Selector queries of the settings, by a library that loads slowly: few settings have one."""

from __future__ import annotations

from collections.abc import Iterator

import ifcopenshell
import ifcopenshell.util.selector
import lark

from modelcheck.read.property_values import Entity
from modelcheck.read.toml_table import TomlTable, nearest

_SCHEMAS = ("IFC2X3", "IFC4", "IFC4X3_ADD2")


def check_query(table: TomlTable, key: str) -> None:
    """Refuse a query that doesn't parse, or asks for a class that no schema has.

    Raises
    ------
    ModelcheckError
        If it does.
    """
    query = table.text(key)
    try:
        tree = ifcopenshell.util.selector.filter_elements_grammar.parse(query)
    except lark.exceptions.UnexpectedCharacters as error:
        raise table.error(
            f"is {query!r}, which is no selector query from character {error.column} on", key=key
        ) from None
    except lark.exceptions.LarkError:
        raise table.error(f"is {query!r}, a selector query that ends too early", key=key) from None
    for rule in tree.find_data("ifc_class"):
        name = str(rule.children[0])
        known = _class_names()
        if name.lower() not in {each.lower() for each in known}:
            raise table.error(
                f"asks for {name}, which is no IFC class{nearest(name, known)}", key=key
            )


def selected(file: ifcopenshell.file, query: str) -> Iterator[Entity]:
    """Products of `file` that `query` asks for."""
    found = ifcopenshell.util.selector.filter_elements(file, query)
    return (element for element in found if element.is_a("IfcProduct"))


def _class_names() -> set[str]:
    """Names of the classes of every schema that can be read."""
    return {
        declaration.name()
        for schema in _SCHEMAS
        for declaration in ifcopenshell.schema_by_name(schema).declarations()
    }
