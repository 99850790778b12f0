"""Each row of each table, reached through the check that uses it, by a second method."""

from dataclasses import replace
from fractions import Fraction
from importlib.resources import files
from math import pi
from pathlib import Path

import pytest

from modelcheck.checks import bend_limit_deg, check_loose_ends
from modelcheck.model.run import LooseEnd
from modelcheck.model.settings import Settings
from modelcheck.rules.bends import bend_limits, bend_radii, standard_elbows, sum_of_bends
from modelcheck.rules.box_fill import fill_allowances, fill_counts, listed_boxes
from modelcheck.rules.catalogue import rulebook
from modelcheck.rules.conductors import conductor, conductor_size, conductor_sizes, conductors
from modelcheck.rules.conduit_fill import fill_percents, raceway_area, raceway_areas
from modelcheck.rules.knockouts import knockout, knockouts
from modelcheck.rules.limits import check_clauses, default_edition, editions, limits
from modelcheck.rules.locknuts import locknut, locknuts
from modelcheck.rules.pull_box import bending_spaces, pull_box_factors, size_thresholds
from modelcheck.rules.pulling import (
    conductor_tension_lbf,
    jams,
    lying,
    pulling_figure,
    pulling_figures,
    weight_correction,
)
from modelcheck.rules.raceways import (
    by_metric_designator,
    by_trade_size,
    designations,
    outside_diameters,
)
from modelcheck.rules.standard_boxes import smallest_standard_box, standard_boxes
from tests.box_cases import (
    CEC,
    NEC,
    box,
    case,
    contents,
    entry,
    findings,
    one,
    pull,
    ref,
    run,
    run_findings,
    run_pull,
)
from tests.reference.tables import TABLES, name_of

SECOND = pytest.mark.reference(source="arithmetic", clause="each row", how="second-method")


def each_of(table):
    return pytest.mark.parametrize("row", [pytest.param(row, id=name_of(row)) for row in table()])


def chosen(row):
    """Settings of the row's own code and first edition."""
    base = NEC if row.code == "nec" else CEC
    return replace(base, edition=row.edition_from or base.edition)


@SECOND
def test_every_table_is_gone_through():
    here = Path(__file__).read_text(encoding="utf-8")
    data = files("modelcheck.rules") / "data"
    assert {each.name for each in data.iterdir() if each.name.endswith(".csv")} == set(TABLES)
    for table in TABLES.values():
        assert f"@each_of({table.__name__})" in here


@SECOND
def test_rows_that_were_not_seen_in_a_source_only_get_fewer():
    listed = (Path(__file__).parent / "not_seen.txt").read_text(encoding="utf-8").splitlines()
    not_seen = [
        f"{name}: {row.how}: {name_of(row)}"
        for name, table in TABLES.items()
        for row in table()
        if row.how != "seen"
    ]
    assert not_seen == listed


@SECOND
@each_of(designations)
def test_two_names_of_a_size_lead_to_each_other_and_the_inches_are_the_name(row):
    assert by_trade_size(row.trade_size_in) is by_metric_designator(row.metric_designator)
    assert row.inches == sum(Fraction(part) for part in row.trade_size_in.split("-"))


@SECOND
@each_of(outside_diameters)
def test_spacing_takes_the_outside_diameter_of_type_and_size(row):
    ends = [
        entry(name, "-x", row.trade_size_in, at, row.raceway_type)
        for name, at in (("A", (0.0, 0.0)), ("B", (900.0, 0.0)))
    ]
    the_box = case(box((2000, 2000, 400)), *ends, pulls=(pull("F1", 0, 1),))
    found = one(the_box, "entry-spacing")
    assert found.provided == pytest.approx(900 - 25.4 * row.diameter_in)
    assert row.metric_designator == by_trade_size(row.trade_size_in).metric_designator
    if (inside := raceway_area(row.raceway_type, row.trade_size_in)) is not None:
        assert inside.area_in2 < pi / 4 * row.diameter_in**2


