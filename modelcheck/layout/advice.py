"""Advice on pulling the scheduled conductors through a run, from either end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import asin, degrees, dist, pi, sqrt

from modelcheck.errors import RuleInputError
from modelcheck.layout.run_path import PlacedBend, RunPath, Stretch, run_path
from modelcheck.model.pull import Conductors, RunPull
from modelcheck.model.pulling import Advice, PullingAdvice
from modelcheck.model.run import Run
from modelcheck.model.settings import Pulling
from modelcheck.rules.conductors import Conductor, conductor, conductor_size
from modelcheck.rules.conduit_fill import raceway_area
from modelcheck.rules.pulling import (
    Lying,
    bend_multiplier,
    conductor_tension_lbf,
    jams,
    lying,
    pulling_figure,
    sidewall_pressure,
    straight_tension,
    weight_correction,
)
from modelcheck.units import (
    N_PER_M_PER_POUND_FORCE_PER_FOOT,
    N_PER_POUND_FORCE,
    STANDARD_GRAVITY,
)

_TOGETHER = "all conductors of the raceway are pulled at once"
_IN_BENDS = "the weight of conductors inside bends is left out"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bundle:
    """What is pulled through a run, and how it lies there."""

    count: int
    weight_n_per_m: float
    how: Lying
    correction: float
    jam_ratio: float | None
    limit_n: float
    friction: float
    notes: tuple[str, ...]


def advise(run: Run, pulls: Sequence[RunPull], pulling: Pulling) -> tuple[PullingAdvice, ...]:
    """Advise on pulling through `run` from its start and from its end.

    Parameters
    ----------
    run : Run
    pulls : sequence of RunPull
    pulling : Pulling

    Returns
    -------
    tuple of PullingAdvice
        Two, or none if no conductor goes through the run.
    """
    lines = [each for pull in pulls for each in pull.conductors if each.count != 0]
    if not lines:
        return ()
    names = tuple(dict.fromkeys(pull.name for pull in pulls if pull.conductors))
    path = run_path(run)
    missing = _missing(lines, pulling)
    if path is None or run.bend_conflict:
        missing.append(run.bend_conflict or "the run has no centre line to measure along")
    bundle = None if missing else _bundle(run, lines, pulling)
    if isinstance(bundle, str):
        missing.append(bundle)
    ways = []
    for is_from_start in (True, False):
        told = PullingAdvice(
            run=run, pulls=names, is_from_start=is_from_start, advice=Advice.NEEDS_INPUT
        )
        if path is None or not isinstance(bundle, _Bundle):
            ways.append(replace(told, message=f"Give what is missing: {'; '.join(missing)}"))
        else:
            ways.append(_pulled(told, path, bundle, pulling))
    return _compared(ways)


def _missing(lines: Sequence[Conductors], pulling: Pulling) -> list[str]:
    missing = []
    for each in lines:
        name = f"{each.size} {each.insulation}".strip() or "a conductor"
        if conductor_size(each.size) is None:
            missing.append(f"the size of {name}")
        elif each.count is None:
            missing.append(f"the number of {name}")
        elif _weight_kg_per_m(each, pulling) is None:
            missing.append(f"the weight of {name} under [pulling] weights_kg_per_m")
    return list(dict.fromkeys(missing))


def _weight_kg_per_m(line: Conductors, pulling: Pulling) -> float | None:
    weights, size = dict(pulling.weights_kg_per_m), conductor_size(line.size)
    if size is None:
        return None
    word = (line.insulation.upper().split() or [""])[0]
    return weights.get(f"{size.size} {word}".strip(), weights.get(size.size))


def _bundle(run: Run, lines: Sequence[Conductors], pulling: Pulling) -> _Bundle | str:
    """Put together what is pulled; a text says what is missing."""
    count = sum(each.count or 0 for each in lines)
    weight_kg = sum((each.count or 0) * (_weight_kg_per_m(each, pulling) or 0.0) for each in lines)
    rows = [conductor(each.size, each.insulation) for each in lines]
    known = [row for row in rows if row is not None]
    ratio = _jam_ratio(run, known) if len(known) == len(rows) else None
    if ratio is None and count > 1:
        return "raceway type, trade size and an insulation of the table: how conductors lie"
    how = lying(count, ratio or 0.0)
    try:
        correction = weight_correction(how, ratio or 0.0)
    except RuleInputError as error:
        return str(error)
    limit_n, notes = _limit_n(lines, count, pulling)
    friction = pulling.friction or pulling_figure("friction").value
    return _Bundle(
        count=count,
        weight_n_per_m=weight_kg * STANDARD_GRAVITY,
        how=how,
        correction=correction,
        jam_ratio=ratio,
        limit_n=limit_n,
        friction=friction,
        notes=(
            _TOGETHER,
            _IN_BENDS,
            *([] if pulling.friction else [f"friction {friction:g}, as none is set"]),
            *(["weight correction by its formula from memory"] if count > 1 else []),
            *(pulling_figure("jam-from").caveats if count == _MANY else []),
            *(["ratio of diameters by the largest conductor"] if len(set(known)) > 1 else []),
            *notes,
        ),
    )


def _jam_ratio(run: Run, rows: Sequence[Conductor]) -> float | None:
    """Inside diameter of the raceway over that of its largest conductor."""
    area = raceway_area(run.size.raceway_type, run.size.trade_size_in)
    if area is None or run.size.conflict or not rows:
        return None
    return sqrt(4.0 * area.area_mm2 / pi) / max(row.diameter_mm for row in rows)


def _limit_n(lines: Sequence[Conductors], count: int, pulling: Pulling) -> tuple[float, list[str]]:
    """Most tension on the conductors and on what holds them."""
    share = pulling_figure("share-of-many").value if count > _MANY else 1.0
    notes, total_lbf = [], 0.0
    for each in lines:
        size = conductor_size(each.size)
        area_kcmil = 0.0 if size is None else size.area_kcmil
        if not each.material:
            notes.append("copper, as no material is given")
        material = each.material or "copper"
        total_lbf += (each.count or 0) * conductor_tension_lbf(1, area_kcmil, material)
    if len({each.size for each in lines}) > 1:
        notes.append("sizes differ: each takes its share of the tension by its area")
    device = pulling_figure(pulling.attachment)
    if device.value < share * total_lbf:
        notes.append(f"tension limited by the {pulling.attachment.replace('-', ' ')}")
    return min(share * total_lbf, device.value) * N_PER_POUND_FORCE, list(dict.fromkeys(notes))


def _pulled(told: PullingAdvice, path: RunPath, bundle: _Bundle, pulling: Pulling) -> PullingAdvice:
    """Follow the pull from the end where the conductors are fed in."""
    tension_n = pulling.feed_n
    steps, pressures = [f"{tension_n:.0f}"], []
    notes = list(bundle.notes)
    for each in _way(path, is_from_start=told.is_from_start):
        if isinstance(each, Stretch):
            tension_n = _along(tension_n, each, bundle, is_from_start=told.is_from_start)
            steps.append(f"{each.length_m:.2f} m: {tension_n:.0f}")
            continue
        tension_n *= bend_multiplier(
            each.bend.angle_deg, friction=bundle.friction, correction=bundle.correction
        )
        pressures.append(_pressure(tension_n, each, bundle))
        steps.append(f"{each.bend.angle_deg:.1f} deg: {tension_n:.0f}")
    if None in pressures:
        notes.append("no sidewall pressure where a radius isn't drawn")
    table = pulling_figure("sidewall").value * N_PER_M_PER_POUND_FORCE_PER_FOOT
    told = replace(
        told,
        conductor_count=bundle.count,
        friction=bundle.friction,
        weight_n_per_m=bundle.weight_n_per_m,
        correction=bundle.correction,
        jam_ratio=bundle.jam_ratio,
        tension_n=tension_n,
        tension_limit_n=bundle.limit_n,
        sidewall_n_per_m=tuple(pressures),
        sidewall_limit_n_per_m=pulling.sidewall_n_per_m or table,
        working=" > ".join(steps) + " N",
        assumptions=tuple(notes),
    )
    over = _over(told)
    is_open = None in pressures and not over
    advice = Advice.OVER if over else Advice.NEEDS_INPUT if is_open else Advice.WITHIN
    return replace(told, advice=advice, message="; ".join(over))


def _way(path: RunPath, *, is_from_start: bool) -> list[Stretch | PlacedBend]:
    """Stretches and bends by turns, in the order of the pull."""
    way: list[Stretch | PlacedBend] = [path.stretches[0]]
    for bend, stretch in zip(path.bends, path.stretches[1:], strict=True):
        way += [bend, stretch]
    return way if is_from_start else way[::-1]


def _along(tension_n: float, each: Stretch, bundle: _Bundle, *, is_from_start: bool) -> float:
    rise_m = each.end[2] - each.start[2] if is_from_start else each.start[2] - each.end[2]
    drawn_m = dist(each.start, each.end)
    slope_deg = degrees(asin(max(-1.0, min(1.0, rise_m / drawn_m)))) if drawn_m > 0 else 0.0
    return straight_tension(
        tension_n,
        weight=bundle.weight_n_per_m,
        length=max(each.length_m, 0.0),
        friction=bundle.friction,
        correction=bundle.correction,
        slope_deg=slope_deg,
    )


def _pressure(tension_n: float, each: PlacedBend, bundle: _Bundle) -> float | None:
    if not each.bend.radius_m:
        return None
    return sidewall_pressure(
        tension_n, each.bend.radius_m, how=bundle.how, correction=bundle.correction
    )


def _over(told: PullingAdvice) -> list[str]:
    """What is over a limit, in sentences without an end."""
    over = []
    if (told.tension_n or 0.0) > (told.tension_limit_n or 0.0):
        over.append(f"the tension of {told.tension_n:.0f} N is over {told.tension_limit_n:.0f} N")
    limit = told.sidewall_limit_n_per_m or 0.0
    worst = max((each for each in told.sidewall_n_per_m if each is not None), default=0.0)
    if worst > limit:
        over.append(f"the sidewall pressure of {worst:.0f} N/m is over {limit:.0f} N/m")
    if told.jam_ratio is not None and jams(told.conductor_count, told.jam_ratio):
        over.append(f"three conductors may jam at a ratio of {told.jam_ratio:.2f}")
    return over


def _compared(ways: Sequence[PullingAdvice]) -> tuple[PullingAdvice, ...]:
    """Say with each way how the other does."""
    told = []
    for way, other in zip(ways, ways[::-1], strict=True):
        if way.tension_n is None or other.tension_n is None:
            told.append(way)
            continue
        here, there = f"{way.tension_n:.0f} N", f"{other.tension_n:.0f} N"
        than = "less than" if way.tension_n < other.tension_n else "more than"
        turned = f"{here}, {than} {there} from the other end"
        if here == there:
            turned = f"{here}, the same from the other end"
        told.append(replace(way, message="; ".join(filter(None, (way.message, turned)))))
    return tuple(told)


_MANY = 3
