"""A route that the model doesn't carry is told with the place of the gap."""

import pytest

from modelcheck.errors import AmbiguousReferenceError
from tests.unit.network.test_routes import Plant, row


def plant():
    made = Plant().box("A", "B").run(1, "A", ("open", None))
    return made.run(2, ("open", None), "B", at=((9.03, 0.0, 0.5), (18.0, 0.0, 0.5)))


def test_the_nearest_ends_of_the_two_runs_are_told():
    with pytest.raises(AmbiguousReferenceError) as error:
        plant().carry(row("c1a;c2a"))
    assert "their nearest ends are 0.501 m apart, at 9.000, 0.000, 0.000" in str(error.value)


def test_a_box_that_is_not_met_is_told_without_a_gap():
    with pytest.raises(AmbiguousReferenceError) as error:
        plant().carry(row("A;B"))
    assert "apart" not in str(error.value)


def test_the_runs_of_a_pull_are_kept_in_its_order():
    made = Plant().box("A", "B", "C").run(1, "A", "B").run(2, "C", "B")
    (legs,) = made.carry(row("c1a;c2a")).carried.pull_legs
    assert [(run.name, way_in) for run, way_in in legs.legs] == [("R1", 0), ("R2", 1)]