@SECOND
@each_of(knockouts)
def test_a_hole_is_found_by_its_size_and_is_wider_than_the_tube_and_the_size_before(row):
    assert knockout(row.trade_size_in) is row
    assert row.metric_designator == by_trade_size(row.trade_size_in).metric_designator
    assert row.least_in < row.diameter_in < row.most_in
    assert row.diameter_m == pytest.approx(row.diameter_in * 0.0254)
    before = [
        each.most_in for each in knockouts() if each.metric_designator < row.metric_designator
    ]
    assert row.least_in > max(before, default=0)
    assert row.diameter_in > by_trade_size(row.trade_size_in).inches


@SECOND
@each_of(pull_box_factors)
def test_distance_is_the_factor_times_the_nominal_size(row):
    two = {"straight-pull-length": ("-x", "+x"), "cover-depth": ("-z", "-y")}
    ends = [entry(n, w, "2") for n, w in zip("AB", two.get(row.check, ("-x", "-y")), strict=True)]
    enclosure = box((5000, 5000, 5000), is_wireway=row.enclosure == "wireway")
    found = findings(case(enclosure, *ends, pulls=(pull("F1", 0, 1),)), chosen(row), row.check)[0]
    nominal, diameter = (2, 0.705) if row.code == "nec" else (53, 17.9)
    own = row.factor * diameter + nominal if row.counted == "conductor" else row.factor * nominal
    assert found.required == pytest.approx(own)
    assert found.clause == row.clause


@SECOND
@each_of(size_thresholds)
def test_distances_begin_at_the_threshold_and_small_raceways_hold_no_three_of_it(row):
    def checks(conductor_name):
        ends = (entry("A", "-x", "2"), entry("B", "+x", "2"))
        pulls = (pull("F1", 0, 1, conductor=conductor_name),)
        found = findings(case(box((900, 900, 200)), *ends, pulls=pulls), chosen(row))
        return [each.check for each in found]

    assert checks(row.conductor_size) == ["straight-pull-length"]
    assert checks("6 AWG") == ["box-volume"]
    three = 3 * conductor(row.conductor_size, "XHHW").area_in2
    allowed = [
        0.4 * each.area_in2
        for each in raceway_areas()
        if row.small_raceway_in in name_of(each).split(" | ")
    ]
    assert allowed
    assert max(allowed) < three


@SECOND
@each_of(bending_spaces)
@pytest.mark.parametrize("end", ["size_from", "size_to"])
def test_depth_goes_by_the_size_of_the_largest_conductor(row, end):
    ends = (entry("A", "-z", "4"), entry("B", "-y", "4"))
    pulls = (pull("F1", 0, 1, conductor=getattr(row, end)),)
    found = one(case(box((900, 900, 900)), *ends, pulls=pulls), "cover-depth", chosen(row))
    assert found.required == row.depth_in
    larger = [each for each in bending_spaces() if each.depth_in > row.depth_in]
    assert all(conductor_size(row.size_to) < conductor_size(each.size_from) for each in larger)


@SECOND
@each_of(conductor_sizes)
def test_area_of_a_size_is_its_name_or_the_square_of_the_awg_diameter(row):
    number, unit = row.size.split()
    gauge = 1 - int(number[0]) if "/" in number else int(number)
    mils = 5 * 92 ** ((36 - gauge) / 39)
    area = mils**2 / 1000 if unit == "AWG" else float(number)
    assert row.area_kcmil == pytest.approx(area, rel=1e-3)
    assert conductor_size(row.size.lower()) is row


@SECOND
@each_of(conductors)
def test_conductor_is_found_by_each_name_and_its_area_is_that_of_its_diameter(row):
    for name in row.names.split():
        assert (
            conductor(row.size, f"{name.replace('-', ' ', name.startswith('compact'))} 600 V")
            is row
        )
    assert row.area_in2 == pytest.approx(pi / 4 * row.diameter_in**2, rel=0.01)
    assert row.diameter_mm == pytest.approx(25.4 * row.diameter_in, abs=0.02)
    assert row.area_mm2 == pytest.approx(645.16 * row.area_in2, rel=0.01)


@SECOND
@each_of(bend_limits)
def test_limit_goes_by_edition_and_type_and_is_four_quarter_bends(row):
    types = (row.raceway_type,) if row.raceway_type else ()
    settings = chosen(row)
    the_run = run(90.0, 90.0, 90.0, 90.0, raceway_types=types)
    (found,) = run_findings(the_run, settings, "bends-between-pull-points")
    assert (found.clause, found.provided, found.outcome) == (row.clause, row.limit_deg, "pass")
    assert bend_limit_deg(the_run, rulebook(settings), settings) == row.limit_deg


