"""A schedule against the model, as CSV and on the terminal."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from modelcheck.model.element import ElementRef
from modelcheck.model.schedule_line import ScheduleLine, Told
from modelcheck.units import from_metres
from modelcheck.write.csv_tables import Table, number, quantity, text_cell

SCHEDULE = "schedule.csv"
_COLUMNS = (
    "told pull run model element_guids scheduled_trade_size_in modelled_trade_size_in start_guid"
    " end_guid length_mm gap_mm conductor_count wire_each_mm wire_total_mm x_m y_m z_m"
    " assumptions message"
)
_WORDS = {
    Told.SMALLER: "modelled smaller than scheduled",
    Told.LARGER: "modelled larger",
    Told.UNKNOWN_SIZE: "modelled without a known size",
    Told.GAP: "pulled up to a gap",
    Told.OPEN: "pulled up to an end that leads nowhere",
    Told.UNUSED: "used by no pull",
}


def schedule_table(lines: Sequence[ScheduleLine]) -> Table:
    """What differs, what is idle, and every pull from end to end."""
    return Table(file=SCHEDULE, columns=_COLUMNS.split(), records=lines, cells=_cells)


def schedule_line(lines: Sequence[ScheduleLine]) -> str:
    """One line for the terminal; empty without a schedule."""
    if not lines:
        return ""
    counts = Counter(line.told for line in lines)
    told = [f"{counts[each]} {words}" for each, words in _WORDS.items() if counts[each]]
    wire_m = sum(line.wire_total_m or 0.0 for line in lines)
    found = ", ".join(told) if told else "nothing differs"
    traced = counts[Told.TRACED]
    return (
        f"Schedule against model: {found}; {traced} pull{'s' * (traced != 1)} traced,"
        f" {number(wire_m, 1)} m of conductor ({SCHEDULE})."
    )


def _cells(line: ScheduleLine) -> dict[str, str]:
    return {
        "told": str(line.told),
        "pull": text_cell(line.pull),
        "run": text_cell(line.run),
        "model": text_cell(line.model),
        "element_guids": ";".join(dict.fromkeys(ref.guid for ref in line.elements)),
        "scheduled_trade_size_in": line.scheduled_in,
        "modelled_trade_size_in": line.modelled_in,
        "start_guid": _guid(line.start),
        "end_guid": _guid(line.end),
        "length_mm": _mm(line.length_m),
        "gap_mm": _mm(line.gap_m),
        "conductor_count": "" if line.conductor_count is None else str(line.conductor_count),
        "wire_each_mm": _mm(line.wire_each_m),
        "wire_total_mm": _mm(line.wire_total_m),
        "x_m": number(line.at[0], 3),
        "y_m": number(line.at[1], 3),
        "z_m": number(line.at[2], 3),
        "assumptions": text_cell(";".join(each.replace(";", ",") for each in line.assumptions)),
        "message": text_cell(line.message),
    }


def _guid(ref: ElementRef | None) -> str:
    return ref.guid if ref else ""


def _mm(length_m: float | None) -> str:
    return "" if length_m is None else quantity(from_metres(length_m, "mm"), "mm")
