"""Where a plant stands, in which unit and in which order it is written changes no answer."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.builders.compare import EXACT, differences, tables
from tests.builders.expect import expect
from tests.builders.habits import Habit
from tests.builders.plant import Plant
from tests.builders.scenes import first_plant
from tests.builders.space import Frame
from tests.builders.write_ifc import write
from tests.run_program import check

WHOLE = first_plant()
PLANT = replace(
    WHOLE, routes=tuple(r for r in WHOLE.routes if r.id in ("R2", "R3", "R6")), branches=()
)
LENGTH = st.floats(-500, 500)
ANGLE = st.floats(-180, 180)
MOTIONS = st.builds(
    lambda at, turn: Frame.turned(at, degrees_=turn),
    st.tuples(LENGTH, LENGTH, LENGTH),
    st.tuples(ANGLE, ANGLE, ANGLE),
)
QUICK = settings(max_examples=8, deadline=None)


def _verdicts(plant: Plant, habit: Habit) -> dict[str, tuple[str, ...]]:
    """Outcome of each finding by its id, once the tables have been held against the truth."""
    with TemporaryDirectory() as folder:
        path, out = Path(folder, "plant.ifc"), Path(folder, "out")
        write(plant, habit, path)
        check([path], out)
        assert differences(out, expect(plant, habit), EXACT) == []
        rows = tables(out)["findings"]
    return {row["finding"]: (row["outcome"], row["required"], row["unit"]) for row in rows}


HOME = Habit()


@QUICK
@given(motion=MOTIONS, placement=st.sampled_from(["local", "nested"]))
def test_moving_and_turning_changes_no_answer(motion, placement):
    moved = replace(HOME, motion=motion, placement=placement)
    assert _verdicts(PLANT, moved) == _verdicts(PLANT, HOME)


@QUICK
@given(unit=st.sampled_from(["m", "ft", "in"]), angle=st.sampled_from(["radian", "degree"]))
def test_the_unit_of_the_file_changes_no_answer(unit, angle):
    assert _verdicts(PLANT, replace(HOME, unit=unit, angle=angle)) == _verdicts(PLANT, HOME)


def test_the_order_of_the_instances_changes_no_answer():
    assert _verdicts(PLANT, replace(HOME, reverse=True)) == _verdicts(PLANT, HOME)
