"""A schedule against the model: sizes, ends that a pull doesn't reach, idle runs, wire lengths."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import dist

from modelcheck.model.element import ElementRef, Point
from modelcheck.model.pull import PullLegs
from modelcheck.model.run import LooseEnd, Network, Run, RunEnd
from modelcheck.model.schedule_line import ScheduleLine, Told
from modelcheck.rules.raceways import by_trade_size
from modelcheck.rules.requirement import spell_length
from modelcheck.units import from_metres

_ACROSS = "boxes crossed straight from entry to entry"
_SAME_M = 1e-6
_CARRIES_ON = ("box", "equipment", "meant")


def compare_schedule(
    pulls: Sequence[PullLegs], network: Network, *, makeup_m: float
) -> tuple[ScheduleLine, ...]:
    """Compare the pulls of a schedule with the runs of the model, the gravest first.

    Parameters
    ----------
    pulls : sequence of PullLegs
    network : Network
    makeup_m : float
        Of a conductor at each end of its pull. [m]
    """
    lines = [
        *(line for each in pulls for line in _sizes(each)),
        *(line for each in pulls for line in _ends(each, network.loose_ends)),
        *_unused(pulls, network.runs),
        *(_traced(each, makeup_m) for each in pulls),
    ]
    gravest = list(Told)
    return tuple(
        sorted(lines, key=lambda line: (gravest.index(line.told), line.pull, line.model, line.run))
    )


def _sizes(each: PullLegs) -> Iterator[ScheduleLine]:
    """Runs whose modelled size is not the scheduled one."""
    scheduled = by_trade_size(each.pull.trade_size_in)
    if scheduled is None:
        return
    for run, _ in each.legs:
        modelled = by_trade_size(run.size.trade_size_in)
        told, is_drawn = Told.UNKNOWN_SIZE, "with a size that isn't known"
        if modelled is not None:
            if modelled.trade_size_in == scheduled.trade_size_in:
                continue
            is_smaller = modelled.inches < scheduled.inches
            told = Told.SMALLER if is_smaller else Told.LARGER
            is_drawn = f"as {modelled.label('mm')}, {'smaller' if is_smaller else 'larger'}"
        yield ScheduleLine(
            told=told,
            pull=each.pull.name,
            run=run.name,
            model=run.elements[0].model,
            elements=run.elements,
            scheduled_in=scheduled.trade_size_in,
            modelled_in=run.size.trade_size_in,
            length_m=run.length_m,
            at=_middle(run),
            message=f"Pull {each.pull.name} is scheduled in {scheduled.label('mm')},"
            f" run {run.name} is modelled {is_drawn}",
            assumptions=run.size.assumptions,
        )


def _ends(each: PullLegs, loose: Sequence[LooseEnd]) -> Iterator[ScheduleLine]:
    """Ends of a pull at which the model doesn't carry it on."""
    (first, way_in), (last, last_in) = each.legs[0], each.legs[-1]
    for run, end in ((first, _side(first, way_in)), (last, _side(last, 1 - last_in))):
        if end.kind in _CARRIES_ON:
            continue
        near = _near_pair(run, end, loose)
        gap = f"stops {_mm(near.gap_m)} short of the next" if near and near.gap_m else ""
        where = {"cap": "is capped", "branch": "ends at a fitting with three or more ends"}
        yield ScheduleLine(
            told=Told.GAP if gap else Told.OPEN,
            pull=each.pull.name,
            run=run.name,
            model=run.elements[0].model,
            elements=_pair(near)
            if gap and near
            else (run.elements[0 if end is run.start else -1],),
            gap_m=near.gap_m if near else None,
            length_m=run.length_m,
            at=end.point,
            message=f"Pull {each.pull.name}: run {run.name}"
            f" {gap or where.get(end.kind, 'ends open')}: the model doesn't carry it on",
        )


def _side(run: Run, side: int) -> RunEnd:
    return run.end if side else run.start


def _near_pair(run: Run, end: RunEnd, loose: Sequence[LooseEnd]) -> LooseEnd | None:
    """Near pair that an end of a run is one of."""
    keys = {ref.key for ref in run.elements}
    for each in loose:
        sides = {each.element.key, *([each.other.key] if each.other else [])}
        is_near = dist(each.point, end.point) <= (each.gap_m or 0.0) + _SAME_M
        if each.other and sides & keys and is_near:
            return each
    return None


def _pair(near: LooseEnd) -> tuple[ElementRef, ...]:
    return (near.element, *([near.other] if near.other else []))


def _unused(pulls: Sequence[PullLegs], runs: Sequence[Run]) -> Iterator[ScheduleLine]:
    used = {run.name for each in pulls for run, _ in each.legs}
    for run in runs:
        if run.name not in used:
            yield ScheduleLine(
                told=Told.UNUSED,
                run=run.name,
                model=run.elements[0].model,
                elements=run.elements,
                modelled_in=run.size.trade_size_in,
                length_m=run.length_m,
                at=_middle(run),
                message=f"No pull of the schedule goes through run {run.name}",
            )


def _traced(each: PullLegs, makeup_m: float) -> ScheduleLine:
    """Pull from end to end, with the length of its conductors."""
    runs = [run for run, _ in each.legs]
    raceway_m = sum(run.length_m for run in runs)
    across_m = sum(
        dist(_side(one, 1 - one_in).point, _side(two, two_in).point)
        for (one, one_in), (two, two_in) in pairwise(each.legs)
    )
    (first, way_in), (last, last_in) = each.legs[0], each.legs[-1]
    start, end = _side(first, way_in), _side(last, 1 - last_in)
    each_m = raceway_m + across_m + 2.0 * makeup_m
    count = _count(each)
    wires = "no conductor" if count == 0 else f"{each_m:.1f} m of each conductor"
    return ScheduleLine(
        told=Told.TRACED,
        pull=each.pull.name,
        run=";".join(run.name for run in runs),
        model=first.elements[0].model,
        elements=tuple(ref for run in runs for ref in run.elements),
        scheduled_in=each.pull.trade_size_in,
        modelled_in=";".join(dict.fromkeys(run.size.trade_size_in for run in runs)),
        start=start.ref,
        end=end.ref,
        length_m=raceway_m,
        conductor_count=count,
        wire_each_m=each_m,
        wire_total_m=None if count is None else count * each_m,
        at=start.point,
        message=f"Pull {each.pull.name} goes from {_name(start)} to {_name(end)}"
        f" through {len(runs)} run{'s' * (len(runs) > 1)}: {wires}",
        assumptions=(
            *([_ACROSS] if across_m > _SAME_M else []),
            f"{_mm(makeup_m)} for make-up at each end",
            *(["number of conductors not known"] if count is None else []),
        ),
    )


def _count(each: PullLegs) -> int | None:
    counts = [line.count for line in each.pull.conductors]
    return None if None in counts else sum(count or 0 for count in counts)


def _name(end: RunEnd) -> str:
    return (end.ref.name or end.ref.guid) if end.ref else f"an end that is {end.kind}"


def _mm(length_m: float | None) -> str:
    return spell_length(from_metres(length_m or 0.0, "mm"), "mm")


def _middle(run: Run) -> Point:
    """Point of the run to look at."""
    points = run.centreline or (run.start.point, run.end.point)
    return points[len(points) // 2]
