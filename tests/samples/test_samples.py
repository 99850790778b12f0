"""The samples are what the builders make, and come to what was worked out by hand.

The arithmetic in the two tables beside this file was done by hand from: CEC 2024 Rule 12-3036 2)
(factors from memory, not checked against a code book) and Rule 12-3034 with Table 22 (from memory);
NEC 2023 314.28(A)(1) and (A)(2), Table 312.6(A), 314.16(B) and 358.26; outside diameters of ANSI
C80.3 (EMT) and C80.1 (rigid conduit), and ASTM D1785 (PVC); 13.44 mm for 2/0 RW90, CEC Table 6A.
"""

from __future__ import annotations

import csv
import re
from itertools import pairwise
from math import hypot
from pathlib import Path

import pytest
from click.testing import CliRunner

from modelcheck.cli import main
from tests.builders.compare import MESHED, differences, tables
from tests.builders.expect import expect
from tests.builders.samples import SAMPLES, make_samples
from tests.run_program import assert_form_holds, check

HERE = Path(__file__).parent
MODELS = HERE.parents[1] / "sample_models"
OD_SLACK_MM = 0.3
CODES = ("cec", "nec")
CASES = [pytest.param(sample, code, id=f"{sample.file}-{code}")
         for sample in SAMPLES for code in CODES]  # fmt: skip


def _table(name: str) -> list[dict[str, str]]:
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def _worked(expression: str) -> float:
    """Work out an expression of the tables: sums, products with x, and hypot."""
    found = re.fullmatch(r"hypot\((.*), (.*)\)", expression)
    if found:
        return hypot(_worked(found[1]), _worked(found[2]))
    total = 0.0
    for sign, product in re.findall(r"(^|[+-] )([\d. x]+)", expression):
        term = 1.0
        for factor in product.split("x"):
            term *= float(factor)
        total += -term if sign == "- " else term
    return total


@pytest.fixture(scope="module")
def results(tmp_path_factory):
    """Folder of results by sample and code, made once each."""
    made: dict[tuple[str, str], Path] = {}

    def of(sample, code):
        key = (sample.file, code)
        if key not in made:
            out = tmp_path_factory.mktemp("samples") / "out"
            pulls = ["--pulls", str(MODELS / sample.pulls)] if sample.pulls else []
            check([MODELS / sample.file], out, "--code", code, "--units", "mm", *pulls)
            made[key] = out
        return made[key]

    return of


def test_samples_are_the_bytes_that_the_builders_make(tmp_path):
    make_samples(tmp_path)
    for sample in SAMPLES:
        assert (tmp_path / sample.file).read_bytes() == (MODELS / sample.file).read_bytes()


def test_samples_are_few_and_large_enough():
    plants = [sample.plant() for sample in SAMPLES]
    assert sum(len(plant.boxes) for plant in plants) >= 40
    assert sum(len(plant.routes) for plant in plants) >= 60
    assert len(list(MODELS.iterdir())) <= 10


@pytest.mark.parametrize(("sample", "code"), CASES)
def test_the_form_of_the_results_holds(sample, code, results):
    assert_form_holds(results(sample, code), [MODELS / sample.file])


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.file)
def test_the_tables_say_what_was_built(sample, results):
    expected = expect(sample.plant(), sample.habit)
    assert differences(results(sample, "cec"), expected, MESHED) == []


@pytest.mark.parametrize(("sample", "code"), CASES)
def test_boxes_come_to_what_was_worked_by_hand(sample, code, results):
    expected = expect(sample.plant(), sample.habit)
    conduit = {(entry.run, entry.box_guid): entry.conduit_guid for entry in expected.entries}
    rows = _rows_by_subject(results(sample, code))
    for hand in _table("boxes_by_hand.csv"):
        guid = expected.guids.get(hand["box"])
        if guid is None:
            continue
        entries = {conduit[run, guid] for run in hand["runs"].split(";") if run}
        key = (guid, hand["check"], frozenset(entries))
        row = rows.pop(key, None) if entries else _pop_any(rows, guid, hand["check"])
        assert row or hand["made"] != "always", f"{hand['box']}: no row {hand}"
        if row:
            assert _faults(row, hand, code) == [], hand
    left = [key for key in rows if key[1] not in ("run-continuity",) and key[0] in _guids(expected)]
    assert left == []


