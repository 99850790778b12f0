"""One plant gives one answer in every habit: rows of the matrix, run by run, entry by entry.

Here the rows that cover most; ``scripts/habits`` runs all of them.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.builders.compare import EXACT, MESHED, differences, verdicts
from tests.builders.expect import expect
from tests.builders.habits import AXES, OLD_TYPED, SOLID, TIDY, contradictions, habit_of
from tests.builders.pairwise import read_matrix
from tests.builders.scenes import first_plant
from tests.builders.write_ifc import write
from tests.run_program import check

ROWS_HERE = 30
PLANT = first_plant()
MATRIX = read_matrix()
PORTS_IN_THE_FACE = habit_of(
    {"segment_body": "across", "port_off_m": 0.03}, "ports-beside-the-centre-of-a-bar"
)
HABITS = [
    TIDY,
    SOLID,
    OLD_TYPED,
    *MATRIX[:ROWS_HERE],
    PORTS_IN_THE_FACE,
]


@pytest.fixture(scope="module")
def tidy_verdicts(tmp_path_factory):
    """What the plant comes to in the tidy habit, with its covers shown and without."""

    def of(habit):
        folder = tmp_path_factory.mktemp("tidy")
        write(PLANT, habit, folder / "plant.ifc")
        check([folder / "plant.ifc"], folder / "out")
        return verdicts(folder / "out", expect(PLANT, habit))

    return {True: of(TIDY), False: of(replace(TIDY, cover="none"))}


@pytest.mark.parametrize("habit", HABITS, ids=lambda habit: habit.name)
def test_the_plant_is_read_right(habit, tidy_verdicts, tmp_path):
    path = tmp_path / "plant.ifc"
    write(PLANT, habit, path)
    check([path], tmp_path / "out")
    expected = expect(PLANT, habit)
    slack = MESHED if habit.is_meshed else EXACT
    assert differences(tmp_path / "out", expected, slack) == []
    if not habit.cut.through:  # one conduit at two walls: its rows can't be told apart by name
        assert verdicts(tmp_path / "out", expected) == tidy_verdicts[habit.cover != "none"]


def test_no_row_of_the_matrix_contradicts_itself():
    assert [habit.name for habit in MATRIX if contradictions(habit)] == []


@pytest.mark.parametrize("axis", [axis for axis in AXES if axis not in ("motion",)])
def test_the_rows_here_hold_every_value_of_an_axis(axis):
    def value(habit):
        return getattr(habit, axis) if hasattr(habit, axis) else getattr(habit.cut, axis)

    shown = [TIDY, SOLID, OLD_TYPED, *MATRIX[:ROWS_HERE]]
    assert {value(habit) for habit in shown} == set(AXES[axis])
