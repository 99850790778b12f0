"""Advice on pulling, as CSV and on the terminal."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from modelcheck.model.pulling import PullingAdvice
from modelcheck.model.run import RunEnd
from modelcheck.units import (
    N_PER_M_PER_POUND_FORCE_PER_FOOT,
    N_PER_POUND_FORCE,
    STANDARD_GRAVITY,
    from_metres,
)
from modelcheck.write.csv_tables import Table, number, quantity, text_cell

PULLING = "pulling.csv"
_COLUMNS = (
    "run model pulls fed_from_guid pulled_to_guid fed_at advice conductor_count friction"
    " weight_kg_per_m weight_correction length_mm bend_total_deg jam_ratio tension_n"
    " tension_limit_n tension_lbf tension_limit_lbf sidewall_n_per_m sidewall_limit_n_per_m"
    " sidewall_lbf_per_ft sidewall_limit_lbf_per_ft working assumptions message"
)


def pulling_table(advice: Sequence[PullingAdvice]) -> Table:
    """How hard runs are to pull: two rows a run, one for each end to feed in at."""
    return Table(file=PULLING, columns=_COLUMNS.split(), records=advice, cells=_cells)


def pulling_line(rows: Sequence[PullingAdvice]) -> str:
    """One line for the terminal; empty if there is no advice."""
    if not rows:
        return ""
    best: dict[str, str] = {}
    for row in rows:
        if best.get(row.run.name) != "within":
            best[row.run.name] = str(row.advice)
    counts = Counter(best.values())
    told = ", ".join(
        f"{counts[advice]} {words}"
        for advice, words in (
            ("within", "within the limits from one end at least"),
            ("over", "over a limit from both"),
            ("needs-input", "for which something is missing"),
        )
        if counts[advice]
    )
    return f"Pulling, as advice only: {told} ({PULLING})."


def _cells(row: PullingAdvice) -> dict[str, str]:
    run = row.run
    fed, pulled = (run.start, run.end) if row.is_from_start else (run.end, run.start)
    weight = None if row.weight_n_per_m is None else row.weight_n_per_m / STANDARD_GRAVITY
    bends_deg = sum(bend.angle_deg for bend in run.bends)
    return {
        "run": text_cell(run.name),
        "model": text_cell(run.elements[0].model),
        "pulls": text_cell(";".join(row.pulls)),
        "fed_from_guid": _guid(fed),
        "pulled_to_guid": _guid(pulled),
        "fed_at": "start" if row.is_from_start else "end",
        "advice": str(row.advice),
        "conductor_count": str(row.conductor_count) if row.conductor_count else "",
        "friction": number(row.friction, 2) if row.friction else "",
        "weight_kg_per_m": number(weight, 3),
        "weight_correction": number(row.correction, 3),
        "length_mm": quantity(from_metres(run.length_m, "mm"), "mm"),
        "bend_total_deg": quantity(bends_deg, "deg"),
        "jam_ratio": number(row.jam_ratio, 2),
        "tension_n": number(row.tension_n, 0),
        "tension_limit_n": number(row.tension_limit_n, 0),
        "tension_lbf": _in(row.tension_n, N_PER_POUND_FORCE),
        "tension_limit_lbf": _in(row.tension_limit_n, N_PER_POUND_FORCE),
        "sidewall_n_per_m": _each(row.sidewall_n_per_m, 1.0),
        "sidewall_limit_n_per_m": number(row.sidewall_limit_n_per_m, 0),
        "sidewall_lbf_per_ft": _each(row.sidewall_n_per_m, N_PER_M_PER_POUND_FORCE_PER_FOOT),
        "sidewall_limit_lbf_per_ft": _in(
            row.sidewall_limit_n_per_m, N_PER_M_PER_POUND_FORCE_PER_FOOT
        ),
        "working": text_cell(row.working),
        "assumptions": text_cell(";".join(each.replace(";", ",") for each in row.assumptions)),
        "message": text_cell(row.message),
    }


def _guid(end: RunEnd) -> str:
    return end.ref.guid if end.ref else ""


def _in(value: float | None, factor: float) -> str:
    return "" if value is None else number(value / factor, 0)


def _each(values: Sequence[float | None], factor: float) -> str:
    """Write a figure a bend, in the order of the pull; ``?`` where it isn't known."""
    return ";".join("?" if value is None else number(value / factor, 0) for value in values)
