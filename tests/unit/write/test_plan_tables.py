"""pulling.csv and schedule.csv read back, and their lines on the terminal."""

import csv
from dataclasses import replace

from modelcheck.model.pulling import Advice, PullingAdvice
from modelcheck.model.run_plans import RunPlans
from modelcheck.model.schedule_line import ScheduleLine, Told
from modelcheck.write.csv_tables import write_table
from modelcheck.write.plan_tables import PLAN_TABLES, plan_lines, plan_tables
from tests.box_cases import ref, run

THERE = PullingAdvice(
    run=run(90.0, 45.0),
    pulls=("F1", "F2"),
    is_from_start=True,
    advice=Advice.OVER,
    conductor_count=3,
    friction=0.5,
    weight_n_per_m=9.80665 * 2.5,
    correction=1.2345,
    jam_ratio=3.0,
    tension_n=4448.2216,
    tension_limit_n=8896.4432,
    sidewall_n_per_m=(1459.39, None),
    sidewall_limit_n_per_m=4378.17,
    working="0 > 10.00 m: 100 N",
    message="three conductors may jam",
)
BACK = replace(THERE, is_from_start=False, advice=Advice.WITHIN)
SMALLER = ScheduleLine(
    told=Told.SMALLER,
    pull="=F1",
    run="R-1",
    model="m.ifc",
    elements=(ref("C1"), ref("C1"), ref("C2")),
    scheduled_in="2",
    modelled_in="1-1/2",
    at=(1.0, 2.0, 3.0),
    message="smaller",
)
TRACED = replace(SMALLER, told=Told.TRACED, conductor_count=4, wire_each_m=10.5, wire_total_m=42.0)


def table(folder, name):
    with (folder / name).open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def write_plans(plans, folder):
    for each in plan_tables(plans):
        write_table(each, folder)


def test_only_what_was_asked_for_is_written(tmp_path):
    write_plans(RunPlans(), tmp_path)
    assert {each.name for each in tmp_path.iterdir()} == {"pull_points.csv"}
    assert plan_lines(RunPlans()) == ()


def test_every_table_that_is_named_is_written(tmp_path):
    plans = RunPlans(pulling=(THERE, BACK), schedule=(SMALLER, TRACED))
    write_plans(plans, tmp_path)
    assert {each.name for each in tmp_path.iterdir()} == set(PLAN_TABLES)


def test_forces_stand_in_newtons_and_in_pounds(tmp_path):
    write_plans(RunPlans(pulling=(THERE, BACK)), tmp_path)
    row, _ = table(tmp_path, "pulling.csv")
    assert (row["tension_n"], row["tension_lbf"], row["tension_limit_lbf"]) == (
        "4448",
        "1000",
        "2000",
    )
    assert (row["sidewall_n_per_m"], row["sidewall_lbf_per_ft"]) == ("1459;?", "100;?")
    assert row["sidewall_limit_lbf_per_ft"] == "300"
    assert (row["weight_kg_per_m"], row["weight_correction"]) == ("2.500", "1.234")


def test_each_way_says_where_the_conductors_are_fed_in(tmp_path):
    write_plans(RunPlans(pulling=(THERE, BACK)), tmp_path)
    assert [row["fed_at"] for row in table(tmp_path, "pulling.csv")] == ["start", "end"]


def test_a_run_that_is_within_from_one_end_counts_as_such():
    (line,) = plan_lines(RunPlans(pulling=(THERE, BACK)))
    assert line == (
        "Pulling, as advice only: 1 within the limits from one end at least (pulling.csv)."
    )


def test_a_line_of_the_schedule_names_each_element_once(tmp_path):
    write_plans(RunPlans(schedule=(SMALLER, TRACED)), tmp_path)
    smaller, traced = table(tmp_path, "schedule.csv")
    assert smaller["element_guids"] == "C1;C2"
    assert smaller["pull"] == "'=F1"
    assert (smaller["wire_total_mm"], traced["wire_total_mm"]) == ("", "42000.0")


def test_the_schedule_is_summed_up_in_one_line():
    (line,) = plan_lines(RunPlans(schedule=(SMALLER, TRACED)))
    assert line == (
        "Schedule against model: 1 modelled smaller than scheduled; 1 pull traced,"
        " 42.0 m of conductor (schedule.csv)."
    )
