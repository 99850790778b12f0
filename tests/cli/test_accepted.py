"""Accepted exceptions from the settings to the files."""

import json

from tests.run_program import assert_form_holds, check
from tests.unit.changes.staged import FIRST, issue, rows_of

ANGLE = """
[[accepted]]
box = "Pull box PB-2"
check = "angle-pull-distance"
by = "R. Person"
on = 2026-01-05
until = 2026-06-30
why = "opened from two sides"
required = 318
provided = {provided}
unit = "mm"
"""


def test_an_accepted_fail_is_told_everywhere_and_fails_all_the_same(tmp_path):
    out = issue(FIRST, tmp_path / "first")
    model, settings = out.parent / "plant.ifc", tmp_path / "SETTINGS.toml"
    settings.write_text(ANGLE.format(provided=300), encoding="utf-8")
    options = ("--settings", str(settings), "--since", str(out), "--on")

    held = check([model], tmp_path / "held", *options, "2026-06-30")
    assert held.exit_code == 1
    assert_form_holds(tmp_path / "held", [model])
    (row,) = [row for row in rows_of(tmp_path / "held") if row["accepted_by"]]
    assert (row["check"], row["outcome"]) == ("angle-pull-distance", "fail")
    assert row["accepted_until"] == "2026-06-30"
    assert "Accepted: 1 of the rows that fail" in held.output
    summary = json.loads((tmp_path / "held" / "summary.json").read_text(encoding="utf-8"))
    assert summary["accepted"] == {
        "asked_on": "2026-06-30",
        "counts": {"angle-pull-distance": 1},
        "stale": [],
    }
    assert summary["counts"]["angle-pull-distance"]["fail"] == 1
    changes = rows_of(tmp_path / "held", "changes.csv")
    assert "accepted by R. Person" in {row["why"] for row in changes}

    ended = check([model], tmp_path / "ended", *options, "2026-07-01")
    assert not [row for row in rows_of(tmp_path / "ended") if row["accepted_by"]]
    assert "ended on 2026-06-30" in " ".join(ended.output.split())

    settings.write_text(ANGLE.format(provided=310), encoding="utf-8")
    worse = check([model], tmp_path / "worse", *options, "2026-06-30")
    assert "got worse" in " ".join(worse.output.split())
    assert not [row for row in rows_of(tmp_path / "worse") if row["accepted_by"]]


def test_what_the_results_hang_on_has_the_day_only_where_something_is_accepted(tmp_path):
    out = issue(FIRST, tmp_path / "first")
    model, settings = out.parent / "plant.ifc", tmp_path / "SETTINGS.toml"

    def key(text, day):
        settings.write_text(text, encoding="utf-8")
        check([model], tmp_path / "out", "--settings", str(settings), "--on", day)
        summary = json.loads((tmp_path / "out" / "summary.json").read_text(encoding="utf-8"))
        return summary["asked_sha256"]

    accepted = ANGLE.format(provided=300)
    assert key(accepted, "2026-06-30") != key(accepted, "2026-07-01")
    assert key("[options]\n", "2026-06-30") == key("[options]\n", "2026-07-01")
