import io
import json
from dataclasses import replace
from pathlib import Path

import pytest

from modelcheck.model.element import Enclosure
from modelcheck.model.finding import Outcome
from modelcheck.model.sized_box import SizedBox
from modelcheck.write.console import print_report, print_runs
from modelcheck.write.size_text import boxes_json, print_boxes
from modelcheck.write.terminal import amount, console_on, short_text
from modelcheck.write.words import CAUTIONS, NOTHING_TO_CHECK
from tests.unit.write.reports import BOX, bends_finding, box_row, finding, report, run_row


class Stream(io.StringIO):
    def __init__(self, *, terminal=False, encoding="utf-8"):
        super().__init__()
        self.terminal = terminal
        self._encoding = encoding

    @property
    def encoding(self):
        return self._encoding

    def isatty(self):
        return self.terminal


def printed(whole, *, stream=None):
    stream = stream or Stream()
    print_report(console_on(stream), whole, folder=Path("out"), files=("findings.csv",))
    return stream.getvalue()


def flat(text):
    return " ".join(text.split())


def test_each_box_has_its_verdict_as_a_word_its_number_and_its_working():
    text = printed(report())
    line = next(line for line in text.splitlines() if "PB-1" in line and "angle-pull" in line)
    assert "\u2716 fail" in line
    assert "372 mm" in line
    assert "300 mm" in line
    assert "6 x 53 + 53 = 371 mm" in text


def test_each_run_has_its_ends_and_its_total():
    line = next(line for line in printed(report()).splitlines() if "R1" in line)
    for part in ("\u2714 pass", "PB-1", "open", "EMT 53 (2)", "1.23 m", "360 deg", "90 deg"):
        assert part in line


def test_cautions_code_unread_elements_and_files_are_told():
    text = flat(printed(report()))
    for caution in CAUTIONS:
        assert caution in text
    assert "Canadian Electrical Code 2024" in text
    reason = "1 x IfcCableCarrierSegment: it has no body"
    assert f"Not understood: 1 of the elements ({reason})" in text
    assert "12-3036 2)c)i): factor 6 (from memory)" in text
    assert "Results are in out: findings.csv" in text


def test_a_model_with_nothing_to_check_is_said_in_words():
    text = flat(printed(report(findings=(), runs=(), boxes=(), entries=())))
    assert NOTHING_TO_CHECK in text
    assert CAUTIONS[0] in text


def test_what_needs_input_says_what_to_do():
    needs = finding(outcome=Outcome.NEEDS_INPUT, provided=None, message="Give the inside size.")
    text = flat(printed(report(findings=(needs,), boxes=(box_row(outcome="needs-input"),))))
    assert "? needs input" in text
    assert "Give the inside size." in text


def test_a_box_without_a_row_says_why():
    text = printed(report(findings=(), boxes=(box_row(outcome="none", message="one entry"),)))
    assert "\u2013 no check" in text
    assert "one entry" in text


def test_other_rows_of_runs_are_told_unless_they_pass():
    tight = bends_finding(check="bend-radius", outcome=Outcome.FAIL, message="Bend it wider.")
    passed = bends_finding(check="conduit-fill", message="It fits well.")
    text = printed(report(findings=(tight, passed)))
    assert "Bend it wider." in text
    assert "It fits well." not in text


def test_colours_are_for_terminals_only():
    assert "\x1b[" not in printed(report())
    assert "\x1b[" in printed(report(), stream=Stream(terminal=True))


def test_a_terminal_of_few_letters_gets_plain_shapes():
    text = printed(report(), stream=Stream(encoding="ascii"))
    assert "x fail" in text
    assert "+ pass" in text
    assert text.isascii()


def test_no_name_steers_the_terminal():
    hostile = replace(BOX, name="\x1b[2J\x1b]0;evil\x07\u202e[red]a[/red]\r\nb\x9b1m")
    text = printed(report(boxes=(box_row(enclosure=Enclosure(ref=hostile)),)))
    assert "[red]a[/red]" in text
    for letter in "\x1b\x07\u202e\r\x9b":
        assert letter not in text


def test_an_endless_name_is_cut():
    assert len(short_text("x" * 100_000)) == 60
    assert short_text("PB-1") == "PB-1"


def test_many_rows_are_cut_and_the_rest_is_pointed_to():
    boxes = [
        box_row(enclosure=Enclosure(ref=replace(BOX, name=f"box {n}", step_id=n)), outcome="none")
        for n in range(50)
    ]
    text = printed(report(findings=(), boxes=(*boxes, box_row())))
    assert "and 11 more in boxes.csv" in text
    assert text.index("PB-1") < text.index("box 0")


def test_traced_runs_are_printed_with_their_bends():
    stream = Stream()
    print_runs(console_on(stream), [run_row()])
    line = next(line for line in stream.getvalue().splitlines() if "R1" in line)
    for part in ("PB-1", "1: 90 deg", "plant.ifc"):
        assert part in line


def test_no_traced_run_is_said():
    stream = Stream()
    print_runs(console_on(stream), [])
    assert stream.getvalue() == "No run was found.\n"


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [(371.96, "mm", "372 mm"), (13.5, "in", "13.5 in"), (100.0, "mm", "100 mm"), (None, "mm", "")],
)
def test_amounts_are_short(value, unit, text):
    assert amount(value, unit) == text


SIZED = SizedBox(
    name="PB-1",
    outcome="needs-input",
    findings=(finding(outcome=Outcome.NEEDS_INPUT, provided=None),),
    least_inside_mm=(371.96, None, None),
    steps=("Along x: 372 mm governs",),
)


def test_a_sized_box_shows_its_steps():
    stream = Stream()
    print_boxes(console_on(stream), [SIZED])
    text = flat(stream.getvalue())
    for part in ("? needs input PB-1", "Along x: 372 mm governs", "Make the box", CAUTIONS[0]):
        assert part in text


def test_json_of_a_sized_box_has_null_for_what_is_not_known():
    (box,) = json.loads(boxes_json([SIZED]))["boxes"]
    assert box["least_inside_mm"] == [372.0, None, None]
    (row,) = box["findings"]
    assert (row["required"], row["provided"], row["outcome"]) == (372.0, None, "needs-input")
    assert row["entries"] == ["C-101"]
    assert row["assumptions"] == ["4 AWG or larger", "a; b"]
