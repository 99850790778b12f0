"""What a model says of an element beside its shape: properties, type, system, parts, materials.

The relations of a file are walked once; after that nothing is asked of an element's inverses.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

import ifcopenshell
import ifcopenshell.util.unit

from modelcheck.read.curves import Scales
from modelcheck.read.mapping import ranked
from modelcheck.read.property_values import (
    PROPERTY_NAME,
    Entity,
    Kind,
    PropertyValue,
    Source,
    lengths_by_name_m,
    plain_name,
    raw_value,
    simple_members,
)
from modelcheck.read.relations import Misfits, related

OUR_SETS = "RacewayCheck_"  # sets that an earlier check wrote are never evidence

# Places of attributes, the same in IFC2X3, IFC4 and IFC4X3.
GLOBAL_ID, NAME, DESCRIPTION, OBJECT_TYPE, TAG = 0, 2, 3, 4, 7
_TYPE_SETS = 5
_PLACES = {"IfcPropertySet": 4, "IfcElementQuantity": 5}
_RELATED, _RELATING, _GROUP = 4, 5, 6
_WHOLE, _PARTS = 4, 5
_DEEPEST_MATERIAL = 4  # usage, set, layer, material

SettingT = TypeVar("SettingT")

_NOT_SYSTEMS = ("IfcZone", "IfcBuildingSystem", "IfcBuiltSystem", "IfcStructuralAnalysisModel")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Set:
    """One property set or element quantity, its members by plain name."""

    name: str
    is_quantity: bool
    members: Mapping[str, list[Entity]]


class Properties:
    """Index of everything that the relations of one file say of its elements."""

    def __init__(self, file: ifcopenshell.file) -> None:
        self._file = file
        self.misfits = Misfits()
        scales = Scales.of(file)
        self._volume_unit_m3 = scales.volume_m3
        self.length_unit_m = scales.length_m
        self._unit_scales: dict[int, float | None] = {}
        self._sets: dict[int, _Set | None] = {}
        self._type_sets: dict[int, list[_Set]] = {}
        self._shared: set[int] = set()  # sets of several elements
        self._last: tuple[int, list[tuple[_Set, Source]]] = (0, [])
        self._material_names: dict[int, tuple[str, ...]] = {}

    def of(self, element: Entity) -> Mapping[tuple[str, str], PropertyValue]:
        """Every property by set and name; the occurrence's stands before its type's."""
        names = {name: 0 for each, _ in self._sets_of(element) for name in each.members}
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
        for each, source in self._sets_of(element):
            for name in each.members.keys() & names.keys():
                for member in each.members[name]:
                    value = self._read(each, member, source)
                    if value is not None:
                        key = (value.set_name, name)
                        found[key] = _before(found.get(key), value)
        values = list(found.values())
        if len(values) <= 1:
            return values
        return sorted(
            values,
            key=lambda each: (names[plain_name(each.name)], each.source, each.set_name),
        )

    def set_names(self, element: Entity) -> Iterator[str]:
        """Names of the property sets of the element, then of its type."""
        return (each.name for each, _ in self._sets_of(element))

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

    def is_part_of_itself(self, element: Entity) -> bool:
        """True if what `element` belongs to belongs to it."""
        seen: set[int] = set()
        whole = self.assembly_of(element)
        while whole is not None and whole.id() not in seen:
            seen.add(whole.id())
            whole = self.assembly_of(whole)
        return element.id() in seen

    def materials_of(self, element: Entity) -> tuple[str, ...]:
        """Names of the materials of the element, then of its type."""
        of_type = self.type_of(element)
        ids = [element.id()] if of_type is None else [element.id(), of_type.id()]
        made_of = [material for each in ids for material in self._materials.get(each, ())]
        return tuple(name for material in made_of for name in self._names_in(material))

    @cached_property
    def _types(self) -> dict[int, Entity]:
        return {
            element.id(): types[0]
            for types, elements in self._related("IfcRelDefinesByType", _RELATING)
            for element in elements
            if types
        }

    @cached_property
    def _definitions(self) -> dict[int, list[Entity]]:
        """Property sets and quantities by the id of what they belong to."""
        definitions: dict[int, list[Entity]] = defaultdict(list)
        # from IFC4 on a relation may hold several sets at once
        for sets, elements in self._related("IfcRelDefinesByProperties", _RELATING):
            if len(elements) > 1:
                self._shared.update(each.id() for each in sets)
            for element in elements:
                definitions[element.id()].extend(sets)
        return definitions

    @cached_property
    def _systems(self) -> dict[int, set[str]]:
        systems: dict[int, set[str]] = defaultdict(set)
        for groups, elements in self._related("IfcRelAssignsToGroup", _GROUP):
            name = _system_name(groups[0]) if groups else ""
            for element in elements if name else ():
                systems[element.id()].add(name)
        return systems

    @cached_property
    def _parts(self) -> dict[int, list[Entity]]:
        parts: dict[int, list[Entity]] = defaultdict(list)
        for wholes, own in related(self._file, "IfcRelAggregates", _WHOLE, _PARTS, self.misfits):
            if wholes and wholes[0].is_a("IfcElement"):
                parts[wholes[0].id()].extend(own)
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
        for made_of, elements in self._related("IfcRelAssociatesMaterial", _RELATING):
            for element in elements:
                materials[element.id()].extend(made_of)
        return materials

    def _related(self, ifc_class: str, one: int) -> Iterator[tuple[list[Entity], list[Entity]]]:
        return related(self._file, ifc_class, one, _RELATED, self.misfits)

    def _names_in(self, material: Entity) -> tuple[str, ...]:
        """Names of the materials in a material, list, layer, profile or constituent set."""
        if material.id() not in self._material_names:
            inside: list[Entity] = list(self._file.traverse(material, max_levels=_DEEPEST_MATERIAL))
            names = (each[0] for each in inside if each.is_a() == "IfcMaterial")
            self._material_names[material.id()] = tuple(name for name in names if name)
        return self._material_names[material.id()]

    def _sets_of(self, element: Entity) -> list[tuple[_Set, Source]]:
        """Sets of an element, then of its type; kept for the next question on the same element."""
        step_id = element.id()
        if self._last[0] != step_id:
            of_type = self.type_of(element)
            own = [self._set(pset) for pset in self._definitions.get(step_id, ())]
            of_all = [] if of_type is None else self._sets_of_type(of_type)
            sets: list[tuple[_Set, Source]] = [(each, "occurrence") for each in own if each]
            self._last = (step_id, sets + [(each, "type") for each in of_all])
        return self._last[1]

    def _sets_of_type(self, of_type: Entity) -> list[_Set]:
        step_id = of_type.id()
        if step_id not in self._type_sets:
            psets = (*(of_type[_TYPE_SETS] or ()), *self._definitions.get(step_id, ()))
            self._type_sets[step_id] = [each for pset in psets if (each := self._set(pset))]
        return self._type_sets[step_id]

    def _set(self, pset: Entity) -> _Set | None:
        """Property set or quantities; None for one of an earlier check, or of a fixed kind."""
        step_id = pset.id()
        if step_id not in self._shared:  # nobody asks for it again: not worth the memory
            return _read_set(pset)
        if step_id not in self._sets:
            self._sets[step_id] = _read_set(pset)
        return self._sets[step_id]

    def _read(self, pset: _Set, member: Entity, source: Source) -> PropertyValue | None:
        raw = raw_value(member)
        scale = None if raw is None else self._scale(raw.kind, raw.unit)
        if raw is None or scale is None:
            return None
        name = member[PROPERTY_NAME] or ""
        is_measured = raw.kind in ("length", "volume")
        values = tuple(value * scale for value in raw.values) if is_measured else raw.values
        lengths_m = lengths_by_name_m(name, raw)
        return PropertyValue(
            set_name=pset.name,
            name=name,
            values=lengths_m or values,
            kind="length" if lengths_m else raw.kind,
            source=source,
            is_quantity=pset.is_quantity,
        )

    def _scale(self, kind: Kind, unit: Entity | None) -> float | None:
        """Metres or cubic metres to one of the value's unit; None if the unit can't be read."""
        if unit is None or kind not in ("length", "volume"):
            return self._volume_unit_m3 if kind == "volume" else self.length_unit_m
        if unit.id() not in self._unit_scales:
            is_read = unit.is_a("IfcSIUnit") or unit.is_a("IfcConversionBasedUnit")
            scale = ifcopenshell.util.unit.get_named_unit_scale(unit) if is_read else None
            is_sound = scale is not None and 0.0 < float(scale) < math.inf
            self._unit_scales[unit.id()] = scale if is_sound else None
        return self._unit_scales[unit.id()]


def setting_of(element: Entity, settings: Mapping[str, SettingT]) -> SettingT | None:
    """What the settings say of `element` by its GlobalId, Tag or Name, or None."""
    for place in (GLOBAL_ID, TAG, NAME) if settings else ():
        if (reference := element[place]) in settings:
            return settings[reference]
    return None


def _read_set(pset: Entity) -> _Set | None:
    ifc_class, name = pset.is_a(), pset[NAME] or ""
    if ifc_class not in _PLACES or name.startswith(OUR_SETS):
        return None
    members: dict[str, list[Entity]] = defaultdict(list)
    for member in simple_members(pset[_PLACES[ifc_class]] or ()):
        members[plain_name(member[PROPERTY_NAME] or "")].append(member)
    return _Set(name=name, is_quantity=ifc_class == "IfcElementQuantity", members=members)


def _system_name(group: Entity) -> str:
    if not group.is_a("IfcSystem") or any(map(group.is_a, _NOT_SYSTEMS)):
        return ""
    name = group[NAME]
    return name.strip() if isinstance(name, str) else ""


def _before(held: PropertyValue | None, value: PropertyValue) -> PropertyValue:
    """Occurrence before type; of two of one source the one whose value sorts first."""
    if held is None or held.source != value.source:
        return held or value
    return min(held, value, key=lambda each: (each.name, repr(each.values)))
