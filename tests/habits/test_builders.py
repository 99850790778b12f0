"""The builders draw what the truth says: bodies are measured by another program's mesher."""

from __future__ import annotations

from dataclasses import replace

import ifcopenshell
import ifcopenshell.geom
import ifcopenshell.validate
import numpy as np
import pytest

from tests.builders.box_shapes import inside, outside
from tests.builders.guids import guid_of
from tests.builders.habits import AXES, Habit, contradictions, habit_of
from tests.builders.meshes import path_points
from tests.builders.pieces import Piece, lay_out
from tests.builders.plant import Plant
from tests.builders.scenes import first_plant
from tests.builders.write_ifc import write

WHOLE = first_plant()
PLANT = replace(WHOLE, routes=tuple(r for r in WHOLE.routes if r.id in ("R2", "R5", "R6")))
OLD = {"schema": "IFC2X3", "element_class": "flow", "box_class": "terminal", "ports": "relation"}
# no body, or one that this mesher cannot draw: a cylinder primitive, a mitred polyline
UNMEASURED = {"axis", "bounds", "cylinder", "chords"}
MESHER = ifcopenshell.geom.settings()
MESHER.set("use-world-coords", True)  # noqa: FBT003 a setting of another program
MESHER.set("mesher-angular-deflection", 0.25)


def _habits() -> list[object]:
    cases = []
    drawn = ("segment_body", "elbow_body", "box_body", "elbows", "joints", "placement", "unit",
             "angle", "box_end", "through", "cover",
             "also", "contexts", "grouping")  # fmt: skip
    for axis in drawn:
        for value in AXES[axis]:
            for base in ({}, OLD):
                values = {**base, axis: value}
                if axis == "box_body" and str(value).startswith("block"):
                    values["cover"] = "property"
                if axis == "cover" and value == "part":
                    values["box_body"] = "assembly"
                if axis == "angle" and value in ("missing", "inverted"):
                    continue  # another program can't know better
                if not contradictions(habit_of(values)):
                    cases.append(pytest.param(values, id=f"{axis}-{value}-{len(base)}"))
                    break
    return cases


def _corners(file: ifcopenshell.file, truth_id: str, habit: Habit) -> np.ndarray:
    """Corners of the body in the plant's coordinates, shape (n, 3). [m]"""
    element = file.by_guid(guid_of(truth_id))
    parts = [rel.RelatedObjects for rel in getattr(element, "IsDecomposedBy", ())]
    bodies = [element] if element.Representation else [part for row in parts for part in row]
    found = [
        np.array(ifcopenshell.geom.create_shape(MESHER, body).geometry.verts).reshape(-1, 3)
        for body in bodies
    ]
    back = habit.motion.inverse.matrix
    return np.vstack(found) @ back[:3, :3].T + back[:3, 3]


@pytest.mark.parametrize("values", _habits())
def test_bodies_lie_where_the_truth_says(values, tmp_path):
    habit = habit_of(values)
    path = tmp_path / "plant.ifc"
    write(PLANT, habit, path)
    file = ifcopenshell.open(path)
    if not {habit.segment_body, habit.elbow_body} & UNMEASURED:
        for route in lay_out(PLANT, habit.cut).values():
            for piece in route:
                _assert_tube(_corners(file, piece.id, habit), piece, habit)
    for box in PLANT.boxes:
        corners = _corners(file, box.id, habit)
        local = np.array([box.frame.inverse.point(corner) for corner in corners])
        _assert_box(local, box, habit)


def _assert_tube(corners: np.ndarray, piece: Piece, habit: Habit) -> None:
    """Every corner is on the skin or in an end face; both ends are reached and not passed."""
    path = np.array(path_points(piece.legs))
    steps = np.diff(path, axis=0)
    share = np.einsum("nsk,sk->ns", corners[:, None] - path[:-1], steps) / (steps**2).sum(axis=1)
    foot = path[:-1] + np.clip(share, 0, 1)[..., None] * steps
    away = np.linalg.norm(corners[:, None] - foot, axis=2).min(axis=1)
    grown = 0.006 if piece.bell else 0.0
    square = 2**0.5 if habit.segment_body == "across" else 1.0
    slack = 0.002 + 0.05 * bool(piece.normals)
    assert away.max() <= piece.outside_m / 2 * square + grown + slack
    first, last = (np.array(direction) for direction in piece.directions)
    if piece.is_straight and not piece.normals:
        assert (first @ (corners - path[0]).T).min() == pytest.approx(0.0, abs=1e-5)
        assert (last @ (corners - path[-1]).T).max() == pytest.approx(0.0, abs=1e-5)


def _assert_box(local: np.ndarray, box, habit: Habit) -> None:
    open_sides = box.cover if habit.cover in ("open", "plate") else ()
    is_inner = habit.box_body in ("block", "sheet")
    block = inside(box) if is_inner else outside(box, open_sides)
    grown = 0.03 if habit.cover in ("plate", "lid") or habit.box_body == "flange" else 1e-5
    low, high = np.array(block)
    assert (np.abs(local.min(axis=0) - low) <= grown).all()
    assert (np.abs(local.max(axis=0) - high) <= grown).all()


@pytest.mark.parametrize("schema", AXES["schema"])
def test_files_are_valid_by_their_schema(schema, tmp_path):
    values = {**OLD, "schema": schema} if schema == "IFC2X3" else {"schema": schema}
    path = tmp_path / "plant.ifc"
    write(WHOLE, habit_of({**values, "strangers": True}), path)
    log = ifcopenshell.validate.json_logger()
    ifcopenshell.validate.validate(ifcopenshell.open(path), log)
    assert [line["message"] for line in log.statements] == []


def test_the_same_plant_and_habit_give_the_same_bytes(tmp_path):
    first, second = tmp_path / "plant.ifc", tmp_path / "again" / "plant.ifc"
    second.parent.mkdir()
    for path in (first, second):
        write(PLANT, Habit(), path)
    assert first.read_bytes() == second.read_bytes()


def test_an_elbow_without_room_is_refused():
    route = replace(PLANT.routes[0], corners=((5.725, 0.4, 1.92), (6.275, 0.4, 1.92)))
    with pytest.raises(ValueError, match="elbows overlap"):
        lay_out(Plant(name="", boxes=PLANT.boxes, routes=(route,)), Habit().cut)