def _guids(expected) -> set[str]:
    return {box.box_guid for box in expected.boxes}


def _rows_by_subject(folder: Path) -> dict[tuple[str, str, frozenset[str]], dict[str, str]]:
    return {
        (row["subject_guid"], row["check"], frozenset(row["element_guids"].split(";"))): row
        for row in tables(folder)["findings"]
    }


def _pop_any(rows, guid: str, check_name: str) -> dict[str, str] | None:
    key = next((key for key in rows if key[:2] == (guid, check_name)), None)
    return rows.pop(key) if key else None


def _faults(row: dict[str, str], hand: dict[str, str], code: str) -> list[str]:
    """What a row says otherwise than the hand."""
    found = []
    if row["outcome"] != hand[code]:
        found.append(f"outcome {row['outcome']}")
    in_volume = hand["check"] == "box-volume"
    inch = 1.0
    if code == "nec":
        inch = 25.4 if not in_volume else 2.54**3
    for column, expression, unit in (
        ("required", hand[f"{code}_required"], inch),
        ("provided", hand["provided"], 1.0),
    ):
        value = float(row[column] or "nan")
        if expression and not abs(value - unit * _worked(expression)) <= OD_SLACK_MM:
            found.append(f"{column} {row[column]} for {expression}")
    return found


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.file)
def test_runs_come_to_what_was_worked_by_hand(sample, results):
    by_hand = {row["run"]: row for row in _table("runs_by_hand.csv")}
    rows = {row["element_guids"]: row for row in tables(results(sample, "cec"))["runs"]}
    for run in expect(sample.plant(), sample.habit).runs:
        row, hand = rows[";".join(run.element_guids)], by_hand.get(run.id)
        assert row["outcome"] == (hand["outcome"] if hand else "pass"), run.id
        if hand:
            assert float(row["bend_total_deg"]) == _worked(hand["bends_deg"])


@pytest.mark.parametrize(("sample", "code"), CASES)
def test_the_readme_says_what_each_box_comes_to(sample, code, results):
    said = _readme_outcomes(code)
    expected = expect(sample.plant(), sample.habit)
    rows = {row["box_guid"]: row["outcome"] for row in tables(results(sample, code))["boxes"]}
    for box in expected.boxes:
        assert rows[box.box_guid] == said[box.id], box.id


def _readme_outcomes(code: str) -> dict[str, str]:
    text = (MODELS / "README.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| ([A-Z]+-\d+) \| ([\w-]+) \| ([\w-]+) \| .+ \|$", text, re.MULTILINE)
    return {box: dict(zip(CODES, outcomes, strict=True))[code] for box, *outcomes in rows}


def test_a_run_crosses_from_one_file_into_another(tmp_path):
    models = [MODELS / "yard.ifc", MODELS / "control-house.ifc"]
    check(models, tmp_path / "out")
    yard, house = (expect(sample.plant(), sample.habit) for sample in SAMPLES[:2])
    parts = {run.id: run for run in (*yard.runs, *house.runs)}
    whole = {*parts["Y-12"].element_guids, *parts["C-1"].element_guids}
    rows = tables(tmp_path / "out")["runs"]
    (row,) = (row for row in rows if set(row["element_guids"].split(";")) == whole)
    assert (row["outcome"], row["bend_total_deg"]) == ("pass", "90.0")
    assert {row["start_guid"], row["end_guid"]} == {yard.guids["HH-10"], house.guids["CH-1"]}


