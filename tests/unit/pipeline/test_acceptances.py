"""When a failing row is accepted, and when no longer."""

from dataclasses import replace
from datetime import date

import pytest

from modelcheck.model.acceptance import Acceptance
from modelcheck.model.finding import Outcome
from modelcheck.pipeline.acceptances import with_acceptances
from tests.unit.write.reports import BOX, bends_finding, box_row, finding, report

FAIL = finding(required=318.0, provided=300.0)  # lacks 18 mm
DAY = date(2026, 3, 1)
ACCEPTED = Acceptance(
    finding=FAIL.id,
    by="R. Person",
    on="2026-01-05",
    why="opened from two sides",
    required=318.0,
    provided=300.0,
    unit="mm",
)


def asked(acceptance, *rows, on=DAY, boxes=None):
    """Give the rows that are accepted, and what is told of the rest."""
    asked_of = report(findings=rows, boxes=boxes or (box_row(enclosure=named("PB-1")),))
    after = with_acceptances(asked_of, [acceptance], on=on)
    assert [replace(row, accepted=None) for row in after.findings] == [*rows]
    return [row for row in after.findings if row.accepted], after.stale_acceptances


def named(name, step_id=10, **changes):
    box = box_row().enclosure
    return replace(box, ref=replace(BOX, name=name, step_id=step_id, **changes))


def test_an_accepted_fail_stays_a_fail_and_says_by_whom():
    (row,), stale = asked(ACCEPTED, FAIL, bends_finding())
    assert (row.outcome, row.accepted.by, stale) == (Outcome.FAIL, "R. Person", ())
    after = with_acceptances(report(findings=(FAIL,)), [ACCEPTED], on=DAY)
    assert after.failed
    assert after.accepted_on == "2026-03-01"


def test_without_acceptances_no_day_counts():
    assert with_acceptances(report(), [], on=DAY) == report()


@pytest.mark.parametrize(
    ("row", "is_accepted"),
    [
        pytest.param(FAIL, True, id="as-it-was"),
        pytest.param(replace(FAIL, provided=310.0), True, id="better"),
        pytest.param(replace(FAIL, provided=299.9), True, id="a-tenth-worse"),
        pytest.param(replace(FAIL, provided=299.8), False, id="two-tenths-worse"),
        pytest.param(replace(FAIL, required=371.0), False, id="more-is-required"),
        pytest.param(replace(FAIL, required=371.0, provided=353.0), True, id="as-short-as-then"),
        pytest.param(replace(FAIL, provided=None), False, id="not-known"),
        pytest.param(
            replace(FAIL, required=318.0 / 25.4, provided=300.0 / 25.4, unit="in"),
            True,
            id="in-inches",
        ),
        pytest.param(
            replace(FAIL, required=318.0 / 25.4, provided=299.0 / 25.4, unit="in"),
            False,
            id="a-millimetre-worse-in-inches",
        ),
        pytest.param(
            replace(FAIL, required=318.0, provided=300.0, unit="cm3"), False, id="in-volumes"
        ),
    ],
)
def test_it_holds_until_more_is_missing_than_was_accepted(row, is_accepted):
    held, stale = asked(ACCEPTED, row)
    assert bool(held) is is_accepted
    assert bool(stale) is not is_accepted


def test_amounts_accepted_in_rounded_inches_hold_for_the_same_row_in_millimetres():
    in_inches = replace(ACCEPTED, required=12.52, provided=11.81, unit="in")
    assert asked(in_inches, FAIL)[0]
    assert asked(in_inches, replace(FAIL, provided=299.5))[1]


def test_where_less_is_better_more_is_worse():
    bends = bends_finding(outcome=Outcome.FAIL, required=360.0, provided=405.0)
    accepted = replace(ACCEPTED, finding=bends.id, required=360.0, provided=405.0, unit="deg")
    assert asked(accepted, bends)[0]
    assert asked(accepted, replace(bends, provided=390.0))[0]
    assert (
        "got worse: required 360.0 deg and provided 405.1 deg"
        in asked(accepted, replace(bends, provided=405.1))[1][0]
    )


