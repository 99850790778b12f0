"""Wrong schedules, settings and box files: one sentence with its place, and DIR as it was."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest
from click.testing import CliRunner

from modelcheck.cli import main

SAMPLES = Path(__file__).parents[2] / "sample_models"
SHED, PULLS = SAMPLES / "generator-shed.ifc", SAMPLES / "PULLS.csv"
HEADER, ROW = "pull,conductor_size,insulation,count,route\n", "F1,4/0 AWG,RW90,3,G-10/S1\n"
SPOILT_BY_LOT = 12


def check(tmp_path, name, raw):
    """Check the shed with an input of that content, over a folder with old results."""
    path, out = tmp_path / name, tmp_path / "out"
    path.write_bytes(raw if isinstance(raw, bytes) else raw.encode())
    out.mkdir(exist_ok=True)
    (out / "findings.csv").write_text("old")
    option = "--pulls" if name.endswith(".csv") else "--settings"
    result = CliRunner().invoke(main, ["check", str(SHED), "--out", str(out), option, str(path)])
    return result, out


def assert_refused(result, out, *parts):
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    assert result.stderr.count("\n") == 1
    for part in parts:
        assert part in result.stderr
    assert [each.name for each in out.iterdir()] == ["findings.csv"]
    assert (out / "findings.csv").read_text() == "old"


@pytest.mark.parametrize(
    ("raw", "parts"),
    [
        pytest.param(HEADER + ROW.replace("G-10/S1", "G-99"), [":2:", "G-99"], id="unknown"),
        pytest.param(
            HEADER + ROW.replace("G-10/S1", "G-10/S9"), [":2:", "near to it: G-10/S1"], id="near"
        ),
        pytest.param(
            HEADER + ROW.replace("G-10/S1", "G-10/S1;G-16/S1"), [":2:", "jumps from"], id="jump"
        ),
        pytest.param(
            HEADER + ROW + ROW.replace("G-10/S1", "G-11/S1"),
            [":3:", "another route on line 2"],
            id="one-pull-with-two-routes",
        ),
        pytest.param(HEADER + ROW.replace("F1", "F;1"), [":2:", "';' in its name"], id="name"),
        pytest.param(HEADER + ROW.replace(",3,", ",-3,"), [":2:", "count is '-3'"], id="negative"),
        pytest.param(HEADER + ROW.replace(",3,", ",three,"), [":2:", "'three'"], id="worded"),
        pytest.param(HEADER + ROW.replace("4/0 AWG", "5/0 AWG"), [":2:", "5/0 AWG"], id="size"),
        pytest.param(HEADER + '"F1,4/0 AWG,RW90,3,G-10/S1\n', [":2:", "quote"], id="open-quote"),
        pytest.param(HEADER.replace("count", "number") + ROW, [":1:", "count"], id="renamed"),
        pytest.param(HEADER + ROW.replace("F1", "x" * 200_000), [":2:"], id="huge-cell"),
        pytest.param(b"\x00" * 4096, [".csv"], id="zeros"),
        pytest.param(b"\xff\xfe\x00\xd8" * 9, [".csv"], id="half-pairs"),
        pytest.param(b"PK\x03\x04" + bytes(range(256)), [".csv:1:"], id="a-workbook"),
    ],
)
def test_a_wrong_schedule_is_one_sentence_with_its_row(tmp_path, raw, parts):
    assert_refused(*check(tmp_path, "P.csv", raw), "P.csv", *parts)


@pytest.mark.parametrize(
    "encoding", ["utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252", "latin-1"]
)
@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_a_schedule_of_any_spreadsheet_comes_to_the_same(tmp_path, encoding, separator):
    text = (HEADER + ROW).replace(",", separator).replace("F1", "Zuführung é")
    result, out = check(tmp_path, "P.csv", text.encode(encoding))
    assert result.exit_code in (0, 1), result.output
    assert "Zuführung é" in (out / "entries.csv").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("raw", "parts"),
    [
        pytest.param("[tolerance]\njoin_mm = 3", [":1:", "'tolerances'"], id="unknown-table"),
        pytest.param("[limits]\nrun_lenght_m = 3", [":2:", "'run_length_m'"], id="unknown-key"),
        pytest.param("[select]\nbox = 'IfcWal'", [":2:", "'IfcWall'"], id="unknown-class"),
        pytest.param("[select]\nbox = 'IfcWall, a=('", [":2:", "selector"], id="half-a-query"),
        pytest.param("[select]\nbox = 1", [":2:", "text"], id="number-for-a-query"),
        pytest.param("a = [", ["not TOML"], id="not-toml"),
        pytest.param("a = 1\na = 2", [":2:", "not TOML"], id="key-twice"),
        pytest.param(b"\xff\xfe", ["UTF-8"], id="utf-16"),
        pytest.param("[limits]\nrun_length_m = 1e400", [":2:"], id="infinite"),
        pytest.param("[limits]\nrun_length_m = -0.0", [":2:"], id="minus-zero"),
    ],
)
def test_wrong_settings_are_one_sentence_with_their_line(tmp_path, raw, parts):
    assert_refused(*check(tmp_path, "S.toml", raw), "S.toml", *parts)


@pytest.mark.parametrize("name", ["PULLS.csv", "SETTINGS.toml", "BOX.toml"])
def test_a_file_damaged_by_lot_is_read_or_refused_in_one_sentence(tmp_path, name):
    raw, lot = (SAMPLES / name).read_bytes(), Random(name)
    for _ in range(SPOILT_BY_LOT):
        spoilt = bytearray(raw)
        for _ in range(lot.randint(1, 4)):
            at = lot.randrange(len(spoilt))
            spoilt[at : at + lot.choice((0, 1, 9))] = lot.randbytes(lot.choice((0, 1, 2)))
        path = tmp_path / name
        path.write_bytes(spoilt)
        option = {"PULLS.csv": "--pulls", "SETTINGS.toml": "--settings"}.get(name)
        command = ["check", str(SHED), "--out", str(tmp_path / "out"), option, str(path)]
        if option is None:
            command = ["size", str(path)]
        result = CliRunner().invoke(main, command)
        assert result.exit_code in (0, 1, 2), (result.output, bytes(spoilt))
        assert result.exception is None or isinstance(result.exception, SystemExit), bytes(spoilt)
        if result.exit_code == 2:
            assert_one_line(result.stderr)


def assert_one_line(text):
    assert text.count("\n") == 1
    assert text.endswith((".\n", "?\n", "!\n"))
