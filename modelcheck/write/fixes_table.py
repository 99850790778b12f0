"""fixes.csv: every change that would make a box pass, one row each."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache, partial

from modelcheck.model.fix import ENTRY_CHANGE, Fix
from modelcheck.units import Unit, from_metres
from modelcheck.write.csv_tables import Table, quantity, text_cell

FIXES = "fixes.csv"
_COLUMNS = (
    "box_guid model name change from to unit governing working message pairing assumptions"
    " conduit_guid wall"
)


def fixes_table(fixes: Sequence[Fix], unit: Unit) -> Table:
    """What would make boxes pass, in the order of `fixes`, lengths in `unit`."""
    return Table(
        file=FIXES,
        columns=_COLUMNS.split(),
        records=fixes,
        cells=partial(fix_cells, unit=unit),
    )


def fix_cells(fix: Fix, unit: Unit) -> dict[str, str]:
    """Cells of one row of fixes.csv, by column."""
    spell = centre_text if fix.change == ENTRY_CHANGE else inside_text
    return {
        "box_guid": fix.box.guid,
        "model": text_cell(fix.box.model),
        "name": text_cell(fix.box.name),
        "change": fix.change,
        "from": "" if fix.before_m is None else spell(fix.before_m, unit),
        "to": "" if fix.after_m is None else spell(fix.after_m, unit),
        "unit": unit,
        "governing": text_cell(";".join(fix.governing)),
        "working": text_cell(";".join(fix.working)),
        "message": text_cell(fix.message),
        "pairing": fix.pairing,
        "assumptions": text_cell(";".join(text.replace(";", ",") for text in fix.assumptions)),
        "conduit_guid": fix.conduit.guid if fix.conduit else "",
        "wall": fix.wall,
    }


@lru_cache(maxsize=1024)
def inside_text(lengths_m: tuple[float | None, ...], unit: Unit) -> str:
    """Write an inside size along the axes of its box: ``600.0 x 450.0 x 200.0``."""
    known = [None if each is None else from_metres(each, unit) for each in lengths_m]
    return " x ".join(quantity(each, unit) or "unknown" for each in known)


@lru_cache(maxsize=1024)
def centre_text(centre_m: tuple[float | None, ...], unit: Unit) -> str:
    """Write a centre on a wall from its middle: ``u -40.0 v 0.0``."""
    u, v = (None if each is None else from_metres(each, unit) for each in centre_m)
    return f"u {quantity(u, unit) or 'unknown'} v {quantity(v, unit) or 'unknown'}"
