"""Real models that others wrote, against figures measured without this program.

runs_measured.csv holds the tables of NOTES.md beside the models: made by a separate script with
mesh contact and port connections, no code of this project.
"""

from __future__ import annotations

import csv
from collections import Counter
from pathlib import Path

import ifcopenshell
import pytest

from tests.run_program import assert_form_holds, check
from tests.shared_models import shared_model

HERE = Path(__file__).parent
FLOW = '[select]\nconduit = "IfcFlowSegment"\nfitting = "IfcFlowFitting"\nbox = "IfcFlowTerminal"\n'
PIPES = '[select]\nconduit = "IfcPipeSegment"\n'


def rows(path):
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def measured(model):
    return [row for row in rows(HERE / "runs_measured.csv") if row["model"] == model]


@pytest.fixture(scope="module")
def traced(tmp_path_factory):
    """Results of one model and its selection, each checked once."""
    done = {}

    def results(name, selection, *options):
        key = (name, *options)
        if key not in done:
            folder = tmp_path_factory.mktemp("real")
            (folder / "settings.toml").write_text(selection, encoding="utf-8")
            model, out = shared_model(f"{name}.ifc"), folder / "out"
            check([model], out, "--settings", str(folder / "settings.toml"), *options)
            done[key] = (model, out)
        return done[key]

    return results


RE1 = pytest.mark.parametrize("name", ["RE1-Plumbing", "RE1-Mechanical"])


@RE1
def test_every_run_has_the_elements_and_bends_that_were_measured(name, traced):
    model, out = traced(name, FLOW)
    file = ifcopenshell.open(str(model))
    found = {}
    for run in rows(out / "runs.csv"):
        elements = run["element_guids"].split(";")
        kinds = Counter(file.by_guid(guid).is_a() for guid in elements)
        found[min(elements)] = (
            kinds["IfcFlowSegment"],
            kinds["IfcFlowFitting"],
            int(run["bend_count"]),
            float(run["bend_total_deg"]),
        )
    assert found == {
        row["smallest_guid"]: (
            int(row["segments"]),
            int(row["fittings"]),
            int(row["bends"]),
            float(row["bend_total_deg"]),
        )
        for row in measured(name)
    }


@RE1
def test_every_run_ends_at_what_was_measured(name, traced):
    model, out = traced(name, FLOW)
    file = ifcopenshell.open(str(model))
    said = {"no port": "open", "open port": "open", "cap": "open"}

    def ends(run):
        for guid in (run["start_guid"], run["end_guid"]):
            kind = file.by_guid(guid).is_a("IfcFlowFitting") if guid else None
            yield "open" if not guid else "tee" if kind else file.by_guid(guid).is_a()[3:]

    found = {min(r["element_guids"].split(";")): sorted(ends(r)) for r in rows(out / "runs.csv")}
    assert found == {
        row["smallest_guid"]: sorted(said.get(each, each) for each in (row["end_a"], row["end_b"]))
        for row in measured(name)
    }


@RE1
@pytest.mark.parametrize("code", ["cec", "nec"])
def test_the_results_have_the_agreed_form(name, code, traced):
    model, out = traced(name, FLOW, "--code", code)
    assert_form_holds(out, [model])


def test_the_eight_open_segment_ends_and_the_open_tee_are_told(traced):
    model, out = traced("RE1-Plumbing", FLOW)
    file = ifcopenshell.open(str(model))
    told = [row for row in rows(out / "findings.csv") if row["check"] == "run-continuity"]
    kinds = Counter(file.by_guid(row["subject_guid"]).is_a() for row in told)
    assert kinds == {"IfcFlowSegment": 8, "IfcFlowFitting": 1}
    assert {row["outcome"] for row in told} == {"needs-input"}


def test_spigot_joints_that_overlap_make_two_straight_runs(traced):
    _, out = traced("PCERT-Infra-Plumbing", PIPES)
    runs = rows(out / "runs.csv")
    assert sorted(len(run["element_guids"].split(";")) for run in runs) == [8, 16]
    assert {run["bend_total_deg"] for run in runs} == {"0.0"}
