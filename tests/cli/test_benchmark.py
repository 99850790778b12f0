"""scripts/benchmark measures and tells what it measured; how long things take is not asserted."""

import json
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

SCRIPT = Path(__file__).parents[2] / "scripts" / "benchmark"


@pytest.fixture(scope="module")
def measured(tmp_path_factory):
    out = tmp_path_factory.mktemp("measured")
    sizes = ["40", "80", "--repeats", "1", "--models", "2", "--each", "40"]
    command = [sys.executable, str(SCRIPT), *sizes, "--out", str(out), "--work", str(out)]
    told = subprocess.run(command, capture_output=True, text=True, check=True)
    return out, told.stdout, json.loads((out / "benchmark.json").read_text(encoding="utf-8"))


def test_each_size_has_both_processes_and_their_ratio(measured):
    _, _, found = measured
    assert [each["elements"] for each in found["sizes"]] == [68, 164]
    for each in found["sizes"]:
        ours, yardstick = each["check"], each["yardstick"]
        for ratio, key in (("wall", "wall_s"), ("cpu", "cpu_s"), ("peak", "peak_mb")):
            wanted = ours[key]["median"] / yardstick[key]["median"]
            assert each["ratio"][ratio]["median"] == pytest.approx(wanted, rel=0.05)
    assert found["growth"]["check"] is not None


def test_the_stages_of_a_check_are_told(measured):
    _, _, found = measured
    for each in found["sizes"]:
        assert {"starting", "opening models", "tracing runs", "checking"} <= set(each["stages"])
        assert sum(stage["wall_s"] for stage in each["stages"].values()) > 0


def test_a_federation_is_measured_with_one_worker_and_with_two(measured):
    _, _, found = measured
    told = found["federation"]
    assert (told["models"], told["elements"]) == (2, 68 + 96)
    walls = [told[key]["wall_s"]["median"] for key in ("one_worker", "two_workers")]
    assert told["faster"]["median"] == pytest.approx(walls[0] / walls[1], rel=0.01)


def test_tables_and_a_chart_are_made_and_nothing_else_stays(measured):
    out, told, found = measured
    assert {path.name for path in out.iterdir()} == {"benchmark.json", "benchmark.svg"}
    for each in found["sizes"]:
        assert f"| {each['elements']:,} |" in told
    chart = ET.fromstring((out / "benchmark.svg").read_text(encoding="utf-8"))
    words = {text.text for text in chart.iter("{http://www.w3.org/2000/svg}text")}
    assert {"open and write", "check", "elements", "time [s]", "memory [MB]"} <= words
