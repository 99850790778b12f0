"""What a model says of an element beside its shape: properties, type, system, parts, materials.

The relations of a file are walked once; after that nothing is asked of an element's inverses.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from functools import cached_property
from typing import TypeVar

import ifcopenshell
import ifcopenshell.util.unit

from modelcheck.read.mapping import ranked
from modelcheck.read.property_values import (
    PROPERTY_NAME,
    Entity,
    Kind,
    PropertyValue,
    Source,
    plain_name,
    raw_value,
    simple_members,
)

OUR_SETS = "RacewayCheck_"  # sets that an earlier check wrote are never evidence

# Places of attributes, the same in IFC2X3, IFC4 and IFC4X3.
GLOBAL_ID, NAME, DESCRIPTION, OBJECT_TYPE, TAG = 0, 2, 3, 4, 7
_PROPERTIES, _QUANTITIES, _TYPE_SETS = 4, 5, 5
_RELATED, _RELATING, _GROUP = 4, 5, 6
_WHOLE, _PARTS = 4, 5

SettingT = TypeVar("SettingT")

_NOT_SYSTEMS = ("IfcZone", "IfcBuildingSystem", "IfcBuiltSystem", "IfcStructuralAnalysisModel")


class Properties:
    """Index of everything that the relations of one file say of its elements."""

    def __init__(self, file: ifcopenshell.file) -> None:
        self._file = file
        unit_m3 = ifcopenshell.util.unit.calculate_unit_scale(file, "VOLUMEUNIT")
        self._volume_unit_m3 = float(unit_m3)
        self.length_unit_m = float(ifcopenshell.util.unit.calculate_unit_scale(file))
        self._unit_scales: dict[int, float | None] = {}
        self._members: dict[int, dict[str, list[Entity]]] = {}
        self._material_names: dict[int, tuple[str, ...]] = {}

    def of(self, element: Entity) -> Mapping[tuple[str, str], PropertyValue]:
        """Every property by set and name; the occurrence's stands before its type's."""
        names = {name: 0 for pset, _ in self._sets_of(element) for name in self._members_of(pset)}
        return {(each.set_name, each.name): each for each in self.find(element, names)}

    def find(self, element: Entity, names: Mapping[str, int]) -> list[PropertyValue]:
        """Properties called one of `names`, by rank, then occurrence before type.

        The occurrence's value hides that of the same set and name on the type.

        Parameters
        ----------
        element : entity
        names : mapping of str to int
            Rank by `plain_name`, 0 first.
        """
        found: dict[tuple[str, str], PropertyValue] = {}
        for pset, source in self._sets_of(element):
            members = self._members_of(pset)
            for name in members.keys() & names.keys():
                for member in members[name]:
                    value = self._read(pset, member, source)
                    if value is not None:
                        key = (value.set_name, name)
                        found[key] = _before(found.get(key), value)
        return sorted(
            found.values(),
            key=lambda each: (names[plain_name(each.name)], each.source, each.set_name),
        )

    def set_names(self, element: Entity) -> Iterator[str]:
        """Names of the property sets of the element, then of its type."""
        for pset, _ in self._sets_of(element):
            yield pset[NAME] or ""

    def type_of(self, element: Entity) -> Entity | None:
        """Type of an occurrence, or None."""
        return self._types.get(element.id())

    def system_of(self, element: Entity) -> str:
        """Names of the systems that the element is in, sorted and joined by ``;``.

        Where it is in none, the first property that names a system or circuit.
        """
        if systems := self._systems.get(element.id()):
            return ";".join(sorted(systems))
        named = self.find(element, ranked("system"))
        return next((text for value in named for text in value.texts), "")

    def parts_of(self, assembly: Entity) -> tuple[Entity, ...]:
        """Elements that `assembly` is made of."""
        return tuple(self._parts.get(assembly.id(), ()))

    def assembly_of(self, part: Entity) -> Entity | None:
        """Element that `part` belongs to, or None; a storey is no element."""
        return self._assemblies.get(part.id())

    def materials_of(self, element: Entity) -> tuple[str, ...]:
        """Names of the materials of the element, then of its type."""
        of_type = self.type_of(element)
        ids = [element.id()] if of_type is None else [element.id(), of_type.id()]
        made_of = [material for each in ids for material in self._materials.get(each, ())]
        return tuple(name for material in made_of for name in self._names_in(material))

    @cached_property
    def _types(self) -> dict[int, Entity]:
        return {
            related.id(): relation[_RELATING]
            for relation in self._file.by_type("IfcRelDefinesByType")
            for related in relation[_RELATED] or ()
            if relation[_RELATING] is not None
        }

    @cached_property
    def _definitions(self) -> dict[int, list[Entity]]:
        """Property sets and quantities by the id of what they belong to."""
        definitions: dict[int, list[Entity]] = defaultdict(list)
        for relation in self._file.by_type("IfcRelDefinesByProperties"):
            defined = relation[_RELATING]
            # from IFC4 on a relation may hold several sets at once
            sets = defined if isinstance(defined, tuple) else (defined,)
            for related in relation[_RELATED] or ():
                definitions[related.id()].extend(each for each in sets if each is not None)
        return definitions

    @cached_property
    def _systems(self) -> dict[int, set[str]]:
        systems: dict[int, set[str]] = defaultdict(set)
        for relation in self._file.by_type("IfcRelAssignsToGroup"):
            name = _system_name(relation[_GROUP])
            for related in (relation[_RELATED] or ()) if name else ():
                systems[related.id()].add(name)
        return systems

    @cached_property
    def _parts(self) -> dict[int, list[Entity]]:
        parts: dict[int, list[Entity]] = defaultdict(list)
        for relation in self._file.by_type("IfcRelAggregates"):
            whole = relation[_WHOLE]
            if whole is not None and whole.is_a("IfcElement"):
                parts[whole.id()].extend(relation[_PARTS] or ())
        return parts

    @cached_property
    def _assemblies(self) -> dict[int, Entity]:
        return {
            part.id(): self._file.by_id(whole)
            for whole, parts in self._parts.items()
            for part in parts
        }

    @cached_property
    def _materials(self) -> dict[int, list[Entity]]:
        materials: dict[int, list[Entity]] = defaultdict(list)
        for relation in self._file.by_type("IfcRelAssociatesMaterial"):
            if relation[_RELATING] is not None:
                for related in relation[_RELATED] or ():
                    materials[related.id()].append(relation[_RELATING])
        return materials

    def _names_in(self, material: Entity) -> tuple[str, ...]:
        """Names of the materials in a material, list, layer, profile or constituent set."""
        if material.id() not in self._material_names:
            inside: list[Entity] = list(self._file.traverse(material))
            names = (each[0] for each in inside if each.is_a() == "IfcMaterial")
            self._material_names[material.id()] = tuple(name for name in names if name)
        return self._material_names[material.id()]

    def _sets_of(self, element: Entity) -> Iterator[tuple[Entity, Source]]:
        for pset in self._definitions.get(element.id(), ()):
            if not (pset[NAME] or "").startswith(OUR_SETS):
                yield pset, "occurrence"
        of_type = self.type_of(element)
        if of_type is not None:
            for pset in (*(of_type[_TYPE_SETS] or ()), *self._definitions.get(of_type.id(), ())):
                if not (pset[NAME] or "").startswith(OUR_SETS):
                    yield pset, "type"

    def _members_of(self, pset: Entity) -> dict[str, list[Entity]]:
        """Properties and quantities of a set by plain name."""
        members = self._members.get(pset.id())
        if members is None:
            members = defaultdict(list)
            place = {"IfcPropertySet": _PROPERTIES, "IfcElementQuantity": _QUANTITIES}
            held = pset[place[pset.is_a()]] if pset.is_a() in place else ()
            for member in simple_members(held or ()):
                members[plain_name(member[PROPERTY_NAME] or "")].append(member)
            self._members[pset.id()] = members
        return members

    def _read(self, pset: Entity, member: Entity, source: Source) -> PropertyValue | None:
        raw = raw_value(member)
        scale = None if raw is None else self._scale(raw.kind, raw.unit)
        if raw is None or scale is None:
            return None
        is_measured = raw.kind in ("length", "volume")
        return PropertyValue(
            set_name=pset[NAME] or "",
            name=member[PROPERTY_NAME] or "",
            values=tuple(value * scale for value in raw.values) if is_measured else raw.values,
            kind=raw.kind,
            source=source,
            is_quantity=pset.is_a() == "IfcElementQuantity",
        )

    def _scale(self, kind: Kind, unit: Entity | None) -> float | None:
        """Metres or cubic metres to one of the value's unit; None if the unit can't be read."""
        if unit is None or kind not in ("length", "volume"):
            return self._volume_unit_m3 if kind == "volume" else self.length_unit_m
        if unit.id() not in self._unit_scales:
            is_read = unit.is_a("IfcSIUnit") or unit.is_a("IfcConversionBasedUnit")
            scale = ifcopenshell.util.unit.get_named_unit_scale(unit) if is_read else None
            self._unit_scales[unit.id()] = None if scale is None else float(scale)
        return self._unit_scales[unit.id()]


def setting_of(element: Entity, settings: Mapping[str, SettingT]) -> SettingT | None:
    """What the settings say of `element` by its GlobalId, Tag or Name, or None."""
    for place in (GLOBAL_ID, TAG, NAME) if settings else ():
        if (reference := element[place]) in settings:
            return settings[reference]
    return None


def _system_name(group: Entity | None) -> str:
    if group is None or not group.is_a("IfcSystem") or any(map(group.is_a, _NOT_SYSTEMS)):
        return ""
    return (group[NAME] or "").strip()


def _before(held: PropertyValue | None, value: PropertyValue) -> PropertyValue:
    """Occurrence before type; of two of one source the one whose value sorts first."""
    if held is None or held.source != value.source:
        return held or value
    return min(held, value, key=lambda each: (each.name, repr(each.values)))
