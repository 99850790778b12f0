from dataclasses import replace

import pytest

from modelcheck.checks import bend_limit_deg, check_loose_ends
from modelcheck.model.run import LooseEnd
from modelcheck.model.settings import Amendment
from modelcheck.rules.bends import bend_total_deg
from modelcheck.rules.catalogue import rulebook
from tests.box_cases import CEC, NEC, bend, ref, run, run_findings, run_pull

BENDS, RADIUS, LENGTH, FILL = (
    "bends-between-pull-points",
    "bend-radius",
    "run-length",
    "conduit-fill",
)


def bends(*angles, settings=CEC, **how):
    (found,) = run_findings(run(*angles, **how), settings, BENDS)
    return found


@pytest.mark.parametrize(
    ("angles", "total", "outcome"),
    [
        pytest.param([90.0] * 4, 360, "pass", id="at-the-limit"),
        pytest.param([90.0] * 4 + [0.6], 360.6, "fail", id="just-over"),
        pytest.param([90.0] * 4 + [0.04], 360.0, "pass", id="rounded-to-a-tenth"),
        pytest.param([89.5, 90.5, 44.6, 45.4], 270, "pass", id="near-elbows"),
        pytest.param([89.4], 89.4, "pass", id="not-near-an-elbow"),
        pytest.param([], 0, "pass", id="no-bend"),
    ],
)
def test_bends_are_totalled_and_the_limit_itself_passes(angles, total, outcome):
    found = bends(*angles)
    assert (found.provided, found.required, found.outcome) == (total, 360, outcome)
    assert bend_total_deg(run(*angles)) == total


def test_working_of_the_bends_can_be_redone():
    assert bends(90.0, 90.0, 45.0, 37.26).working == "2 x 90 + 45 + 37.26 = 262.3 deg"
    assert bends().working == "no bend = 0 deg"


def test_drawn_angle_taken_for_an_elbow_is_told():
    assert "89.7 deg as drawn taken for an elbow of 90 deg" in bends(89.7).assumptions


@pytest.mark.parametrize("kind", ["open", "branch"])
def test_run_that_ends_open_or_at_a_branch_can_not_pass(kind):
    assert bends(90.0, end=kind).outcome == "needs-input"
    assert bends(90.0, start=kind).outcome == "needs-input"
    assert bends(*[90.0] * 5, end=kind).outcome == "fail"


@pytest.mark.parametrize("kind", ["box", "equipment", "cap", "meant"])
def test_other_ends_are_sound(kind):
    assert bends(90.0, end=kind).outcome == "pass"


def test_contradicting_bends_need_input():
    found = bends(*[90.0] * 5, bend_conflict="the body bends 90, its neighbours 45")
    assert found.outcome == "needs-input"
    assert "its neighbours 45" in found.message


def test_run_near_the_limit_says_so():
    assert any("within 10 degrees" in each for each in bends(*[90.0] * 4).assumptions)
    assert not any("within 10 degrees" in each for each in bends(*[90.0] * 3, 75.0).assumptions)


def test_allowance_for_each_end_counts():
    settings = replace(CEC, rules=replace(CEC.rules, bend_allowance_deg=10.0))
    found = bends(*[90.0] * 4, settings=settings)
    assert (found.outcome, found.provided) == ("fail", 380)
    assert found.working == "4 x 90 + 2 x 10 for the ends = 380 deg"


@pytest.mark.parametrize(
    ("settings", "types", "clause", "words"),
    [
        pytest.param(CEC, ("EMT",), "CEC Section 12", "draw-in points", id="cec"),
        pytest.param(NEC, ("RMC",), "344.24", "pull points", id="nec"),
        pytest.param(
            replace(NEC, edition="2020"), ("EMT",), "358.26", "pull points", id="nec-2020"
        ),
        pytest.param(
            replace(NEC, edition="2026"), ("EMT", "RMC"), "300.24", "pull points", id="nec-2026"
        ),
    ],
)
def test_clause_and_words_go_by_code_edition_and_type(settings, types, clause, words):
    found = bends(90.0, settings=settings, raceway_types=types)
    assert found.clause == clause
    assert words in found.message


def test_telecom_systems_are_held_to_half_the_bends_and_30_m():
    settings = replace(CEC, limits=replace(CEC.limits, telecom_systems=("DATA",)))
    data = run(90.0, 90.0, 45.0, system="DATA", length_m=31.0)
    found = {each.check: each for each in run_findings(data, settings)}
    assert (found[BENDS].required, found[BENDS].outcome) == (180, "fail")
    assert (found[LENGTH].required, found[LENGTH].outcome) == (30_000, "fail")
    assert bend_limit_deg(data, rulebook(settings), settings) == 180
    assert bend_limit_deg(run(90.0), rulebook(settings), settings) == 360


def test_amended_limit_holds_for_every_type():
    amendment = Amendment(
        check=BENDS, code="nec", value=270.0, clause="L-1", source="by-law", adopted_by="town"
    )
    found = bends(*[90.0] * 4, settings=replace(NEC, amendments=(amendment,)))
    assert (found.outcome, found.clause) == ("fail", "L-1")


