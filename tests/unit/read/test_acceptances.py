"""Tables ``[[accepted]]`` of the settings."""

import pytest

from modelcheck.errors import InputFileError
from modelcheck.model.acceptance import Acceptance
from modelcheck.model.settings import Options
from modelcheck.read.settings import read_settings

WHOLE = {
    "finding": '"entry-spacing-0123"',
    "by": '"R. Person"',
    "on": "2026-01-05",
    "why": '"letter"',
    "until": "2026-06-30",
    "required": "318",
    "provided": "300.5",
    "unit": '"mm"',
}


def read(tmp_path, **changes):
    keys = {key: value for key, value in (WHOLE | changes).items() if value is not None}
    path = tmp_path / "SETTINGS.toml"
    lines = ["[[accepted]]", *(f"{key} = {value}" for key, value in keys.items())]
    path.write_text("\n".join(lines), encoding="utf-8")
    return read_settings(path, Options()).accepted


def test_everything_that_is_said_is_read(tmp_path):
    assert read(tmp_path) == (
        Acceptance(
            finding="entry-spacing-0123",
            by="R. Person",
            on="2026-01-05",
            why="letter",
            until="2026-06-30",
            required=318.0,
            provided=300.5,
            unit="mm",
        ),
    )


def test_a_box_and_a_check_stand_for_a_finding_and_dates_may_be_texts(tmp_path):
    changes = {"finding": None, "box": '"PB-1"', "check": '"cover-depth"', "on": '"2026-01-05"'}
    bare = dict.fromkeys(("until", "required", "provided", "unit"))
    (accepted,) = read(tmp_path, **changes, **bare)
    assert (accepted.box, accepted.check, accepted.on) == ("PB-1", "cover-depth", "2026-01-05")
    assert (accepted.until, accepted.required, accepted.unit) == ("", None, "")


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        pytest.param({"finding": None}, ":1: accepted 1 must give either", id="nothing-named"),
        pytest.param({"box": '"PB-1"'}, "must give either", id="both-named"),
        pytest.param({"finding": None, "box": '"PB-1"'}, "must give its check", id="no-check"),
        pytest.param(
            {"finding": None, "box": '"PB-1"', "check": '"bend-radius"'},
            "accepted 1 check is 'bend-radius'",
            id="check-of-a-run",
        ),
        pytest.param({"by": None}, "must give its by", id="nobody"),
        pytest.param({"why": None}, "must give its why", id="no-reason"),
        pytest.param({"why": '" "'}, "why is ' '", id="blank-reason"),
        pytest.param({"on": None}, "must give its on", id="no-day"),
        pytest.param({"on": '"5 January"'}, ":4: accepted 1 on is '5 January'", id="no-date"),
        pytest.param({"on": "2026-01-05T10:00:00"}, "must be a date", id="time-of-day"),
        pytest.param({"on": "20260105"}, "must be a date", id="number"),
        pytest.param({"until": "2026-01-04"}, "before it was accepted", id="ends-before"),
        pytest.param({"provided": None}, "both required and provided", id="half"),
        pytest.param({"required": '"318"'}, "must be a number", id="text-for-a-number"),
        pytest.param({"unit": '"m"'}, "unit is 'm'", id="unit"),
        pytest.param({"reason": '"x"'}, "reason is not known", id="unknown-key"),
    ],
)
def test_what_cannot_be_used_is_named_with_its_line(tmp_path, changes, told):
    with pytest.raises(InputFileError) as error:
        read(tmp_path, **changes)
    assert told in str(error.value)
    assert error.value.line