@SECOND
@each_of(bend_radii)
def test_bend_a_millimetre_under_the_radius_is_told(row):
    tight = run(90.0, trade_size_in=row.trade_size_in, radius_m=row.radius_m - 0.001)
    found = run_findings(tight, chosen(row))
    rows = [each for each in found if each.check == "bend-radius"]
    told = [note for each in found for note in each.assumptions if "other bends need" in note]
    if row.bender == "one-shot":
        assert [each.required for each in rows] == [row.radius]
    else:
        assert rows or told
    assert row.radius_m > 3.9 * 0.0254 * by_trade_size(row.trade_size_in).inches


@SECOND
@each_of(standard_elbows)
def test_angle_near_an_elbow_is_taken_for_it(row):
    for drawn in (row.angle_deg - 0.5, row.angle_deg, row.angle_deg + 0.5):
        assert sum_of_bends([drawn]).total_deg == round(row.angle_deg, 1)


def volume(settings, **held):
    ends = (entry("A", "-x", "1/2"), entry("B", "+x", "1/2"))
    return one(case(box((500, 500, 500), contents=contents(**held)), *ends), "box-volume", settings)


@SECOND
@each_of(fill_allowances)
def test_two_conductors_take_two_allowances(row):
    found = volume(chosen(row), conductors=((row.size, 2),))
    assert found.required == pytest.approx(2 * row.volume)


COUNTED = {  # allowances of 1, 2 and 6 items, counted by hand from the rule of the clause
    ("nec", "conductor"): (1, 2, 6),
    ("nec", "clamp"): (1, 1, 1),
    ("nec", "stud"): (1, 1, 1),
    ("nec", "hickey"): (1, 1, 1),
    ("nec", "device"): (2, 4, 12),
    ("nec", "ground", "2017"): (1, 1, 1),
    ("nec", "ground", "2020"): (1, 1, 1.5),
    ("nec", "connector"): (0, 0, 0),
    ("cec", "conductor"): (1, 2, 6),
    ("cec", "clamp"): (0, 0, 0),
    ("cec", "stud or hickey"): (1, 1, 1),
    ("cec", "connector"): (0, 1, 3),
    ("cec", "device"): (2, 4, 12),
    ("cec", "ground"): (0, 0, 0),
}


@SECOND
@each_of(fill_counts)
def test_items_take_the_allowances_of_their_clause(row):
    wanted = COUNTED.get((row.code, row.item)) or COUNTED[row.code, row.item, row.edition_from]
    for count, allowances in zip((1, 2, 6), wanted, strict=True):
        held = {
            "conductor": {"conductors": (("12 AWG", count),)},
            "ground": {"grounds": (("12 AWG", count),)},
            "device": {"devices": (("12 AWG", None),) * count},
            "stud or hickey": {"hickeys": count},
        }.get(row.item, {f"{row.item}s": count})
        base = 0 if row.item == "conductor" else 1
        given = {"conductors": (("12 AWG", 1),), **held}
        each = 2.25 if row.code == "nec" else 28.7
        assert volume(chosen(row), **given).required == pytest.approx((base + allowances) * each)


@SECOND
def test_a_stud_with_its_hickey_counts_once_or_twice_by_the_code():
    held = {"conductors": (("12 AWG", 1),), "studs": 1, "hickeys": 1}
    assert volume(NEC, **held).required == pytest.approx(3 * 2.25)
    assert volume(CEC, **held).required == pytest.approx(2 * 28.7)


