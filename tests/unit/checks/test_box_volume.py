from dataclasses import replace

import pytest

from modelcheck.model.pull import Conductors
from tests.box_cases import CEC, NEC, box, case, contents, entry, findings, names, one, pull

VOLUME = "box-volume"
IN3 = 16.387064  # cm3


def small_box(*pulls, inside_mm=(100, 100, 40), **held):
    ends = (entry("A", "-x", "1/2"), entry("B", "+x", "1/2"), entry("C", "-y", "3/4"))
    the_box = box(inside_mm, contents=contents(**held))
    return case(the_box, *ends, pulls=pulls or None)


def twelves(count, *places, **more):
    return pull("F1", *(places or (0, 1, 2)), conductor="12 AWG", count=count, **more)


def test_box_of_small_raceways_without_conductors_has_one_row_that_asks_for_them():
    (found,) = findings(small_box(), CEC)
    assert (found.check, found.outcome) == (VOLUME, "needs-input")
    assert names(found) == ["A", "B", "C"]


@pytest.mark.parametrize(
    ("count", "outcome"),
    [pytest.param(13, "pass", id="13-fit"), pytest.param(14, "fail", id="14-do-not")],
)
def test_conductor_that_passes_through_counts_once(count, outcome):
    found = one(small_box(twelves(count)), VOLUME)
    assert (found.outcome, found.required) == (outcome, pytest.approx(28.7 * count))
    assert found.provided == pytest.approx(400)


def test_spliced_conductor_counts_at_each_entry():
    assert one(small_box(twelves(2, 0, 1, spliced=True), twelves(1, 2)), VOLUME)
    found = one(small_box(pull("F1", 0, 1, 2, conductor="12 AWG", count=2, spliced=True)), VOLUME)
    assert found.working == "6 x 28.7 (12 AWG) = 172.2 cm3"


def test_volume_is_converted_after_it_was_worked():
    found = one(small_box(twelves(4)), VOLUME, replace(NEC, units="mm"))
    assert found.working == "4 x 2.25 (12 AWG) = 9 in3 = 147.5 cm3"
    assert found.unit == "cm3"


@pytest.mark.parametrize(
    ("held", "provided"),
    [
        pytest.param({"volume_cm3": 30 * IN3, "standard_box": "4 x 1-1/2 square"}, 30, id="marked"),
        pytest.param({"standard_box": "4 x 1-1/2 square"}, 21, id="listed"),
        pytest.param({"standard_box": "square 4x1-1/2"}, 21, id="listed-in-other-words"),
        pytest.param({}, 400 / IN3, id="measured"),
        pytest.param({"standard_box": "5 x 9 round"}, 400 / IN3, id="not-listed"),
        pytest.param({"volume_cm3": 10 * IN3, "extension_volume_cm3": 5 * IN3}, 15, id="extended"),
        pytest.param({"volume_cm3": 10 * IN3, "barrier_volume_cm3": IN3}, 9, id="barred"),
    ],
)
def test_marked_volume_wins_then_the_listed_one_then_the_measured(held, provided):
    assert one(small_box(twelves(4), **held), VOLUME, NEC).provided == pytest.approx(provided)


def test_what_no_input_names_counts_as_none_and_is_told():
    found = one(small_box(twelves(4), clamps=1), VOLUME, NEC)
    assert "no input names studs, hickeys, devices, grounding conductors: counted as none" in (
        found.assumptions
    )
    told = " ".join(one(small_box(twelves(4)), VOLUME, CEC).assumptions)
    assert "no input names studs, hickeys, devices, connectors: counted as none" in told


def test_bonding_conductors_count_together_in_one_code_and_bare_not_at_all_in_the_other():
    lines = (
        Conductors(size="12 AWG", insulation="RW90", count=2),
        Conductors(size="12 AWG", role="bonding", count=3),
    )
    the_pull = replace(twelves(2), conductors=lines)
    assert one(small_box(the_pull), VOLUME, NEC).required == pytest.approx(2.25 * 3)
    assert one(small_box(the_pull), VOLUME, CEC).required == pytest.approx(28.7 * 2)


def test_one_size_in_a_listed_box_goes_by_the_tables_count():
    fourteens = pull("F1", 0, 1, 2, conductor="14 AWG", count=10)
    found = one(small_box(fourteens, standard_box="4 x 1-1/2 octagonal"), VOLUME)
    assert (found.outcome, found.required, found.provided, found.unit) == ("pass", 10, 10, "")
    eleven = replace(fourteens, conductors=(replace(fourteens.conductors[0], count=11),))
    assert one(small_box(eleven, standard_box="4 x 1-1/2 octagonal"), VOLUME).outcome == "fail"


def test_deep_device_goes_by_its_depth_in_one_code():
    found = one(small_box(twelves(2), devices=(("12 AWG", 4.0),)), VOLUME)
    assert found.required == pytest.approx(2 * 28.7 + 4 * 32)
    shallow = one(small_box(twelves(2), devices=(("12 AWG", 2.0),)), VOLUME)
    assert shallow.required == pytest.approx(4 * 28.7)


def test_volume_of_the_small_ones_is_a_second_row_beside_the_distances():
    ends = (entry("A", "-x", "2"), entry("B", "+x", "2"))
    pulls = (pull("F1", 0, 1), pull("F2", 0, 1, conductor="12 AWG", count=4))
    found = findings(case(box((600, 300, 200)), *ends, pulls=pulls), CEC)
    assert [each.check for each in found] == ["straight-pull-length", VOLUME]
    assert any("(D9)" in each for each in found[1].assumptions)


def test_entry_that_no_pull_names_could_bring_more_conductors():
    assert one(small_box(twelves(4, 0, 1)), VOLUME).outcome == "needs-input"
    assert one(small_box(twelves(40, 0, 1)), VOLUME).outcome == "fail"


def test_conductors_of_the_settings_stand_for_those_of_the_box():
    held = {"conductors": (("12 AWG", 4),)}
    assert one(small_box(**held), VOLUME).working == "4 x 28.7 (12 AWG) = 114.8 cm3"
    large = case(
        box((600, 300, 200), contents=contents(**held)),
        entry("A", "-x", "2"),
        entry("B", "+x", "2"),
    )
    assert [each.check for each in findings(large, CEC)] == [VOLUME]


def test_size_without_an_allowance_is_never_left_out_in_silence():
    found = one(
        small_box(twelves(2), grounds=(("4 AWG", 1),)),
        VOLUME,
        NEC,
    )
    assert found.outcome == "needs-input"
    assert "no allowance for the grounds of 4 AWG" in found.message


def test_box_without_a_size_needs_input_with_its_requirement_worked():
    found = one(small_box(twelves(4), inside_mm=(None, None, None)), VOLUME)
    assert (found.outcome, found.provided) == ("needs-input", None)
    assert found.required == pytest.approx(114.8)
