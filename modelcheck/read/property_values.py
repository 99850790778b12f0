"""One property or quantity of a model as a value: lengths in metres, volumes in cubic metres."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal

from modelcheck.read.lengths import NUMBER, UNITS_M, number_value, plain_signs

Entity = Any  # an ifcopenshell entity instance; its attributes depend on its class
Kind = Literal["length", "volume", "number", "text", "flag", "measure"]
Source = Literal["occurrence", "type"]
_Held = tuple[list[Any], Kind, Entity | None]  # values, sound or not, their kind and own unit

# Places of attributes: one asked by its place is read five times as fast as by its name.
# They are the same in IFC2X3, IFC4 and IFC4X3.
PROPERTY_NAME = 0
_DEEPEST_PROPERTY = 4  # complex properties in one another; deeper only in a broken file

_KINDS: dict[str, Kind] = {
    "IfcLengthMeasure": "length",
    "IfcPositiveLengthMeasure": "length",
    "IfcNonNegativeLengthMeasure": "length",
    "IfcVolumeMeasure": "volume",
    "IfcLabel": "text",
    "IfcText": "text",
    "IfcIdentifier": "text",
    "IfcDescriptiveMeasure": "text",
    "IfcBoolean": "flag",
    "IfcLogical": "flag",
    "IfcReal": "number",
    "IfcInteger": "number",
    "IfcCountMeasure": "number",
    "IfcNumericMeasure": "number",
}
_UNIT_IN_NAME = re.compile(
    rf"[\s_,]*[\[(]\s*({'|'.join(map(re.escape, UNITS_M))})\.?\s*[\])]\s*$", re.IGNORECASE
)
_KINDS_BY_UNIT: dict[str, Kind] = {"LENGTHUNIT": "length", "VOLUMEUNIT": "volume"}


@dataclass(frozen=True, slots=True, kw_only=True)
class PropertyValue:
    """One property or quantity; several values are a list, an enumeration or two bounds."""

    set_name: str
    name: str
    values: tuple[float | str | bool, ...]  # lengths in metres, volumes in cubic metres
    kind: Kind
    source: Source
    is_quantity: bool = False

    @property
    def value(self) -> float | str | bool:
        """The only value, or the first."""
        return self.values[0]

    @property
    def label(self) -> str:
        """Name to tell it by, such as ``Conduit.TradeSize``."""
        return f"{self.set_name}.{self.name}"

    @property
    def texts(self) -> tuple[str, ...]:
        """Values that are text, stripped."""
        return tuple(value.strip() for value in self.values if isinstance(value, str))

    @property
    def numbers(self) -> tuple[float, ...]:
        """Values that are numbers."""
        return tuple(
            float(value)
            for value in self.values
            if isinstance(value, int | float) and not isinstance(value, bool)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class RawValue:
    """Values as the file holds them, still in the unit of the file or of the property."""

    values: tuple[Any, ...]
    kind: Kind
    unit: Entity | None  # the property's own


@lru_cache(maxsize=65536)
def plain_name(name: str) -> str:
    """Small letters and digits of a property's name: ``Trade Size`` and ``TradeSize`` are one.

    Without a length unit in brackets at its end: ``Width [mm]``.
    """
    name = _UNIT_IN_NAME.sub("", name)
    bare = name.lower() if name.isascii() else unicodedata.normalize("NFKD", name.casefold())
    return "".join(letter for letter in bare if letter.isalnum())


def simple_members(members: Sequence[Entity], depth: int = 0) -> Iterator[Entity]:
    """Properties and quantities of a set, those inside complex ones too."""
    for member in members:
        ifc_class = member.is_a()
        if ifc_class in ("IfcComplexProperty", "IfcPhysicalComplexQuantity"):
            inner = 3 if ifc_class == "IfcComplexProperty" else 2
            if depth < _DEEPEST_PROPERTY:
                yield from simple_members(member[inner] or (), depth + 1)
        else:
            yield member


def raw_value(member: Entity) -> RawValue | None:
    """Values of a property or quantity; None if it is empty or of a class that isn't read."""
    reader = _READERS.get(member.is_a())
    raw = None if reader is None else reader(member)
    if raw is None:
        return None
    held, kind, unit = raw
    values = tuple(dict.fromkeys([value for value in held if _is_sound(value)]))
    return RawValue(values=values, kind=kind, unit=unit) if values else None


def lengths_by_name_m(name: str, raw: RawValue) -> tuple[float, ...]:
    """Plain numbers as lengths where the name of their property ends in a unit; else none. [m]"""
    unit_m = _unit_in(name)
    if unit_m is None or raw.kind not in ("number", "text"):
        return ()
    numbers = [_plain_number(value) for value in raw.values]
    return () if None in numbers else tuple(each * unit_m for each in numbers if each is not None)


@lru_cache(maxsize=65536)
def _unit_in(name: str) -> float | None:
    found = _UNIT_IN_NAME.search(name)
    return None if found is None else UNITS_M[found[1].lower()]


def _plain_number(value: float | str) -> float | None:
    if isinstance(value, str):
        plain = plain_signs(value).strip()
        return number_value(plain) if re.fullmatch(NUMBER, plain) else None
    return float(value)


def _unwrapped(measures: Sequence[Entity | None], unit: Entity | None) -> _Held | None:
    present = [measure for measure in measures if measure is not None]
    if not present:
        return None
    kind = _KINDS.get(present[0].is_a(), "measure")
    if kind == "number" and unit is not None:
        kind = _KINDS_BY_UNIT.get(getattr(unit, "UnitType", ""), "measure")
    return [measure[0] for measure in present], kind, unit


def _single(member: Entity) -> _Held | None:
    return _unwrapped((member[2],), member[3])


def _list(member: Entity) -> _Held | None:
    return _unwrapped(member[2] or (), member[3])


def _enumerated(member: Entity) -> _Held | None:
    enumeration = member[3]
    return _unwrapped(member[2] or (), None if enumeration is None else enumeration[2])


def _bounded(member: Entity) -> _Held | None:
    upper, lower, unit = member[2], member[3], member[4]
    set_point = getattr(member, "SetPointValue", None)  # not in IFC2X3
    return _unwrapped([lower, upper] if set_point is None else [set_point], unit)


def _quantity(kind: Kind) -> Callable[[Entity], _Held]:
    return lambda member: ([member[3]], kind, member[2])


_READERS: dict[str, Callable[[Entity], _Held | None]] = {
    "IfcPropertySingleValue": _single,
    "IfcPropertyListValue": _list,
    "IfcPropertyEnumeratedValue": _enumerated,
    "IfcPropertyBoundedValue": _bounded,
    "IfcQuantityLength": _quantity("length"),
    "IfcQuantityVolume": _quantity("volume"),
}


def _is_sound(value: object) -> bool:
    if isinstance(value, str):
        return bool(value.strip())
    return isinstance(value, bool) or (isinstance(value, int | float) and math.isfinite(value))
