"""pull_points.csv read back."""

import csv
from dataclasses import replace

from modelcheck.model.element import ElementRef
from modelcheck.model.pull_points import PullPoint, PullPointPlan, RunSection
from modelcheck.write.csv_tables import write_table
from modelcheck.write.pull_points_table import (
    PULL_POINTS,
    pull_points_line,
    pull_points_table,
)
from tests.box_cases import run

POINT = PullPoint(
    element=ElementRef(model="m.ifc", guid="G3", name="=C-3"),
    along_element_m=1.25,
    along_run_m=12.5,
    at=(1.0, 2.0, 3.0),
    straight_m=(11.0, 14.0),
)
PLAN = PullPointPlan(
    run=run(90.0, 90.0, 90.0, 90.0, 90.0, length_m=25.0),
    bends_deg=450.0,
    limit_deg=360.0,
    points=(POINT,),
    sections=(
        RunSection(bends_deg=180.0, length_m=12.5),
        RunSection(bends_deg=270.0, length_m=12.5),
    ),
    box_length_m=0.424,
    box_working="8 x 53 = 424 mm",
    clause="12-3036 2)b)",
    assumptions=("one; two", "three"),
)


def rows(folder, *plans):
    write_table(pull_points_table(plans), folder)
    with (folder / PULL_POINTS).open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def test_a_row_says_where_and_what_lies_on_either_side(tmp_path):
    (row,) = rows(tmp_path, PLAN)
    assert row["element_guid"] == "G3"
    assert row["element_name"] == "'=C-3"
    assert (row["along_element_mm"], row["along_run_mm"]) == ("1250.0", "12500.0")
    assert (row["x_m"], row["y_m"], row["z_m"]) == ("1.000", "2.000", "3.000")
    assert (row["bends_before_deg"], row["bends_after_deg"]) == ("180.0", "270.0")
    assert (row["box_length_mm"], row["working"]) == ("424.0", "8 x 53 = 424 mm")
    assert row["assumptions"] == "one, two;three"


def test_a_run_without_a_plan_has_one_row_that_says_why(tmp_path):
    stuck = replace(PLAN, points=(), sections=(), problem="No straight stretch of 424 mm")
    (row,) = rows(tmp_path, stuck)
    assert (row["point"], row["points"], row["message"]) == (
        "",
        "",
        "No straight stretch of 424 mm",
    )


def test_without_a_run_over_a_limit_there_is_the_header_alone(tmp_path):
    assert rows(tmp_path) == []
    assert (tmp_path / PULL_POINTS).read_text().startswith("run,model,point,points,element_guid,")
    assert pull_points_line(()) == ""


def test_the_terminal_has_one_line():
    assert pull_points_line([PLAN, PLAN]) == (
        "2 runs are over a limit: 2 pull points would do (pull_points.csv)."
    )
