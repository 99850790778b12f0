"""Cells of the tables as numbers, places and lists."""

from __future__ import annotations

from math import dist

from modelcheck.model.change import Row
from modelcheck.units import convert, convert_volume

Place = tuple[float, float, float]


def number(row: Row, column: str) -> float | None:
    """Return the number in a cell; None if the cell is empty or there is no such column."""
    text = row.get(column, "")
    return float(text) if text else None


def amount(row: Row, column: str, unit: str) -> float | None:
    """Return the amount in a cell in `unit`; the row may be written in another."""
    value = number(row, column)
    if value is None or row["unit"] == unit:
        return value
    match row["unit"], unit:
        case ("mm", "in") | ("in", "mm") as lengths:
            return convert(value, *lengths)
        case ("cm3", "in3") | ("in3", "cm3") as volumes:
            return convert_volume(value, *volumes)
        case _:
            return None


def place(row: Row, prefix: str = "") -> Place | None:
    """Return the place that a row tells in ``x_m, y_m, z_m``, each after `prefix`. [m]"""
    x, y, z = (number(row, f"{prefix}{axis}_m") for axis in "xyz")
    return None if x is None or y is None or z is None else (x, y, z)


def apart_m(one: Row, other: Row) -> float | None:
    """Return how far the places of two rows are apart; None if one has none. [m]"""
    first, second = place(one), place(other)
    return None if first is None or second is None else dist(first, second)


def apart_on_wall_mm(one: Row, other: Row) -> float | None:
    """Return how far two entries of one wall are apart; None if one isn't placed. [mm]"""
    (u, v), (other_u, other_v) = (
        [number(row, column) for column in ("u_mm", "v_mm")] for row in (one, other)
    )
    if u is None or v is None or other_u is None or other_v is None:
        return None
    return dist((u, v), (other_u, other_v))


def listed(row: Row, column: str) -> tuple[str, ...]:
    """Return the parts of a cell that ``;`` joins."""
    return tuple(part for part in row.get(column, "").split(";") if part)


def sizes(box: Row) -> tuple[float | None, ...]:
    """Return the inside size of a box along its axes. [mm]"""
    return tuple(number(box, f"inside_{axis}_mm") for axis in "xyz")