def test_boxes_are_where_the_drawings_of_the_site_have_them(tmp_path):
    """Worked by hand: lines A to D lie 9 m apart from y = 0, lines 1 to 11 from x = -36 m."""
    check([MODELS / sample.file for sample in SAMPLES], tmp_path / "out")
    columns = ("storey", "height_m", "space", "grid", "system", "trade")
    told = {
        row["name"].split()[-1]: tuple(row[column] for column in columns)
        for row in tables(tmp_path / "out")["boxes"]
    }
    wanted = {
        "HH-8": ("Yard", "-0.600", "", "C/5", "House feeder", "electrical"),
        "HH-9": ("Yard", "-0.600", "", "C/6", "House feeder;Yard lighting", "electrical"),
        "CH-3": ("Ground floor", "1.600", "101 Switch room", "C/9", "House feeder", "electrical"),
        "CH-11": ("Loft", "0.250", "201 Loft", "D/8", "House lighting", "electrical"),
        "DM-5": ("Observing floor", "0.300", "D3 Dome", "B/3", "Dome drive", ""),
        "GS-3": ("Cable trench", "0.600", "", "A/10", "Generator", "electrical"),
        "GS-6": ("Ground floor", "1.500", "G3 Batteries", "B/10", "Batteries", "electrical"),
    }
    assert {name: told[name] for name in wanted} == wanted


def test_all_four_are_one_project_that_the_schedule_and_a_draft_of_it_fit(tmp_path):
    models = [MODELS / sample.file for sample in SAMPLES]
    check(models, tmp_path / "out", "--pulls", str(MODELS / "PULLS.csv"))
    rows = {row["box_guid"]: row["outcome"] for row in tables(tmp_path / "out")["boxes"]}
    for sample in SAMPLES:
        for box in expect(sample.plant(), sample.habit).boxes:
            assert rows[box.box_guid] == _readme_outcomes("cec")[box.id], box.id
    draft = tmp_path / "PULLS.csv"
    result = CliRunner().invoke(main, ["pulls", *map(str, models), "--out", str(draft)])
    assert "Left out" not in result.output
    check(models, tmp_path / "again", "--pulls", str(draft))


def test_the_commands_of_the_readme_run_and_its_box_comes_to_pass(tmp_path, monkeypatch):
    text = (MODELS / "README.md").read_text(encoding="utf-8")
    commands = re.findall(r"^    modelcheck (.+)$", text, re.MULTILINE)
    assert len(commands) >= 7
    monkeypatch.chdir(MODELS.parent)
    for command in commands:
        arguments = [str(tmp_path / each) if before == "--out" else each
                     for before, each in pairwise(["", *command.split()])]  # fmt: skip
        result = CliRunner().invoke(main, arguments)
        assert result.exit_code in (0, 1), f"{command}: {result.output}"
    assert "as proposed" in result.output
    assert result.exit_code == 0
    (picture,) = (MODELS / "pictures").glob("*.proposed.svg")
    (drawn,) = (tmp_path / "drawings").glob("*.svg")
    assert drawn.read_bytes() == picture.read_bytes(), "run scripts/make_samples"
    assert "PASS" in drawn.read_text(encoding="utf-8")


def test_settings_answer_what_the_dome_leaves_open(tmp_path):
    sample = SAMPLES[2]
    settings = ["--settings", str(MODELS / "SETTINGS.toml")]
    check([MODELS / sample.file], tmp_path / "out", *settings)
    expected = expect(sample.plant(), sample.habit)
    found = tables(tmp_path / "out")
    (box,) = (row for row in found["boxes"] if row["box_guid"] == expected.guids["DM-8"])
    assert (box["cover"], box["outcome"]) == ("+z", "pass")
    stub = expected.guids["D-10/S1"]
    assert [row["outcome"] for row in found["runs"] if row["element_guids"] == stub] == ["pass"]
    loose = [row for row in found["findings"] if row["check"] == "run-continuity"]
    assert stub not in {row["element_guids"] for row in loose}
