"""``modelcheck compare`` and ``check --since``."""

import csv
import json
import shutil

import pytest
from click.testing import CliRunner

from modelcheck.cli import main
from tests.run_program import assert_form_holds, check
from tests.unit.changes.staged import FIRST, issue, rows_of
from tests.unit.changes.test_staged_pairs import GROWN

CONTRACT = ["change", "finding", "old_finding", "matched_by", "model", "check"]


@pytest.fixture(scope="module")
def weeks(tmp_path_factory):
    folder = tmp_path_factory.mktemp("weeks")
    return issue(FIRST, folder / "first"), issue(GROWN, folder / "grown")


def compare(*arguments):
    return CliRunner().invoke(main, ["compare", *map(str, arguments)])


def test_better_is_0_and_worse_is_1(weeks):
    first, grown = weeks
    better, worse = compare(first, grown), compare(grown, first)
    assert (better.exit_code, worse.exit_code) == (0, 1)
    assert "other verdict" in better.output
    assert "1 of the rows fail and didn't fail before." in worse.output
    assert compare(first, first).exit_code == 0


def test_the_table_is_written_where_it_is_asked_for_and_nowhere_else(weeks, tmp_path):
    first, grown = weeks
    before = {path.name: path.read_bytes() for path in first.iterdir()}
    result = compare(grown, first, "--out", tmp_path / "out")
    assert result.exit_code == 1
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["changes.csv"]
    rows = rows_of(tmp_path / "out", "changes.csv")
    assert list(rows[0])[:6] == CONTRACT
    assert rows[0]["change"] == "changed-verdict"
    assert (rows[0]["old_outcome"], rows[0]["outcome"]) == ("pass", "fail")
    assert (rows[0]["old_provided"], rows[0]["provided"]) == ("450.0", "300.0")
    assert rows[0]["why"] == "the box shrank: x 450 to 300 mm"
    assert {path.name: path.read_bytes() for path in first.iterdir()} == before


@pytest.mark.parametrize(
    ("damage", "told"),
    [
        pytest.param(shutil.rmtree, "no such folder", id="no-folder"),
        pytest.param(
            lambda out: (out / "findings.csv").unlink(), "findings.csv is missing", id="no-table"
        ),
        pytest.param(
            lambda out: (out / "summary.json").unlink(), "summary.json is missing", id="no-summary"
        ),
        pytest.param(
            lambda out: (out / "summary.json").write_text("{}"),
            "not the summary of a check",
            id="other-json",
        ),
        pytest.param(
            lambda out: (out / "summary.json").write_text('{"inputs": [1], "settings": {}}'),
            "not the summary of a check",
            id="wrong-json",
        ),
        pytest.param(
            lambda out: (out / "boxes.csv").write_text("a,b\n"),
            "boxes.csv:1: the column 'box_guid' is missing",
            id="other-columns",
        ),
        pytest.param(
            lambda out: (out / "boxes.csv").write_bytes(b"\xff\xfe\x00"), "UTF-8", id="no-text"
        ),
        pytest.param(
            lambda out: spoiled(out / "findings.csv", "fail", "failed"),
            "outcome is 'failed', it must be one of pass, fail, needs-input",
            id="other-outcome",
        ),
        pytest.param(
            lambda out: spoiled(out / "findings.csv", "318.0", "about 318"),
            "required is 'about 318', it must be a number",
            id="no-number",
        ),
        pytest.param(
            lambda out: spoiled(out / "findings.csv", ",mm,", ",km,"), "unit is 'km'", id="unit"
        ),
        pytest.param(
            lambda out: spoiled(out / "entries.csv", ",-x,", ",x,"), "wall is 'x'", id="wall"
        ),
        pytest.param(
            lambda out: doubled(out / "findings.csv"), "is told twice", id="finding-twice"
        ),
        pytest.param(
            lambda out: spoiled(out / "summary.json", '"boxes": []', '"boxes": [7]'),
            "not the summary of a check",
            id="other-settings",
        ),
        pytest.param(
            lambda out: spoiled(out / "summary.json", '"pulls": null', '"pulls": "x"'),
            "not the summary of a check",
            id="other-schedule",
        ),
        pytest.param(
            lambda out: spoiled(out / "runs.csv", "EMT,2,", "EMT,2,,"),
            "too many cells",
            id="cells",
        ),
    ],
)
def test_a_folder_without_whole_results_is_2_with_one_sentence(weeks, tmp_path, damage, told):
    first, _ = weeks
    other = tmp_path / "other"
    shutil.copytree(first, other)
    damage(other)
    for result in (compare(other, first, "--out", tmp_path / "x"), compare(first, other)):
        assert result.exit_code == 2
        assert told in result.stderr
        assert result.stderr.count("\n") == 1
    assert not (tmp_path / "x").exists()