@pytest.mark.parametrize(
    ("outcome", "told"),
    [
        pytest.param(Outcome.PASS, "passes now; delete it", id="pass"),
        pytest.param(Outcome.NEEDS_INPUT, "needs input, not acceptance", id="needs-input"),
    ],
)
def test_only_a_fail_can_be_accepted(outcome, told):
    held, stale = asked(ACCEPTED, replace(FAIL, outcome=outcome))
    assert not held
    assert told in stale[0]


@pytest.mark.parametrize(
    ("until", "on", "told"),
    [
        pytest.param("2026-03-01", DAY, "", id="last-day"),
        pytest.param("2026-02-28", DAY, "ended on 2026-02-28", id="day-after"),
        pytest.param("", date(2099, 1, 1), "", id="no-end"),
        pytest.param("", date(2026, 1, 5), "", id="first-day"),
        pytest.param("", date(2026, 1, 4), "holds only from then on", id="day-before"),
    ],
)
def test_it_holds_from_its_day_to_its_last(until, on, told):
    held, stale = asked(replace(ACCEPTED, until=until), FAIL, on=on)
    assert bool(held) is not bool(told)
    assert told in "".join(stale)


def test_one_without_amounts_holds_only_for_a_row_without_any():
    bare = replace(ACCEPTED, required=None, provided=None, unit="")
    held, stale = asked(bare, FAIL)
    assert not held
    assert "they are now required 318.0 mm and provided 300.0 mm" in stale[0]
    assert asked(bare, replace(FAIL, required=None, provided=None, unit=""))[0]


def test_of_a_finding_that_is_gone_it_says_so():
    held, stale = asked(ACCEPTED, bends_finding())
    assert not held
    assert stale == (
        f"{FAIL.id}, accepted by R. Person on 2026-01-05: there is no such finding any more;"
        " delete it",
    )


BY_BOX = replace(ACCEPTED, finding="", check="angle-pull-distance")


@pytest.mark.parametrize("name", ["0BOX", "T-7", "PB-1"])
def test_a_box_is_named_by_global_id_tag_or_name(name):
    boxes = (
        box_row(enclosure=named("PB-1", tag="T-7")),
        box_row(enclosure=named("PB-2", 11, guid="0OTHER")),
    )
    other = replace(FAIL, subject=replace(BOX, step_id=11, guid="0OTHER"))
    spacing = replace(FAIL, check="entry-spacing")
    held, stale = asked(replace(BY_BOX, box=name), FAIL, other, spacing, boxes=boxes)
    assert [(row.subject.guid, row.check) for row in held] == [("0BOX", "angle-pull-distance")]
    assert stale == ()


def test_a_box_that_two_are_called_or_none_accepts_nothing():
    twins = (box_row(enclosure=named("PB-1")), box_row(enclosure=named("PB-1", 11, guid="0B")))
    held, stale = asked(replace(BY_BOX, box="PB-1"), FAIL, boxes=twins)
    assert not held
    assert "2 boxes are called so; name the box by its GlobalId" in stale[0]
    held, stale = asked(replace(BY_BOX, box="PB-9"), FAIL)
    assert not held
    assert "no such box any more" in stale[0]
    held, stale = asked(replace(BY_BOX, box="PB-1", check="cover-depth"), FAIL)
    assert "no such row any more" in stale[0]


def test_of_several_rows_of_a_box_each_is_held_against_the_amounts():
    short = replace(FAIL, elements=(), provided=290.0)
    passing = replace(FAIL, elements=(BOX,), outcome=Outcome.PASS)
    held, stale = asked(replace(BY_BOX, box="PB-1"), FAIL, short, passing)
    assert [row.provided for row in held] == [300.0]
    assert len(stale) == 1
    assert "got worse: required 318.0 mm and provided 290.0 mm" in stale[0]