@pytest.mark.parametrize(
    ("radius_m", "count"),
    [
        pytest.param(0.241, 0, id="as-tabulated"),
        pytest.param(0.24, 1, id="1-mm-tight"),
        pytest.param(None, 0, id="not-drawn"),
    ],
)
def test_only_a_bend_that_is_too_tight_has_a_row(radius_m, count):
    found = run_findings(run(90.0, radius_m=radius_m), CEC, RADIUS)
    assert [each.outcome for each in found] == ["fail"] * count
    assert all(each.at == (1.0, 2.0, 3.0) for each in found)


def test_radius_between_the_two_columns_is_told_with_the_total():
    found = bends(90.0, settings=NEC, radius_m=0.25)
    assert any("other bends need 12 in" in each for each in found.assumptions)


def test_run_length_has_a_row_only_with_a_limit():
    assert run_findings(run(), CEC, LENGTH) == []
    limited = replace(CEC, limits=replace(CEC.limits, run_length_m=10.0))
    (at_limit,) = run_findings(run(length_m=10.0), limited, LENGTH)
    (over,) = run_findings(run(length_m=10.001), limited, LENGTH)
    (open_end,) = run_findings(run(length_m=5.0, end="open"), limited, LENGTH)
    outcomes = [each.outcome.value for each in (at_limit, over, open_end)]
    assert outcomes == ["pass", "fail", "needs-input"]
    assert not any("not checked" in each for each in at_limit.assumptions)


def fill(*lines, settings=NEC, **how):
    (found,) = run_findings(run(**how), settings, FILL, (run_pull(*lines),))
    return found


def test_fill_is_a_row_only_where_a_schedule_gives_conductors():
    assert run_findings(run(), NEC, FILL) == []
    assert run_findings(run(), NEC, FILL, ()) == []


@pytest.mark.parametrize(
    ("count", "outcome", "limit"),
    [
        pytest.param(1, "pass", 53, id="one"),
        pytest.param(2, "pass", 31, id="two"),
        pytest.param(3, "pass", 40, id="three"),
        pytest.param(4, "fail", 40, id="four"),
    ],
)
def test_share_goes_by_the_number_of_conductors(count, outcome, limit):
    found = fill(("250 kcmil", "RW90", count))
    assert (found.outcome, found.required, found.unit) == (outcome, limit, "")


def test_fill_shows_its_areas():
    found = fill(("3/0 AWG", "THHN", 4), ("6 AWG", "THHN", 1))
    assert found.working == "4 x 0.2679 + 0.0507 = 1.1223 in2; / 3.356 in2 = 33.4 percent"


def test_nipple_between_enclosures_may_be_fuller_in_one_code_only():
    four = ("250 kcmil", "RW90", 5)
    assert fill(four, length_m=0.6).required == 60
    assert fill(four, length_m=0.7).required == 40
    assert fill(four, length_m=0.6, end="open").required == 40
    assert fill(four, length_m=0.6, settings=CEC).required == 40


def test_areas_of_the_other_code_are_told_as_a_proxy():
    assert any(
        "as a proxy" in each for each in fill(("12 AWG", "RW90", 3), settings=CEC).assumptions
    )


@pytest.mark.parametrize(
    ("line", "how", "told"),
    [
        pytest.param(("12 AWG", "", 3), {}, "insulation", id="insulation"),
        pytest.param(("12 AWG", "THHN", None), {}, "the number", id="count"),
        pytest.param(("12 AWG", "THHN", 3), {"trade_size_in": None}, "trade size", id="size"),
        pytest.param(("12 AWG", "THHN", 3), {"raceway_types": ("ENT",)}, "inside area", id="type"),
    ],
)
def test_fill_that_lacks_a_fact_needs_input_and_says_which(line, how, told):
    found = fill(line, **how)
    assert found.outcome == "needs-input"
    assert told in found.message


def test_raceway_modelled_otherwise_than_scheduled_is_told():
    pulls = (run_pull(("12 AWG", "THHN", 3), trade_size_in="1"),)
    (found,) = run_findings(run(), NEC, FILL, pulls)
    assert "scheduled as 1, modelled as 2" in found.assumptions


def test_open_end_needs_input_and_a_near_pair_fails():
    ends = (
        LooseEnd(element=ref("C1"), point=(1.0, 0.0, 0.0)),
        LooseEnd(element=ref("C2"), point=(2.0, 0.0, 0.0), other=ref("C3"), gap_m=0.012),
    )
    lone, near = check_loose_ends(ends, rulebook(CEC), CEC)
    assert (lone.outcome, near.outcome) == ("needs-input", "fail")
    assert (lone.at, near.working) == ((1.0, 0.0, 0.0), "gap 12 mm > 3 mm")
    assert [each.guid for each in near.elements] == ["C2", "C3"]


def test_row_of_a_run_lies_at_its_middle():
    line = ((0.0, 0.0, 0.0), (4.0, 0.0, 0.0), (4.0, 2.0, 0.0))
    assert bends(90.0, centreline=line).at == (3.0, 0.0, 0.0)


def test_a_tight_bend_in_the_larger_raceway_of_a_run_is_found():
    of_two = replace(run(trade_size_in="2"), bends=(replace(bend(90.0, 0.25), trade_size_in="3"),))
    (row,) = run_findings(of_two, check="bend-radius")
    assert "trade size 3" in row.working