def doubled(path):
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    path.write_text("".join([*lines, lines[-1]]), encoding="utf-8")


def spoiled(path, old, new):
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_a_name_with_a_line_separator_or_a_formula_is_read_back_as_it_was(tmp_path):
    out = issue(FIRST, tmp_path / "first")
    with (out / "findings.csv").open(encoding="utf-8", newline="") as handle:
        rows = list(csv.DictReader(handle))
    for row in rows:
        row["subject_name"] = '\'=1+1\u2028\x0b"quoted",\nnext'
    with (out / "findings.csv").open("w", encoding="utf-8", newline="") as handle:
        writer = csv.DictWriter(handle, rows[0].keys())
        writer.writeheader()
        writer.writerows(rows)
    result = compare(out, out, "--out", tmp_path / "out")
    assert result.exit_code == 0, result.output
    told = rows_of(tmp_path / "out", "changes.csv")
    assert {row["subject_name"] for row in told} == {rows[0]["subject_name"]}


def test_a_check_since_an_earlier_one_has_the_same_table_as_compare(weeks, tmp_path):
    first, grown = weeks
    model, out = first.parent / "plant.ifc", tmp_path / "out"
    result = check([model], out, "--since", str(grown))
    assert result.exit_code == 1
    assert "Since results: " in result.output
    assert_form_holds(out, [model])
    compare(grown, first, "--out", tmp_path / "compared")
    written = [(folder / "changes.csv").read_bytes() for folder in (out, tmp_path / "compared")]
    assert written[0] == written[1]
    summary = json.loads((out / "summary.json").read_text(encoding="utf-8"))
    assert summary["changes"]["counts"]["changed-verdict"] == 1
    check([model], out)
    assert not (out / "changes.csv").exists()


def test_the_earlier_results_are_an_input_and_not_written_over(weeks):
    first, _ = weeks
    before = {path.name: path.read_bytes() for path in first.iterdir()}
    arguments = [str(first.parent / "plant.ifc"), "--out", str(first), "--since", str(first)]
    result = CliRunner().invoke(main, ["check", *arguments])
    assert result.exit_code == 2
    assert "written over" in result.stderr
    assert {path.name: path.read_bytes() for path in first.iterdir()} == before


def test_results_of_a_version_without_places_are_compared_by_their_ids(weeks, tmp_path):
    first, grown = weeks
    old = tmp_path / "old"
    shutil.copytree(first, old)
    later = ("storey", "grid", "space", "system", "trade", "height_m", "storey_elevation_m")
    for name, places in (("findings.csv", ()), ("boxes.csv", "xyz"), ("runs.csv", "xyz")):
        rows = rows_of(old, name)
        dropped = {*later, *(f"{each}_m" for each in places), *(f"end_{each}_m" for each in places)}
        kept = [column for column in rows[0] if column not in dropped]
        with (old / name).open("w", encoding="utf-8", newline="") as handle:
            writer = csv.DictWriter(handle, kept, extrasaction="ignore")
            writer.writeheader()
            writer.writerows(rows)
    assert compare(old, grown).exit_code == 0
    assert compare(grown, old).exit_code == 1
