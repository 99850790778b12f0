"""Pairs of issues of one model, each with the table that a person would write."""

from dataclasses import replace

import pytest

from modelcheck.pipeline.compare import compare_folders
from tests.builders.habits import TIDY
from tests.unit.changes.staged import FIRST, Stage, issue

PULLS = "pull,conductor_size,insulation,count,route\n"
F1 = "F1,250 kcmil,RW90,3,{}\n"
ANGLE, SPACING, STRAIGHT = "angle-pull-distance", "entry-spacing", "straight-pull-length"
BENDS, END = "bends-between-pull-points", "run-continuity"
PB1, PB2, PB3 = (f"Pull box PB-{number}" for number in (1, 2, 3))
R1, R2, R3 = (f"Conduit R{number}/S1" for number in (1, 2, 3))
OPEN = [
    ("still-open", PB2, ANGLE, "fail", "fail", ""),
    ("still-open", PB2, SPACING, "fail", "fail", ""),
]
GROWN = Stage(pb2_x_m=0.45, pb2_grows_to=0.075, r3_u_m=-0.075)  # one wall, nothing else


@pytest.fixture(scope="module")
def first(tmp_path_factory):
    return issue(FIRST, tmp_path_factory.mktemp("first") / "issue")


def table(changes):
    """Rows as a person would write them, the reasons as one text."""
    return sorted(
        (
            str(row.kind),
            row.subject_name,
            row.check,
            row.old_outcome,
            row.outcome,
            "; ".join(row.why),
        )
        for row in changes.rows
    )


def assert_is(changes, expected, *, same):
    """Hold the table against the expected one, whose reasons may be parts of those told."""
    found = table(changes)
    assert [row[:5] for row in found] == [row[:5] for row in sorted(expected)], found
    for row, wanted in zip(found, sorted(expected), strict=True):
        assert wanted[5] in row[5], row
        assert bool(wanted[5]) == bool(row[5]), row
    assert changes.same == same


def changed(first, tmp_path, stage):
    tmp_path.mkdir(exist_ok=True)
    return compare_folders(first, issue(stage, tmp_path / "next"))


def test_the_same_issue_again_has_nothing_but_what_is_open(first):
    changes = compare_folders(first, first)
    assert_is(changes, OPEN, same=5)
    assert changes.notes == ()
    assert changes.new_fails == ()


def test_a_box_that_grew_says_so_and_was_not_moved(first, tmp_path):
    why = "the box grew: x 300 to 450 mm"
    expected = [
        ("changed-verdict", PB2, ANGLE, "fail", "pass", why),
        ("still-open", PB2, SPACING, "fail", "fail", why),
    ]
    changes = changed(first, tmp_path, GROWN)
    assert_is(changes, expected, same=5)
    assert all(row.moved_m is None for row in changes.rows)
    assert "entry" not in "".join(text for row in changes.rows for text in row.why)
    assert changes.notes == ("plant.ifc was changed.",)


def test_a_box_that_shrank_fails_anew(first, tmp_path):
    big = issue(GROWN, tmp_path / "big")
    why = "the box shrank: x 450 to 300 mm"
    expected = [
        ("changed-verdict", PB2, ANGLE, "pass", "fail", why),
        ("still-open", PB2, SPACING, "fail", "fail", why),
    ]
    changes = compare_folders(big, first)
    assert_is(changes, expected, same=5)
    assert [row.check for row in changes.new_fails] == [ANGLE]


def test_what_was_moved_says_how_far_whether_it_passes_or_not(first, tmp_path):
    far = Stage(pb2_at=(4.5, 0.0))
    moved, longer = "moved by 500 mm", "the run is longer"
    expected = [
        ("still-open", PB2, ANGLE, "fail", "fail", moved),
        ("still-open", PB2, SPACING, "fail", "fail", moved),
        ("moved", PB2, ANGLE, "pass", "pass", moved),
        ("moved", R3, BENDS, "pass", "pass", moved),
    ]
    changes = changed(first, tmp_path, far)
    assert_is(changes, expected, same=3)
    assert {round(row.moved_m, 3) for row in changes.rows} == {0.5}
    assert longer not in str(table(changes))  # R2 is longer, but passes as before


