"""Which property sets a checked model gets: plain values, by the number of their elements."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from modelcheck.model.element import ElementRef
from modelcheck.model.finding import BOX_CHECKS, Finding, Outcome, governing, worst
from modelcheck.model.report import BoxRow, Report, RunRow
from modelcheck.units import convert_volume, from_metres, to_metres
from modelcheck.write.csv_tables import quantity

ENCLOSURE, RUN = "RacewayCheck_Enclosure", "RacewayCheck_Run"
MARK = "RacewayCheck_"


class Value(NamedTuple):
    """A value with its IFC measure: lengths in metres, angles in degrees, volumes in cm3."""

    measure: str
    value: str | float | int


@dataclass(frozen=True, slots=True, kw_only=True)
class PropertySet:
    """One property set and the elements that share it."""

    name: str
    elements: tuple[ElementRef, ...]
    properties: tuple[tuple[str, Value], ...]


def property_sets(report: Report, model: str) -> Iterator[PropertySet]:
    """Sets for the elements of one model, rounded as the tables round.

    Boxes first, then runs, in the order of the report.
    """
    by_box: dict[tuple[str, int], list[Finding]] = defaultdict(list)
    for finding in report.findings:
        if finding.check in BOX_CHECKS:
            by_box[finding.subject.key].append(finding)
    for row in report.boxes:
        if row.enclosure.ref.model == model:
            yield _enclosure_set(row, by_box[row.enclosure.ref.key], report)
    yield from _run_sets(report.runs, model)


def _enclosure_set(row: BoxRow, findings: Sequence[Finding], report: Report) -> PropertySet:
    box = row.enclosure
    properties: list[tuple[str, Value]] = [
        ("Outcome", _label(row.outcome)),
        *(
            (f"Inside{axis}", _millimetres(length_m))
            for axis, length_m in zip("XYZ", box.inside_m, strict=True)
            if length_m is not None
        ),
        ("Cover", _label(";".join(box.cover) or "unknown")),
        ("EntryCount", Value("IfcInteger", row.entry_count)),
        ("Code", _label(report.settings.code)),
        ("Edition", _label(report.settings.edition)),
    ]
    for check in BOX_CHECKS:
        own = governing([finding for finding in findings if finding.check == check])
        if own:
            properties += _check_properties(own)
    return PropertySet(name=ENCLOSURE, elements=(box.ref,), properties=tuple(properties))


def _check_properties(finding: Finding) -> Iterator[tuple[str, Value]]:
    name = "".join(word.capitalize() for word in finding.check.split("-"))
    for part, value in (("Required", finding.required), ("Provided", finding.provided)):
        if text := quantity(value, finding.unit):
            yield f"{name}{part}", _measure(float(text), finding.unit)
    yield f"{name}Outcome", _label(finding.outcome)


def _run_sets(rows: Sequence[RunRow], model: str) -> Iterator[PropertySet]:
    """One set a run, shared by its elements; elements of two runs have one of their own."""
    by_id: dict[int, ElementRef] = {}
    runs_of: dict[int, list[RunRow]] = {}
    for row in rows:
        for ref in row.run.elements:
            if ref.model == model:
                by_id[ref.step_id] = ref
                own = runs_of.setdefault(ref.step_id, [])
                if row not in own[-1:]:
                    own.append(row)
    sharing: dict[tuple[str, ...], list[ElementRef]] = {}
    by_name = {row.run.name: row for row in rows}
    for step_id, own in runs_of.items():
        sharing.setdefault(tuple(row.run.name for row in own), []).append(by_id[step_id])
    for names, refs in sharing.items():
        yield _run_set([by_name[name] for name in names], refs)


def _run_set(rows: Sequence[RunRow], refs: Sequence[ElementRef]) -> PropertySet:
    """Names of all the runs, the rest of the worst of them."""
    outcome = worst([Outcome(row.outcome) for row in rows])
    row = next(row for row in rows if row.outcome == outcome)
    properties = [
        ("Run", _label(";".join(each.run.name for each in rows))),
        ("Outcome", _label(str(outcome))),
        ("BendTotal", _measure(float(quantity(row.bend_total_deg, "deg")), "deg")),
        ("BendLimit", _measure(float(quantity(row.limit_deg, "deg")), "deg")),
        ("BendCount", Value("IfcInteger", len(row.run.bends))),
        ("Length", _millimetres(row.run.length_m)),
    ]
    if row.run.size.trade_size_in:
        properties.append(("TradeSize", _label(row.run.size.trade_size_in)))
    return PropertySet(name=RUN, elements=tuple(refs), properties=tuple(properties))


def _label(text: str) -> Value:
    return Value("IfcLabel", text)


def _millimetres(length_m: float) -> Value:
    return _measure(float(quantity(from_metres(length_m, "mm"), "mm")), "mm")


def _measure(value: float, unit: str) -> Value:
    match unit:
        case "mm" | "in":
            return Value("IfcLengthMeasure", to_metres(value, unit))
        case "deg":
            return Value("IfcPlaneAngleMeasure", value)
        case "cm3" | "in3":
            return Value("IfcVolumeMeasure", convert_volume(value, unit, "cm3"))
        case _:
            return Value("IfcReal", value)
