"""What stands in a box, as SETTINGS.toml says it."""

from __future__ import annotations

from modelcheck.model.element import BoxContents
from modelcheck.read.toml_table import TomlTable
from modelcheck.units import M_PER_CM, convert_volume, to_metres


def read_contents(table: TomlTable) -> BoxContents:
    """Contents that `table` gives; what it doesn't name stays None.

    Raises
    ------
    InputFileError
        If a count isn't a whole number, or a volume isn't a number above 0.
    """
    return BoxContents(
        volume_cm3=_volume_cm3(table, "volume"),
        standard_box=table.text("standard_box"),
        extension_volume_cm3=_volume_cm3(table, "extension_volume"),
        barrier_volume_cm3=_volume_cm3(table, "barrier_volume"),
        conductors=_counts(table.table("conductors")),
        grounds=_counts(table.table("grounds")),
        clamps=table.whole("clamps"),
        studs=table.whole("studs"),
        hickeys=table.whole("hickeys"),
        devices=tuple(_device(device) for device in table.tables("devices")),
        connectors=table.whole("connectors"),
    )


def read_length_m(table: TomlTable, key: str) -> float | None:
    """Length of 0 or more at ``key_mm`` or ``key_in``, or None, in metres."""
    mm, inches = table.number(f"{key}_mm", least=0), table.number(f"{key}_in", least=0)
    if mm is not None and inches is not None:
        raise table.error("is also given in mm, give one of the two", key=f"{key}_in")
    if mm is not None:
        return to_metres(mm, "mm")
    return None if inches is None else to_metres(inches, "in")


def _volume_cm3(table: TomlTable, key: str) -> float | None:
    cm3, in3 = table.positive(f"{key}_cm3"), table.positive(f"{key}_in3")
    if cm3 is not None and in3 is not None:
        raise table.error("is also given in cm3, give one of the two", key=f"{key}_in3")
    return cm3 if in3 is None else convert_volume(in3, "in3", "cm3")


def _counts(table: TomlTable) -> tuple[tuple[str, int], ...]:
    """Read conductors by size: ``"12 AWG" = 4``."""
    return tuple((size, table.whole(size) or 0) for size in table)


def _device(table: TomlTable) -> tuple[str, float | None]:
    conductor, depth_m = table.text("conductor"), read_length_m(table, "depth")
    table.done()
    return conductor, None if depth_m is None else depth_m / M_PER_CM
