"""A report of any size, made by hand: for what a large page weighs and how long it takes."""

from dataclasses import replace

from modelcheck.model.finding import Outcome
from modelcheck.model.pull import BoxCase
from modelcheck.model.report import Report
from tests.unit.write.reports import (
    bends_finding,
    box_row,
    entry_row,
    finding,
    ref,
    report,
    run,
    run_row,
)

_A_RUN, _ALONG = 20, 40


def large_report(*, elements: int, boxes: int) -> Report:
    """Runs of 20 elements with a row that passes each, and boxes with one that fails."""
    runs = [_run(number) for number in range(elements // _A_RUN)]
    cases = [_case(number) for number in range(boxes)]
    of_runs = (
        bends_finding(subject=row.run.elements[0], elements=row.run.elements) for row in runs
    )
    of_boxes = (
        finding(
            subject=case.enclosure.ref,
            elements=(case.entries[0].conduit,),
            outcome=Outcome.FAIL,
            assumptions=("4 AWG or larger is assumed", "figure from memory"),
        )
        for case in cases
    )
    return report(
        findings=(*of_boxes, *of_runs),
        runs=tuple(runs),
        boxes=tuple(box_row(enclosure=case.enclosure) for case in cases),
        cases=tuple(cases),
    )


def _run(number):
    parts = tuple(
        ref(f"{number:06}{part:02}xxxxxxxxxxxxxx", 1000 + _A_RUN * number + part, name="Conduit 53")
        for part in range(_A_RUN)
    )
    line = tuple((number % _ALONG + 0.1 * part, number / _ALONG, 0.05 * part) for part in range(80))
    return run_row(run=run(name=f"R{number}", elements=parts, centreline=line))


def _case(number):
    box = ref(f"BOX{number:06}xxxxxxxxxxxxx", 10_000_000 + number, name=f"PB-{number}")
    enclosure = replace(
        box_row().enclosure,
        ref=box,
        inside_m=(0.6, 0.4, 0.2),
        origin=(number % _ALONG, number / _ALONG, 0.0),
    )
    conduit = ref(f"CON{number:06}xxxxxxxxxxxxx", 20_000_000 + number, name="Conduit 53")
    entry = replace(entry_row().entry, box=box, conduit=conduit)
    return BoxCase(enclosure=enclosure, entries=(entry, replace(entry, wall="+x")))
