"""Whatever lies in a text file, reading it ends in rows or in one sentence."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from modelcheck.errors import InputFileError
from modelcheck.model.settings import Options
from modelcheck.read.box_toml import read_boxes
from modelcheck.read.pulls import read_pulls
from modelcheck.read.settings import read_settings

PULLS = "pull,conductor_size,insulation,count,route,spliced_at,voltage_v,trade_size_in"
TOML = """
[select]
box = "IfcFlowTerminal"
[tolerances]
join_mm = 3
[box."PB-1"]
inside_mm = [600, 450, 200]
conductors = { "12 AWG" = 4 }
[[amendment]]
check = "bend-radius"
"""
BOXES = """
[[box]]
name = "PB-1"
inside_mm = [600, 450, 200]
[[box.entry]]
name = "A"
wall = "-x"
trade_size_in = "2"
[[box.pull]]
entries = ["A"]
"""
PIECES = st.one_of(
    st.sampled_from(["", '"', "\n", ",", ";", "[", "]", "=", "\x00", "\r", "nan", "-1", "1e999"]),
    st.text(max_size=4),
)


@st.composite
def damaged(draw, text):
    """`text` with some pieces of it replaced, as bytes."""
    for _ in range(draw(st.integers(0, 4))):
        start = draw(st.integers(0, len(text)))
        stop = draw(st.integers(start, min(len(text), start + 12)))
        text = text[:start] + draw(PIECES) + text[stop:]
    return text.encode(draw(st.sampled_from(["utf-8", "utf-16", "latin-1"])), "replace")


def assert_rows_or_one_sentence(read, path, raw):
    path.write_bytes(raw)
    told = str(path)
    try:
        read(path)
    except InputFileError as error:
        told = str(error)
    assert told.startswith(str(path))
    assert "\n" not in told


any_text = settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])


@any_text
@given(raw=st.one_of(damaged(f"{PULLS}\nF1,250 kcmil,RW90,3,A;B,B,600,2\n"), st.binary()))
def test_a_damaged_schedule(tmp_path, raw):
    assert_rows_or_one_sentence(read_pulls, tmp_path / "PULLS.csv", raw)


@any_text
@given(raw=st.one_of(damaged(TOML), st.binary()))
def test_damaged_settings(tmp_path, raw):
    assert_rows_or_one_sentence(
        lambda path: read_settings(path, Options()), tmp_path / "SETTINGS.toml", raw
    )


@any_text
@given(raw=st.one_of(damaged(BOXES), st.binary()))
def test_a_damaged_box_file(tmp_path, raw):
    assert_rows_or_one_sentence(read_boxes, tmp_path / "BOX.toml", raw)


def test_a_folder_is_no_file(tmp_path):
    with pytest.raises(InputFileError, match="can't be read: Is a directory"):
        read_pulls(tmp_path)