def test_a_box_with_other_global_ids_is_known_by_place_and_size_and_that_is_told(first, tmp_path):
    changes = changed(first, tmp_path, Stage(new_guids=True))
    assert_is(changes, OPEN, same=5)
    assert {str(row.matched_by) for row in changes.rows} == {"place"}
    assert all(row.old_finding not in ("", row.finding) for row in changes.rows)
    assert "7 of the rows were found again by place and size" in changes.notes[-1]


def test_other_global_ids_and_a_box_that_is_elsewhere_are_two_boxes(first, tmp_path):
    changes = changed(first, tmp_path, Stage(new_guids=True, pb2_at=(4.0, 0.1)))
    of_pb2 = [row for row in table(changes) if row[1] == PB2]
    assert [row[0] for row in of_pb2] == ["gone"] * 3 + ["new"] * 3
    assert {row[5] for row in of_pb2} == {"the box is gone", "the box is new"}
    assert not [row for row in changes.rows if row.subject_name == PB1]


def test_other_units_of_the_model_change_nothing(first, tmp_path):
    changes = changed(first, tmp_path, Stage(habit=replace(TIDY, unit="ft")))
    assert_is(changes, OPEN, same=5)


def test_other_units_of_the_results_change_nothing(first, tmp_path):
    changes = changed(first, tmp_path, Stage(options=("--units", "in")))
    assert_is(changes, OPEN, same=5)
    row = changes.rows[0]
    assert row.unit == "in"
    assert row.old_required == pytest.approx(row.required, abs=0.005)


def test_another_edition_is_named_where_it_matters(first, tmp_path):
    changes = changed(first, tmp_path, Stage(options=("--code", "nec", "--units", "mm")))
    assert "Checked by nec 2023, before by cec 2024." in changes.notes
    angle = next(row for row in changes.rows if (row.check, row.outcome) == (ANGLE, "fail"))
    assert angle.kind == "still-open"
    assert (angle.old_required, angle.required) == (318.0, 304.8)  # 6 x 53 mm, 6 x 2 in
    assert angle.why[0] == "by nec 2023, before by cec 2024"


def test_another_edition_of_the_same_code_with_the_same_figures_says_so(first, tmp_path):
    changes = changed(first, tmp_path, Stage(options=("--edition", "2021")))
    why = "by cec 2021, before by cec 2024"
    assert_is(changes, [(*row[:5], why) for row in OPEN], same=5)


def test_other_settings_are_named_where_the_numbers_differ(first, tmp_path):
    changes = changed(first, tmp_path, Stage(settings='[rules]\nspacing = "centre"\n'))
    why = "setting rules.spacing is centre, before edge"
    expected = [OPEN[0], ("still-open", PB2, SPACING, "fail", "fail", why)]
    assert_is(changes, expected, same=5)
    assert changes.notes == ("Setting rules.spacing is centre, before edge.",)


def test_a_size_of_the_settings_is_told_as_what_the_size_rests_on(first, tmp_path):
    settings = '[box."PB-2"]\ninside_mm = [400, 450, 200]\n'
    changes = changed(first, tmp_path, Stage(settings=settings))
    why = "the box grew: x 300 to 400 mm; its size rests on settings, before on body"
    (row,) = [row for row in table(changes) if row[0] == "changed-verdict"]
    assert row[:5] == ("changed-verdict", PB2, ANGLE, "fail", "pass")
    assert why in row[5]