@SECOND
@each_of(listed_boxes)
def test_listed_box_is_found_by_its_name_and_holds_what_its_volume_takes(row):
    sizes = {"14 AWG": row.count_14, "12 AWG": row.count_12, "10 AWG": row.count_10}
    sizes |= {"8 AWG": row.count_8, "6 AWG": row.count_6}
    one_each = volume(chosen(row), conductors=(("14 AWG", 1), ("12 AWG", 1)), standard_box=row.name)
    assert one_each.provided == pytest.approx(row.volume)
    allowance = {each.size: each.volume for each in fill_allowances() if each.code == row.code}
    for awg, count in sizes.items():
        if count is not None:
            held = {"conductors": ((awg, count),), "standard_box": row.name}
            assert volume(chosen(row), **held).outcome == "pass"
            over = {"conductors": ((awg, count + 1),), "standard_box": row.name}
            assert volume(chosen(row), **over).outcome == "fail"
            assert abs(row.volume / allowance[awg] - count) < 1.01


@SECOND
@each_of(fill_percents)
def test_share_goes_by_number_and_place(row):
    length_m = 0.3 if row.place == "nipple" else 5.0
    if row.code == "nec" and row.place == "raceway":
        length_m = 5.0
    pulls = (run_pull(("12 AWG", "XHHW", row.conductors_from)),)
    (found,) = run_findings(run(length_m=length_m), chosen(row), "conduit-fill", pulls)
    assert (found.required, found.clause) == (row.percent, row.clause)
    first, most = row.conductors_from, row.conductors_to or row.conductors_from
    assert first <= most


@SECOND
@each_of(raceway_areas)
def test_fill_is_over_the_inside_area_of_type_and_size(row):
    the_run = run(trade_size_in=row.trade_size_in, raceway_types=(row.raceway_type,))
    (found,) = run_findings(the_run, NEC, "conduit-fill", (run_pull(("12 AWG", "XHHW", 1)),))
    assert found.provided == pytest.approx(100 * 0.0181 / row.area_in2)
    assert row.area_mm2 == pytest.approx(645.16 * row.area_in2, rel=0.005)
    nominal = pi / 4 * by_trade_size(row.trade_size_in).inches ** 2
    assert 0.7 * nominal < row.area_in2 < 1.8 * nominal


@SECOND
@each_of(standard_boxes)
def test_standard_box_is_the_smallest_for_its_own_inside(row):
    width_m, height_m, depth_m = row.sides_m
    found = smallest_standard_box((height_m, width_m), depth_m, tolerance_m=1e-9)
    assert {found.width_in, found.height_in} == {row.width_in, row.height_in}
    assert found.depth_in == row.depth_in


@SECOND
@each_of(locknuts)
def test_locknut_is_wider_than_the_thread_it_goes_on(row):
    assert locknut(row.trade_size_in) is row
    thread = [each.diameter_in for each in outside_diameters() if each.raceway_type == "RMC"]
    (own,) = [
        each.diameter_in
        for each in outside_diameters()
        if (each.raceway_type, each.trade_size_in) == ("RMC", row.trade_size_in)
    ]
    assert own < row.across_in < min([each for each in thread if each > 1.5 * own], default=9.0)


@SECOND
@each_of(editions)
def test_edition_can_be_chosen(row):
    book = rulebook(Settings(code=row.code, edition=row.edition))
    assert (book.code, book.edition) == (row.code, row.edition)
    assert (default_edition(row.code) == row.edition) == row.is_default


CLAUSE_OF = {
    "run-continuity": lambda s: check_loose_ends(
        [LooseEnd(element=ref("C"), point=(0.0, 0.0, 0.0))], rulebook(s), s
    ),
    "run-length": lambda s: run_findings(
        run(), replace(s, limits=replace(s.limits, run_length_m=99.0)), "run-length"
    ),
    "conduit-body": lambda s: findings(
        case(
            box(is_conduit_body=True, marked_for="9 x 500 kcmil"),
            entry("A", "-x", "2"),
            entry("B", "-y", "2"),
            pulls=(pull("F1", 0, 1),),
        ),
        s,
    ),
    "box-volume": lambda s: [volume(s, conductors=(("12 AWG", 1),))],
    "conduit-fill": lambda s: run_findings(
        run(), s, "conduit-fill", (run_pull(("12 AWG", "", 1)),)
    ),
    "cover-depth": lambda s: findings(
        case(box((900, 900, 900)), entry("A", "-z", "2")), s, "cover-depth"
    ),
}


@SECOND
@each_of(check_clauses)
def test_clause_stands_on_the_row_of_its_check(row):
    (found,) = CLAUSE_OF[row.check](chosen(row))
    assert found.clause == row.clause


