"""Runs of the samples as they are traced: their parts, their sheets, their pull points."""

from functools import cache
from pathlib import Path

import pytest

from modelcheck.layout.bend_sheet import bend_sheet
from modelcheck.layout.run_path import run_path
from modelcheck.pipeline.check import silent
from modelcheck.pipeline.project import read_project
from modelcheck.pipeline.request import Request, Terms
from modelcheck.read.ifc_file import open_models

SAMPLES = sorted((Path(__file__).parents[3] / "sample_models").glob("*.ifc"))


@cache
def runs_of(path):
    request = Request(models=(path,))
    project = read_project(
        open_models(request.models), Terms.of(request).settings, None, progress=silent
    )
    return project.network.runs


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_bends_and_stretches_of_a_traced_run_add_up_to_its_length(path):
    for run in runs_of(path):
        way = run_path(run)
        total_m = sum(each.length_m for each in way.stretches)
        total_m += sum(each.to_m - each.from_m for each in way.bends)
        assert total_m == pytest.approx(run.length_m, abs=1e-6)
        assert [each.bend for each in way.bends] == list(run.bends)
        assert all(each.length_m > -1e-6 for each in way.stretches)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_traced_run_built_by_its_sheet_ends_where_it_is_drawn_to_end(path):
    runs = runs_of(path)
    assert runs
    for run in runs:
        sheet = bend_sheet(run)
        assert sheet.problem == ""
        assert sheet.closes_m < 0.002
        total_m = sum(piece.length_m for piece in sheet.pieces)
        assert total_m == pytest.approx(run.length_m, abs=1e-6)
