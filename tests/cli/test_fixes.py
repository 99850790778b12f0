"""What fixes.csv proposes passes when it is put into the settings and checked again."""

import csv
from pathlib import Path

import pytest
from click.testing import CliRunner

from modelcheck.cli import main

SAMPLES = Path(__file__).parents[2] / "sample_models"
SHED = (SAMPLES / "generator-shed.ifc", "--pulls", SAMPLES / "PULLS.csv")


def check(out, *arguments):
    result = CliRunner().invoke(main, ["check", *map(str, arguments), "--out", str(out)])
    assert result.exit_code in (0, 1), result.output
    tables = {}
    for name in ("fixes.csv", "boxes.csv"):
        with (out / name).open(encoding="utf-8", newline="") as handle:
            tables[name] = list(csv.DictReader(handle))
    return tables


@pytest.mark.parametrize(
    ("change", "options"),
    [
        pytest.param("enlarged", (), id="enlarged"),
        pytest.param("next standard", (), id="next-standard"),
        pytest.param("enlarged", ("--code", "nec"), id="enlarged-nec"),
    ],
)
def test_size_put_into_the_settings_makes_the_box_pass(change, options, tmp_path):
    first = check(tmp_path / "first", *SHED, *options)
    sizes = {
        row["box_guid"]: (row["to"].split(" x "), row["unit"])
        for row in first["fixes.csv"]
        if row["change"] == change and row["to"] and "still to be told" not in row["message"]
    }
    assert sizes
    settings = tmp_path / "SETTINGS.toml"
    lines = [
        f'[box."{guid}"]\ninside_{unit} = [{", ".join(size)}]\n'
        for guid, (size, unit) in sizes.items()
    ]
    settings.write_text("".join(lines), encoding="utf-8")
    again = check(tmp_path / "again", *SHED, *options, "--settings", settings)
    outcomes = {row["box_guid"]: row["outcome"] for row in again["boxes.csv"]}
    before = {row["box_guid"]: row["outcome"] for row in first["boxes.csv"]}
    assert all(before[guid] != "pass" for guid in sizes)
    assert {guid: outcomes[guid] for guid in sizes} == dict.fromkeys(sizes, "pass")


def test_boxes_that_pass_are_sized_on_request_only(tmp_path):
    asked = check(tmp_path / "all", SAMPLES / "dome.ifc", "--size-all")
    unasked = check(tmp_path / "short", SAMPLES / "dome.ifc")
    passing = {row["box_guid"] for row in asked["boxes.csv"] if row["outcome"] == "pass"}
    assert passing
    assert passing <= {row["box_guid"] for row in asked["fixes.csv"]}
    assert not passing & {row["box_guid"] for row in unasked["fixes.csv"]}


def test_boxes_at_hand_are_chosen_from_in_place_of_the_market(tmp_path):
    settings = tmp_path / "SETTINGS.toml"
    settings.write_text("[boxes_at_hand]\ninside_mm = [[1000, 1000, 400]]\n", encoding="utf-8")
    rows = check(tmp_path / "out", *SHED, "--settings", settings)["fixes.csv"]
    sizes = {row["to"] for row in rows if row["change"] == "next standard" and row["to"]}
    assert sizes
    assert all(sorted(each.split(" x ")) == ["1000.0", "1000.0", "400.0"] for each in sizes)
