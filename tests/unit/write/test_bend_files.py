"""Bend sheets read back from their files: a run built by the tables ends where it is drawn to."""

import csv
from dataclasses import replace
from math import cos, dist, radians, sin
from random import Random
from xml.etree import ElementTree

import numpy as np
import pytest

from modelcheck.geometry.path import turned
from modelcheck.layout.bend_sheet import bend_sheet
from modelcheck.write.bend_drawing import draw_bends
from modelcheck.write.bend_files import bend_file_names, write_bends
from modelcheck.write.drawing_marks import Text, overlapping
from tests.unit.layout.runs import bent, drawn, straight

UP, Y = (0.0, 0.0, 1.0), (0.0, 1.0, 0.0)


def random_run(seed):
    random = Random(seed)
    steps = [straight(1.0)]
    for _ in range(random.randint(1, 6)):
        toward = tuple(random.uniform(-1, 1) for _ in range(3))
        steps.append(bent(random.choice([15, 30, 45, 90, 71.3]), 0.3, toward))
        steps.append(straight(random.uniform(0.3, 5)))
        if random.random() < 0.4:
            steps += [straight(0.06, coupling=True), straight(1.2)]
    start = tuple(random.uniform(-100, 100) for _ in range(3))
    direction = tuple(random.uniform(-1, 1) for _ in range(3))
    return drawn(*steps, start=start, direction=direction)


RUNS = [random_run(seed) for seed in range(40)]


def files(folder, run):
    folder.mkdir(exist_ok=True)
    write_bends([bend_sheet(run)], {"m.ifc": "Observatory"}, folder)
    tables = []
    for name in ("pieces.csv", "bends.csv"):
        with (folder / name).open(encoding="utf-8", newline="") as handle:
            tables.append(list(csv.DictReader(handle)))
    return tables


def built(pieces, bends):
    """End of the run that the two tables describe."""
    first = pieces[0]
    point = np.array([float(first[f"{axis}_m"]) for axis in "xyz"])
    ahead = np.array([float(first[f"direction_{axis}"]) for axis in "xyz"])
    up = np.array(Y if abs(ahead[2]) > 0.999 else UP)
    toward = up - np.dot(up, ahead) * ahead
    toward = toward / np.linalg.norm(toward)
    for piece in pieces:
        done = 0.0
        for bend in (each for each in bends if each["piece"] == piece["piece"]):
            point = point + (float(bend["mark_mm"]) / 1000 - done) * ahead
            toward = turned(toward, ahead, radians(float(bend["rotation_deg"])))
            angle, radius_m = radians(float(bend["angle_deg"])), float(bend["radius_mm"]) / 1000
            point = point + radius_m * (sin(angle) * ahead + (1 - cos(angle)) * toward)
            ahead, toward = (
                cos(angle) * ahead + sin(angle) * toward,
                cos(angle) * toward - sin(angle) * ahead,
            )
            done = float(bend["mark_mm"]) / 1000 + radius_m * angle
        point = point + (float(piece["cut_length_mm"]) / 1000 - done) * ahead
    return point


@pytest.mark.parametrize("run", RUNS, ids=range(len(RUNS)))
def test_a_run_built_by_the_tables_ends_where_it_is_drawn_to_end(tmp_path, run):
    pieces, bends = files(tmp_path, run)
    assert dist(built(pieces, bends), run.end.point) < 0.002


def test_cut_lengths_add_up_to_the_length_of_the_run(tmp_path):
    for run in RUNS:
        pieces, _ = files(tmp_path, run)
        total_mm = sum(float(each["cut_length_mm"]) for each in pieces)
        assert abs(total_mm - 1000 * run.length_m) <= 0.05 * (len(pieces) + 1)


def test_every_bend_is_numbered_on_the_sheet_and_no_text_lies_on_another():
    for run in RUNS:
        sheet = draw_bends(bend_sheet(run), project="Observatory")
        texts = [mark.text for mark in sheet.marks if isinstance(mark, Text)]
        assert {str(number) for number in range(1, len(run.bends) + 1)} <= set(texts)
        assert not overlapping(sheet.marks)


def test_every_mark_lies_on_the_paper():
    for run in RUNS:
        sheet = draw_bends(bend_sheet(run))
        for mark in sheet.marks:
            if isinstance(mark, Text):
                low_x, low_y, high_x, high_y = mark.bounds
                assert low_x >= 0 <= low_y
                assert high_x <= sheet.width_mm
                assert high_y <= sheet.height_mm


def test_a_sheet_that_does_not_lead_to_the_drawn_end_says_not_to_bend_by_it():
    run = drawn(straight(1.0), bent(90, 0.3, UP), straight(1.0))
    shifted = [*run.parts[:2], shift(run.parts[2], (0.0, 0.0, 0.03))]
    sheet = bend_sheet(replace(run, parts=tuple(shifted)))
    texts = [m.text for m in draw_bends(sheet).marks if isinstance(m, Text)]
    assert sheet.closes_m > 0.002
    assert any(text.startswith("Don't bend by this sheet: ") for text in texts)


def shift(part, by):
    points = tuple(tuple(a + b for a, b in zip(p, by, strict=True)) for p in part.points)
    return replace(part, points=points)


def test_the_files_are_those_that_are_named_and_the_picture_is_sound_xml(tmp_path):
    run = RUNS[0]
    files(tmp_path, run)
    assert {each.name for each in tmp_path.iterdir()} == set(bend_file_names([run.name]))
    ElementTree.parse(tmp_path / f"bends-{run.name}.svg")
    assert (tmp_path / "bends.pdf").read_bytes().startswith(b"%PDF")
