"""A schedule against drawn runs: sizes, ends, idle runs and wire lengths by hand."""

from dataclasses import replace

import pytest

from modelcheck.layout.schedule_check import compare_schedule
from modelcheck.model.pull import Conductors, PullLegs, RunPull
from modelcheck.model.run import LooseEnd, Network, RunEnd
from tests.box_cases import ref
from tests.unit.layout.runs import bent, drawn, straight

Y = (0.0, 1.0, 0.0)
FIRST = replace(drawn(straight(10.0, "C1")), name="R-1")
SECOND = replace(
    drawn(straight(5.0, "C2"), bent(90, 0.3, Y, "C3"), start=(10.4, 0.3, 0.0)),
    name="R-2",
    start=RunEnd(kind="box", point=(10.4, 0.3, 0.0), ref=ref("B2")),
    end=RunEnd(kind="box", point=(15.7, 0.6, 0.0), ref=ref("B3")),
)
LINE = Conductors(size="250 kcmil", insulation="RW90", count=3)
PULL = RunPull(name="F1", conductors=(LINE, replace(LINE, count=1)), trade_size_in="2")
BOTH = PullLegs(pull=PULL, legs=((FIRST, 0), (SECOND, 0)))


def lines(*pulls, runs=(FIRST, SECOND), loose=(), makeup_m=0.0, told=None):
    network = Network(runs=runs, loose_ends=loose)
    found = compare_schedule(pulls, network, makeup_m=makeup_m)
    return [each for each in found if told in (None, each.told)]


def test_a_sound_pull_is_traced_and_nothing_else_told():
    (line,) = lines(BOTH)
    assert (line.told, line.run) == ("traced", "R-1;R-2")
    assert (line.start.name, line.end.name) == ("B1", "B3")


def test_wire_is_the_raceway_the_way_across_the_box_and_make_up_at_both_ends():
    (line,) = lines(BOTH, makeup_m=0.6)
    assert line.wire_each_m == pytest.approx(FIRST.length_m + SECOND.length_m + 0.5 + 2 * 0.6)
    assert line.wire_total_m == pytest.approx(4 * line.wire_each_m)


@pytest.mark.parametrize(
    ("scheduled", "told"), [("3", "modelled-smaller"), ("1", "modelled-larger"), ("2", None)]
)
def test_a_size_that_differs_is_told_each_way(scheduled, told):
    pull = replace(BOTH, pull=replace(PULL, trade_size_in=scheduled))
    found = [each for each in lines(pull) if each.told != "traced"]
    assert [each.told for each in found] == ([told] * 2 if told else [])


def test_a_size_that_is_not_known_is_told_and_not_passed_over():
    nameless = replace(FIRST, size=replace(FIRST.size, trade_size_in="", metric_designator=None))
    pull = PullLegs(pull=PULL, legs=((nameless, 0),))
    (line,) = lines(pull, runs=(nameless,), told="size-unknown")
    assert "with a size that isn't known" in line.message


def test_a_run_that_no_pull_uses_is_told():
    (line,) = lines(PullLegs(pull=PULL, legs=((FIRST, 0),)), told="unused")
    assert line.run == "R-2"


def test_a_gap_at_the_end_of_a_pull_is_told_with_its_place():
    cut = replace(FIRST, end=RunEnd(kind="open", point=(10.0, 0.0, 0.0)))
    near = LooseEnd(element=ref("C1"), point=(10.0, 0.0, 0.0), other=ref("C9"), gap_m=0.02)
    pull = PullLegs(pull=PULL, legs=((cut, 0),))
    (line,) = lines(pull, runs=(cut,), loose=(near,), told="gap")
    assert (line.gap_m, line.at) == (0.02, (10.0, 0.0, 0.0))
    assert [each.name for each in line.elements] == ["C1", "C9"]
    assert "stops 20 mm short" in line.message


@pytest.mark.parametrize(
    ("kind", "words"),
    [("open", "ends open"), ("cap", "is capped"), ("branch", "three or more ends")],
)
def test_an_end_that_leads_nowhere_is_told(kind, words):
    cut = replace(FIRST, start=RunEnd(kind=kind, point=(0.0, 0.0, 0.0)))
    (line,) = lines(PullLegs(pull=PULL, legs=((cut, 0),)), runs=(cut,), told="open-end")
    assert words in line.message
    assert line.at == (0.0, 0.0, 0.0)


def test_a_pull_may_go_against_the_order_of_a_run():
    back = PullLegs(pull=PULL, legs=((SECOND, 1), (FIRST, 1)))
    (line,) = lines(back)
    assert (line.start.name, line.end.name) == ("B3", "B1")
    assert line.wire_each_m == pytest.approx(lines(BOTH)[0].wire_each_m)


def test_conductors_without_a_number_leave_the_total_open():
    pull = replace(PULL, conductors=(replace(LINE, count=None),))
    (line,) = lines(replace(BOTH, pull=pull))
    assert line.wire_total_m is None
    assert "number of conductors not known" in line.assumptions


def test_a_spare_needs_no_conductor():
    (line,) = lines(replace(BOTH, pull=replace(PULL, conductors=())))
    assert (line.conductor_count, line.wire_total_m) == (0, 0)
