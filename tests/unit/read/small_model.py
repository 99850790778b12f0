"""A model of a few elements without shapes, in any schema."""

from __future__ import annotations

import uuid
from typing import Any

import ifcopenshell
import ifcopenshell.guid

SCHEMAS = ("IFC2X3", "IFC4", "IFC4X3")
UNITS_M = {"mm": 0.001, "m": 1.0, "in": 0.0254, "ft": 0.3048}
Measure = tuple[str, Any]


class SmallModel:
    """Writes elements, types, property sets and relations into a file in memory."""

    def __init__(self, schema: str = "IFC4", unit: str = "mm") -> None:
        self.file = ifcopenshell.file(schema=schema)
        self._count = 0
        units = self.make("IfcUnitAssignment", Units=[self.unit(unit)])
        self.root("IfcProject", Name="Small", UnitsInContext=units)

    def make(self, ifc_class: str, **attributes: Any) -> Any:
        return self.file.create_entity(ifc_class, **attributes)

    def root(self, ifc_class: str, **attributes: Any) -> Any:
        self._count += 1
        guid = ifcopenshell.guid.compress(uuid.UUID(int=self._count).hex)
        return self.make(ifc_class, GlobalId=guid, **attributes)

    def unit(self, name: str) -> Any:
        """Length unit called mm, m, in or ft."""
        prefix = "MILLI" if name == "mm" else None
        metre = self.make("IfcSIUnit", UnitType="LENGTHUNIT", Name="METRE", Prefix=prefix)
        if name in ("mm", "m"):
            return metre
        factor = self.make(
            "IfcMeasureWithUnit",
            ValueComponent=self.make("IfcLengthMeasure", wrappedValue=UNITS_M[name]),
            UnitComponent=metre,
        )
        return self.make(
            "IfcConversionBasedUnit",
            Dimensions=self.make(
                "IfcDimensionalExponents",
                LengthExponent=1,
                MassExponent=0,
                TimeExponent=0,
                ElectricCurrentExponent=0,
                ThermodynamicTemperatureExponent=0,
                AmountOfSubstanceExponent=0,
                LuminousIntensityExponent=0,
            ),
            UnitType="LENGTHUNIT",
            Name={"in": "INCH", "ft": "FOOT"}[name],
            ConversionFactor=factor,
        )

    def element(self, ifc_class: str, name: str | None = None, **attributes: Any) -> Any:
        return self.root(ifc_class, Name=name, **attributes)

    def typed(
        self, element: Any, ifc_class: str, name: str | None = None, **attributes: Any
    ) -> Any:
        """Give `element` a type and return it."""
        of_type = self.root(ifc_class, Name=name, **attributes)
        self.root("IfcRelDefinesByType", RelatedObjects=[element], RelatingType=of_type)
        return of_type

    def value(self, name: str, measure: Measure, unit: Any = None) -> Any:
        """Property with one value."""
        ifc_class, value = measure
        wrapped = self.make(ifc_class, wrappedValue=value)
        return self.make("IfcPropertySingleValue", Name=name, NominalValue=wrapped, Unit=unit)

    def pset(self, element: Any, name: str, properties: Any) -> Any:
        """Add a property set to an occurrence, or to a type."""
        if isinstance(properties, dict):
            properties = [self.value(key, measure) for key, measure in properties.items()]
        made = self.root("IfcPropertySet", Name=name, HasProperties=properties)
        if element.is_a("IfcTypeObject"):
            element.HasPropertySets = [*(element.HasPropertySets or ()), made]
        else:
            self.root(
                "IfcRelDefinesByProperties",
                RelatedObjects=[element],
                RelatingPropertyDefinition=made,
            )
        return made

    def aggregate(self, whole: Any, parts: list[Any]) -> None:
        self.root("IfcRelAggregates", RelatingObject=whole, RelatedObjects=parts)

    def system(self, name: str, elements: list[Any], ifc_class: str = "IfcSystem") -> None:
        group = self.root(ifc_class, Name=name)
        self.root("IfcRelAssignsToGroup", RelatedObjects=elements, RelatingGroup=group)

    def material(self, element: Any, name: str) -> None:
        made_of = self.make("IfcMaterial", Name=name)
        self.root("IfcRelAssociatesMaterial", RelatedObjects=[element], RelatingMaterial=made_of)
