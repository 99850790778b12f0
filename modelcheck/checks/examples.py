"""One small case for each check, worked by the check itself for ``modelcheck rules``."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from modelcheck.checks.every_check import check_box, check_run
from modelcheck.checks.run_continuity import check_loose_ends
from modelcheck.model.element import (
    Bend,
    BoxContents,
    ElementRef,
    Enclosure,
    RacewaySize,
)
from modelcheck.model.finding import Finding
from modelcheck.model.pull import BoxCase, BoxPull, Conductors, RunPull
from modelcheck.model.run import Entry, LooseEnd, Run, RunEnd
from modelcheck.model.settings import Limits, Settings
from modelcheck.rules.catalogue import RuleBook
from modelcheck.rules.raceways import by_trade_size
from modelcheck.units import to_metres

_Work = Callable[[RuleBook, Settings], tuple[Finding, ...]]
_FEEDER = (Conductors(size="250 kcmil", insulation="RW90", count=3),)


def example_findings(check: str, book: RuleBook, settings: Settings) -> tuple[Finding, ...]:
    """Findings of the example of `check` under one edition."""
    return tuple(each for each in _EXAMPLES[check](book, settings) if each.check == check)


def _ref(name: str) -> ElementRef:
    return ElementRef(model="example", guid=name, name=name)


def _entry(name: str, wall: str, trade_size_in: str, u_mm: float = 0.0) -> Entry:
    return Entry(
        box=_ref("box"),
        conduit=_ref(name),
        wall=wall,
        u_m=to_metres(u_mm, "mm"),
        v_m=0.0,
        size=_emt(trade_size_in),
    )


def _emt(trade_size_in: str) -> RacewaySize:
    size = by_trade_size(trade_size_in)
    return RacewaySize(
        raceway_type="EMT",
        trade_size_in=trade_size_in,
        metric_designator=None if size is None else size.metric_designator,
    )


def _box(*entries: Entry, conductors: tuple[Conductors, ...] = _FEEDER) -> BoxCase:
    """A box 600 x 450 x 200 mm, its cover on +z, with one pull through two entries."""
    x_m, y_m, z_m = (to_metres(length, "mm") for length in (600, 450, 200))
    box = Enclosure(
        ref=_ref("box"),
        inside_m=(x_m, y_m, z_m),
        cover=("+z",),
        contents=BoxContents(clamps=1, studs=0, hickeys=0, connectors=0),
    )
    pull = BoxPull(name="F1", entries=(0, 1), conductors=conductors)
    return BoxCase(enclosure=box, entries=entries, pulls=(pull,))


def _run(*bends_deg: float) -> Run:
    bends = tuple(
        Bend(angle_deg=angle, radius_m=to_metres(200, "mm"), at=(0.0, 0.0, 0.0), element=_ref("E"))
        for angle in bends_deg
    )
    ends = (RunEnd(kind="box", point=(0.0, 0.0, 0.0)), RunEnd(kind="box", point=(40.0, 0.0, 0.0)))
    return Run(
        name="R1",
        elements=(_ref("C1"), _ref("E")),
        start=ends[0],
        end=ends[1],
        size=_emt("2"),
        raceway_types=("EMT",),
        length_m=40.0,
        bends=bends,
    )


def _of_box(case: BoxCase) -> _Work:
    return lambda book, settings: check_box(case, book, settings)


def _of_run(run: Run, *pulls: RunPull) -> _Work:
    return lambda book, settings: check_run(run, pulls or None, book, settings)


def _of_length(book: RuleBook, settings: Settings) -> tuple[Finding, ...]:
    return check_run(_run(), None, book, replace(settings, limits=Limits(run_length_m=30.0)))


_LOOSE = LooseEnd(element=_ref("C1"), point=(0.0, 0.0, 0.0), other=_ref("C2"), gap_m=0.012)
_EXAMPLES: dict[str, _Work] = {
    "straight-pull-length": _of_box(_box(_entry("A", "-x", "3"), _entry("B", "+x", "2"))),
    "angle-pull-distance": _of_box(
        _box(_entry("A", "-x", "3"), _entry("B", "-y", "3"), _entry("C", "-x", "2", 120.0))
    ),
    "entry-spacing": _of_box(_box(_entry("A", "-x", "3"), _entry("B", "-y", "2", 200.0))),
    "cover-depth": _of_box(_box(_entry("A", "-z", "3"), _entry("B", "-y", "3"))),
    "box-volume": _of_box(
        _box(
            _entry("A", "-x", "1/2"),
            _entry("B", "+x", "1/2"),
            conductors=(Conductors(size="12 AWG", insulation="RW90", count=6),),
        )
    ),
    "bends-between-pull-points": _of_run(_run(90.0, 90.0, 45.0, 45.0)),
    "bend-radius": _of_run(_run(90.0)),
    "run-length": _of_length,
    "conduit-fill": _of_run(_run(), RunPull(name="F1", conductors=_FEEDER)),
    "run-continuity": lambda book, settings: check_loose_ends([_LOOSE], book, settings),
}