def test_a_box_that_is_gone_takes_its_rows_along(first, tmp_path):
    changes = changed(first, tmp_path, Stage(without=("PB-2", "R2", "R3")))
    gone = [
        ("gone", PB1, STRAIGHT, "pass", "", f"entry {R2} is gone"),
        ("gone", PB2, ANGLE, "fail", "", "the box is gone"),
        ("gone", PB2, ANGLE, "pass", "", "the box is gone"),
        ("gone", PB2, SPACING, "fail", "", "the box is gone"),
        ("gone", R2, BENDS, "pass", "", "the run is gone"),
        ("gone", R3, BENDS, "pass", "", "the run is gone"),
    ]
    assert_is(changes, gone, same=1)
    assert changes.new_fails == ()


def test_a_box_that_is_new_is_new_with_its_runs(first, tmp_path):
    changes = changed(first, tmp_path, Stage(third_box=True))
    new = [
        ("new", PB3, ANGLE, "", "fail", "the box is new"),
        ("new", PB3, ANGLE, "", "fail", "the box is new"),
        ("new", PB3, SPACING, "", "fail", "the box is new"),
        ("new", "Conduit R8/S1", BENDS, "", "pass", "the run is new"),
        ("new", "Conduit R9/S1", BENDS, "", "pass", "the run is new"),
    ]
    assert_is(changes, [*OPEN, *new], same=5)
    assert len(changes.new_fails) == 3
    assert [row.kind for row in changes.rows[:3]] == ["new"] * 3


def test_an_entry_that_was_moved_on_its_wall_is_named(first, tmp_path):
    changes = changed(first, tmp_path, Stage(r3_u_m=0.1))
    spacing = next(row for row in changes.rows if row.check == SPACING)
    assert spacing.kind == "still-open"
    assert spacing.provided > spacing.old_provided
    assert f"entry {R3} moved by 100.0 mm on wall +y" in spacing.why
    assert all("the box" not in text for row in changes.rows for text in row.why)


def test_a_larger_conduit_is_named_and_the_row_is_the_same_row(first, tmp_path):
    changes = changed(first, tmp_path, Stage(r1_size="4"))
    (row,) = [row for row in changes.rows if row.check == STRAIGHT]
    assert (row.kind, row.old_required, row.required) == ("changed-verdict", 424.0, 824.0)
    assert any("has trade size 4, before 2" in text for text in row.why)
    assert [row.check for row in changes.new_fails] == [STRAIGHT]


def test_a_run_with_a_bend_more_is_the_same_run(first, tmp_path):
    changes = changed(first, tmp_path, Stage(r3_corner=True))
    assert_is(changes, OPEN, same=5)  # it passes as before
    changes = changed(first, tmp_path / "open", Stage(r3_corner=True, r3_capped=False))
    why = "number of bends 1 (90.0 deg in all), before 0 (0.0 deg in all)"
    expected = [
        ("changed-verdict", R3, BENDS, "pass", "needs-input", why),
        ("new", "Conduit R3/S2", END, "", "needs-input", "element"),
    ]
    assert_is(changes, [*OPEN, *expected], same=4)
    assert changes.new_fails == ()


def test_another_schedule_is_named_where_it_matters(tmp_path):
    scheduled = Stage(pulls=PULLS + F1.format("R1/S1;R2/S1"))
    before = issue(scheduled, tmp_path / "before")
    after = issue(
        replace(scheduled, pulls=PULLS + F1.format("R1/S1;PB-1;R2/S1;PB-2;R3/S1")),
        tmp_path / "after",
    )
    changes = compare_folders(before, after)
    assert "The pull schedule PULLS.csv was changed." in changes.notes
    assert any("carries F1" in text for row in changes.rows for text in row.why)


def test_a_renamed_file_is_told_and_changes_no_row(first, tmp_path):
    changes = changed(first, tmp_path, Stage(name="plant-2.ifc"))
    assert_is(changes, OPEN, same=5)
    assert changes.notes == ("plant.ifc is now called plant-2.ifc; nothing in it was changed.",)
