"""What a notebook or a script calls."""

import csv
import pickle
import subprocess
import sys
from pathlib import Path

import pytest

import modelcheck
from tests.run_program import check as command

ROOT = Path(__file__).parents[2]
SHED = ROOT / "sample_models" / "generator-shed.ifc"
PULLS = ROOT / "sample_models" / "PULLS.csv"


def contents(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.fixture(scope="module")
def report():
    return modelcheck.check(SHED, pulls=PULLS)


def test_what_is_written_of_a_report_is_what_the_command_writes(report, tmp_path):
    written = modelcheck.write_results(report, tmp_path / "api")
    command([SHED], tmp_path / "command", "--pulls", str(PULLS))
    assert {path.name for path in written} == set(contents(tmp_path / "api"))
    assert contents(tmp_path / "api") == contents(tmp_path / "command")


def test_a_report_is_plain_records_that_can_be_kept(report):
    assert pickle.loads(pickle.dumps(report)) == report
    assert report.failed
    assert report.fixes
    assert [case.enclosure for case in report.cases] == [row.enclosure for row in report.boxes]
    assert [len(case.entries) for case in report.cases] == [row.entry_count for row in report.boxes]


def test_options_are_those_of_the_command(tmp_path):
    report = modelcheck.check([SHED], code="nec", edition=2023, units="mm", pulls=str(PULLS))
    options = ("--code", "nec", "--units", "mm", "--pulls", str(PULLS))
    command([SHED], tmp_path / "out", *options)
    with (tmp_path / "out" / "findings.csv").open(encoding="utf-8", newline="") as handle:
        rows = list(csv.DictReader(handle))
    assert [row["finding"] for row in rows] == [each.id for each in report.findings]
    assert [row["outcome"] for row in rows] == [str(each.outcome) for each in report.findings]
    assert {row["code"] for row in rows} == {"nec"}


def test_a_model_that_was_changed_since_is_refused_and_nothing_is_written(tmp_path):
    model = tmp_path / "shed.ifc"
    model.write_bytes(SHED.read_bytes())
    report = modelcheck.check(model)
    model.write_bytes(SHED.read_bytes().replace(b"Pull box GS-5", b"Pull box GS-6"))
    with pytest.raises(modelcheck.ModelcheckError, match=r"shed\.ifc.* changed .* check it again"):
        modelcheck.write_results(report, tmp_path / "out")
    model.unlink()
    with pytest.raises(modelcheck.ModelcheckError, match=r"shed\.ifc.*no such file"):
        modelcheck.write_results(report, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_the_schedule_of_a_report_is_not_written_over(tmp_path):
    schedule = tmp_path / "schedule.csv"
    schedule.write_bytes(PULLS.read_bytes())
    report = modelcheck.check(SHED, pulls=schedule)
    with pytest.raises(modelcheck.ModelcheckError, match=r"schedule\.csv.* written over"):
        modelcheck.write_results(report, tmp_path)
    assert contents(tmp_path) == {"schedule.csv": PULLS.read_bytes()}


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        pytest.param({"code": "xyz"}, "code is 'xyz', it must be cec or nec", id="code"),
        pytest.param({"edition": 1900}, "2024", id="edition"),
        pytest.param({"basis": "feet"}, "it must be metric or inch", id="basis"),
        pytest.param({"units": "m"}, "it must be mm or in", id="units"),
        pytest.param({"settings": "none.toml"}, r"none\.toml", id="settings"),
    ],
)
def test_what_cannot_be_used_is_told_in_one_sentence(wrong, told):
    with pytest.raises(modelcheck.ModelcheckError, match=told):
        modelcheck.check(SHED, **wrong)


def test_the_package_alone_loads_nothing_heavy():
    code = (
        "import sys, modelcheck; "
        "print({'ifcopenshell', 'numpy', 'scipy', 'jinja2'} & set(sys.modules))"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "set()"


def test_type_checkers_see_the_types():
    assert (Path(modelcheck.__file__).parent / "py.typed").is_file()
