"""Boxes, runs and settings written by hand, for the tests of rules and checks."""

from modelcheck.checks import check_box, check_run
from modelcheck.model.element import Bend, BoxContents, ElementRef, Enclosure, RacewaySize
from modelcheck.model.pull import BoxCase, BoxPull, Conductors, RunPull
from modelcheck.model.run import Entry, Run, RunEnd
from modelcheck.model.settings import Settings
from modelcheck.rules.catalogue import rulebook
from modelcheck.rules.raceways import by_trade_size
from modelcheck.units import to_metres

CEC = Settings()
NEC = Settings(code="nec", edition="2023", basis="inch", units="in")
BIG = "250 kcmil"


def ref(name):
    return ElementRef(model="m.ifc", guid=name, name=name)


def size(trade_size_in, raceway_type="EMT"):
    if trade_size_in is None:
        return RacewaySize(raceway_type=raceway_type)
    return RacewaySize(
        raceway_type=raceway_type,
        trade_size_in=trade_size_in,
        metric_designator=by_trade_size(trade_size_in).metric_designator,
        size_from="property",
    )


def entry(name, wall, trade_size_in, at_mm=(0.0, 0.0), raceway_type="EMT"):
    u_m, v_m = (None, None) if at_mm is None else (to_metres(each, "mm") for each in at_mm)
    return Entry(
        box=ref("box"),
        conduit=ref(name),
        wall=wall,
        u_m=u_m,
        v_m=v_m,
        size=size(trade_size_in, raceway_type),
    )


def box(inside_mm=(None, None, None), cover=("+z",), **more):
    inside_m = tuple(None if each is None else to_metres(each, "mm") for each in inside_mm)
    return Enclosure(ref=ref("box"), inside_m=inside_m, cover=cover, **more)


def pull(name, *places, conductor=BIG, insulation="RW90", count=3, **more):
    conductors = (
        ()
        if conductor is None
        else (Conductors(size=conductor, insulation=insulation, count=count),)
    )
    return BoxPull(name=name, entries=places, conductors=conductors, **more)


def spare(*places):
    return BoxPull(name="spare", entries=places, is_spare=True)


def case(enclosure, *entries, pulls=None):
    return BoxCase(enclosure=enclosure, entries=entries, pulls=pulls)


def findings(the_case, settings=CEC, check=None):
    found = check_box(the_case, rulebook(settings), settings)
    return [each for each in found if check in (None, each.check)]


def one(the_case, check, settings=CEC):
    """The only finding of a check."""
    (found,) = findings(the_case, settings, check)
    return found


def names(finding):
    return [each.name for each in finding.elements]


def bend(angle_deg, radius_m=None):
    return Bend(angle_deg=angle_deg, radius_m=radius_m, at=(1.0, 2.0, 3.0), element=ref("E"))


def run(
    *angles_deg,
    start="box",
    end="box",
    trade_size_in="2",
    raceway_types=("EMT",),
    length_m=10.0,
    radius_m=None,
    **more,
):
    return Run(
        name="R",
        elements=(ref("C1"), ref("C2")),
        start=RunEnd(kind=start, point=(0.0, 0.0, 0.0)),
        end=RunEnd(kind=end, point=(length_m, 0.0, 0.0)),
        size=size(trade_size_in, raceway_types[0] if raceway_types else ""),
        raceway_types=raceway_types,
        length_m=length_m,
        bends=tuple(bend(each, radius_m) for each in angles_deg),
        **more,
    )


def run_findings(the_run, settings=CEC, check=None, pulls=None):
    found = check_run(the_run, pulls, rulebook(settings), settings)
    return [each for each in found if check in (None, each.check)]


def run_pull(*lines, trade_size_in=""):
    """Each line: size, insulation, count."""
    conductors = tuple(Conductors(size=s, insulation=i, count=c) for s, i, c in lines)
    return RunPull(name="F1", conductors=conductors, trade_size_in=trade_size_in)


def contents(**named):
    return BoxContents(**named)
