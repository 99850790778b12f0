"""A cable through a connector counts by the raceway that would hold its conductors, or its own."""

from dataclasses import replace

import pytest

from modelcheck.model.element import RacewaySize
from modelcheck.model.finding import Outcome
from tests.box_cases import CEC, NEC, box, case, entry, one, pull

INSIDE_MM = (600.0, 600.0, 200.0)


def cable_box(conductor, count):
    """A cable without a size and a 1 in raceway, straight through a box."""
    cable = replace(entry("K", "-x", "1"), size=RacewaySize(), is_cable=True)
    through = pull("F1", 0, 1, conductor=conductor, insulation="THHN", count=count)
    return case(box(INSIDE_MM), cable, entry("A", "+x", "1"), pulls=(through,))


# 4 x 3/0 THHN: 4 x 0.2679 = 1.0716 in2; at 40 percent more than any 1-1/2 raceway, so 2 of most
# types; areas from NEC Chapter 9 Tables 4 and 5 as in the worked example CF-01.
@pytest.mark.reference(source="course-314-28", clause="314.28(A)", how="hand")
def test_under_nec_a_cable_counts_as_the_smallest_raceway_for_its_conductors():
    row = one(cable_box("3/0 AWG", 4), "straight-pull-length", NEC)
    assert row.outcome is Outcome.PASS
    assert row.working == "8 x 2 = 16 in"
    assert any("cable counted as trade size 2" in text for text in row.assumptions)


@pytest.mark.reference(source="common-practice", clause="12-3036 1)", how="hand")
def test_under_cec_a_cable_needs_the_size_of_its_connector():
    row = one(cable_box("3/0 AWG", 4), "straight-pull-length", CEC)
    assert row.outcome is Outcome.NEEDS_INPUT
    assert "connector" in row.message


@pytest.mark.reference(source="course-314-28", clause="314.28(A)", how="hand")
def test_a_cable_of_unknown_conductors_is_not_guessed():
    row = one(cable_box("3/0 AWG", None), "straight-pull-length", NEC)
    assert row.outcome is Outcome.NEEDS_INPUT
