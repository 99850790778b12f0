"""What the properties of a box say of what stands in it: volume, clamps, devices, conductors."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields, replace
from functools import cache
from typing import Any

from modelcheck.model.element import BoxContents
from modelcheck.read.lengths import NUMBER, lengths_in, number_value, plain_signs
from modelcheck.read.mapping import ranked
from modelcheck.read.property_values import PropertyValue, plain_name
from modelcheck.rules.conductors import conductor_size
from modelcheck.units import M_PER_CM, VolumeUnit, convert_volume

_VOLUME_UNITS: Mapping[str, VolumeUnit] = {
    "in3": "in3",
    "cuin": "in3",
    "cubicinch": "in3",
    "cubicinches": "in3",
    "cm3": "cm3",
    "cc": "cm3",
    "ml": "cm3",
}
_VOLUME = re.compile(rf"({NUMBER})\s*([a-z][a-z0-9^ .]*)")
_COUNTED = (
    re.compile(r"(?P<count>\d+)\s*[x@]\s*(?P<size>.+)"),
    re.compile(r"(?P<size>.+?)\s*[x:=]\s*(?P<count>\d+)"),
)
_KEYS = (
    "volume",
    "standard_box",
    "extension_volume",
    "barrier_volume",
    "conductors",
    "grounds",
    "clamps",
    "studs",
    "hickeys",
    "devices",
    "connectors",
)


def read_box_filling(
    values: Sequence[PropertyValue], *, volume_names: tuple[str, ...] = ()
) -> tuple[BoxContents, tuple[str, ...]]:
    """Contents that the properties of one box say, and what could not be read of them.

    Parameters
    ----------
    values : sequence of PropertyValue
        In order of trust.
    volume_names : tuple of str
        Names that the settings give to the volume.
    """
    found: dict[str, Any] = {}
    notes = []
    for value in values:
        key, field = _field_of(value.name, volume_names)
        if key and field not in found:
            read = _READERS[key](value)
            if read is None:
                notes.append(f"{value.label} could not be read and was left out")
            else:
                found[field] = read
    return BoxContents(**found), tuple(notes)


def with_settings(contents: BoxContents, settings: BoxContents) -> BoxContents:
    """`contents` with everything that the settings say in its place."""
    given = {
        each.name: value
        for each in fields(BoxContents)
        if (value := getattr(settings, each.name)) not in (None, "", ())
    }
    return replace(contents, **given)


@cache
def _field_of(name: str, volume_names: tuple[str, ...]) -> tuple[str, str]:
    """Key of ``mapping.toml`` and field of `BoxContents` for a property's name, or empty."""
    plain = plain_name(name)
    for key in _KEYS:
        is_volume = key.endswith("volume")
        bare = re.sub(rf"({'|'.join(_VOLUME_UNITS)})$", "", plain) if is_volume else plain
        names = ranked(key, volume_names if key == "volume" else ())
        if plain in names or bare in names:
            return key, f"{key}_cm3" if is_volume else key
    return "", ""


def _volume_cm3(value: PropertyValue) -> float | None:
    if len(value.values) != 1:
        return None
    if value.kind == "volume":
        return _positive(value.numbers[0] / M_PER_CM**3)
    if value.kind == "text":
        return _positive(_volume_in_text(value.texts[0]))
    name = plain_name(value.name)
    unit = next((unit for end, unit in _VOLUME_UNITS.items() if name.endswith(end)), None)
    if value.kind != "number" or unit is None:
        return None  # a number without a unit may be any volume
    return _positive(convert_volume(value.numbers[0], unit, "cm3"))


def _volume_in_text(text: str) -> float | None:
    found = _VOLUME.fullmatch(plain_signs(text).strip())
    unit = _VOLUME_UNITS.get(re.sub(r"[^a-z0-9]", "", found[2])) if found else None
    return convert_volume(number_value(found[1]), unit, "cm3") if found and unit else None


def _positive(volume_cm3: float | None) -> float | None:
    return volume_cm3 if volume_cm3 is not None and volume_cm3 > 0 else None


def _count(value: PropertyValue) -> int | None:
    """Whole number; true means one."""
    first = value.value
    if isinstance(first, bool):
        return int(first)
    if isinstance(first, str):
        return int(first) if re.fullmatch(r"\s*\d{1,4}\s*", first) else None
    return int(first) if first >= 0 and first == int(first) else None


def _text(value: PropertyValue) -> str | None:
    return value.texts[0] if value.texts else None


def _counts(value: PropertyValue) -> tuple[tuple[str, int], ...] | None:
    """Conductors by size: ``12 AWG x 6; 14 AWG x 4``."""
    counts = []
    for piece in _pieces(value, ";,"):
        found = next((found for each in _COUNTED if (found := each.fullmatch(piece))), None)
        size = conductor_size(found["size"]) if found else None
        if found is None or size is None:
            return None
        counts.append((size.size, int(found["count"])))
    return tuple(counts) or None


def _devices(value: PropertyValue) -> tuple[tuple[str, float | None], ...] | None:
    """Devices, each its largest conductor and, behind a comma, its depth: ``12 AWG, 4.5 cm``."""
    devices = []
    for piece in _pieces(value, ";"):
        conductor, _, depth = piece.partition(",")
        size = conductor_size(conductor)
        lengths = lengths_in(depth, units_m=()) if depth else ()
        if size is None or (depth and (len(lengths) != 1 or not lengths[0])):
            return None
        devices.append((size.size, lengths[0][0] / M_PER_CM if depth else None))
    return tuple(devices) or None


def _pieces(value: PropertyValue, separators: str) -> list[str]:
    pieces = (piece for text in value.texts for piece in re.split(f"[{separators}]", text))
    return [piece.replace("\u00d7", "x").strip() for piece in pieces if piece.strip()]


_READERS: Mapping[str, Callable[[PropertyValue], Any]] = {
    "volume": _volume_cm3,
    "extension_volume": _volume_cm3,
    "barrier_volume": _volume_cm3,
    "standard_box": _text,
    "conductors": _counts,
    "grounds": _counts,
    "clamps": _count,
    "studs": _count,
    "hickeys": _count,
    "devices": _devices,
    "connectors": _count,
}