def off_axis(offset_mm):
    ends = (entry("A", "-x", "2", (offset_mm, 0.0)), entry("B", "+x", "2"))
    found = one(case(box((1000, 2000, 200)), *ends), "straight-pull-length")
    return any("off the axis" in each for each in found.assumptions)


def near_limit(total_deg):
    (found,) = run_findings(run(*[90.0] * 3, total_deg - 270), CEC, "bends-between-pull-points")
    return any("within 10 degrees" in each for each in found.assumptions)


def data_run(**how):
    settings = replace(CEC, limits=replace(CEC.limits, telecom_systems=("DATA",)))
    return {each.check: each for each in run_findings(run(system="DATA", **how), settings)}


def over_voltage(voltage_v):
    ends = (entry("A", "-x", "2"), entry("B", "+x", "2"))
    pulls = (pull("F1", 0, 1, voltage_v=voltage_v),)
    return one(case(box((900, 900, 200)), *ends, pulls=pulls), "straight-pull-length").outcome


def filled(count, length_m=5.0):
    the_run = run(trade_size_in="1/2", raceway_types=("RMC",), length_m=length_m)
    (found,) = run_findings(the_run, NEC, "conduit-fill", (run_pull(("10 AWG", "THHN", count)),))
    return found


def device(depth_cm):
    return volume(CEC, conductors=(("12 AWG", 1),), devices=(("12 AWG", depth_cm),)).required


USES = {  # each figure on both sides: tan 30 is 0.577, 24 in is 0.6096 m, 0.1256 / 0.0211 is 5.95
    "off-axis-angle": lambda: (off_axis(570.0), off_axis(580.0)) == (False, True),
    "near-bend-limit": lambda: (near_limit(349.0), near_limit(350.0)) == (False, True),
    "telecom-bends": lambda: data_run()["bends-between-pull-points"].required == 180,
    "telecom-length": lambda: data_run()["run-length"].required == 30_000,
    "voltage": lambda: (over_voltage(1000.0), over_voltage(1001.0)) == ("pass", "needs-input"),
    "nipple-length": lambda: (filled(7, 0.6096).required, filled(7, 0.61).required) == (60, 40),
    "fill-rounding": lambda: (filled(6).outcome, filled(7).outcome) == ("pass", "fail"),
    "deep-device": lambda: (device(2.54), device(2.55)) == pytest.approx((3 * 28.7, 28.7 + 81.6)),
    "deep-device-volume": lambda: device(4.0) == pytest.approx(28.7 + 4 * 32),
    "elbow-tolerance": lambda: (
        (
            sum_of_bends([89.5]).total_deg,
            sum_of_bends([89.4]).total_deg,
        )
        == (90, 89.4)
    ),
}


@SECOND
@each_of(limits)
def test_single_figure_decides_on_both_sides_of_it(row):
    assert USES[row.name]()


PULLING_USES = {
    "friction": lambda row: pulling_figure("friction") == row,
    "copper-stress": lambda _: conductor_tension_lbf(1, 250, "copper") == pytest.approx(2000),
    "aluminum-stress": lambda _: conductor_tension_lbf(1, 250, "aluminum") == pytest.approx(1500),
    "share-of-many": lambda _: conductor_tension_lbf(5, 250, "copper") == pytest.approx(8000),
    "pulling-eye": lambda row: pulling_figure("pulling-eye") == row,
    "basket-grip": lambda row: pulling_figure("basket-grip") == row,
    "sidewall": lambda row: pulling_figure("sidewall") == row,
    "jam-from": lambda row: (jams(3, row.value - 0.01), jams(3, row.value)) == (False, True),
    "jam-to": lambda row: (jams(3, row.value), jams(3, row.value + 0.01)) == (True, False),
    "cradled-from": lambda row: (
        (lying(3, row.value - 0.01), lying(3, row.value)) == ("triangular", "cradled")
    ),
    "weight-of-many": lambda _: weight_correction(lying(4, 3.0), 3.0) == pytest.approx(1.4),
}


@SECOND
@each_of(pulling_figures)
def test_figure_of_pulling_is_the_one_that_is_used(row):
    assert PULLING_USES[row.name](row)
