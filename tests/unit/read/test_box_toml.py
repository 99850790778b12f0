import pytest

from modelcheck.errors import InputFileError
from modelcheck.model.element import RacewaySize
from modelcheck.read.box_toml import read_boxes

TWO_ENTRIES = """
[[box]]
name = "PB-1"
inside_mm = [600, 450, 200]
cover = "+z"

[[box.entry]]
name = "A"
wall = "-x"
trade_size_in = "1-1/4"
raceway_type = "EMT"
at_mm = [0, 40]

[[box.entry]]
name = "B"
wall = "-y"
metric_designator = 35

[[box.pull]]
name = "F1"
entries = ["A", "B"]
conductor_size = "250 kcmil"
insulation = "RW90"
count = 3
spliced = false
"""


@pytest.fixture
def read(tmp_path):
    def read(text):
        path = tmp_path / "BOX.toml"
        path.write_text(text, encoding="utf-8")
        return read_boxes(path)

    return read


def test_box_is_read_with_its_entries_and_pulls(read):
    (case,) = read(TWO_ENTRIES)
    assert case.enclosure.ref.name == "PB-1"
    assert case.enclosure.inside_m == pytest.approx((0.6, 0.45, 0.2))
    assert case.enclosure.cover == ("+z",)
    first, second = case.entries
    assert (first.conduit.name, first.wall, first.u_m, first.v_m) == ("A", "-x", 0.0, 0.04)
    assert first.size == RacewaySize(
        raceway_type="EMT", trade_size_in="1-1/4", metric_designator=35, size_from="settings"
    )
    assert (second.u_m, second.v_m, second.size.trade_size_in) == (None, None, "1-1/4")
    (pull,) = case.pulls
    assert (pull.name, pull.entries, pull.spliced, pull.is_spare) == ("F1", (0, 1), False, False)
    assert (pull.conductors[0].size, pull.conductors[0].count) == ("250 kcmil", 3)


def test_what_is_left_out_is_unknown(read):
    (case,) = read('[[box]]\n[[box.entry]]\nname = "A"\nwall = "-x"\ntrade_size_in = "2"\n')
    assert case.enclosure.ref.name == "box 1"
    assert case.enclosure.inside_m == (None, None, None)
    assert case.enclosure.cover == ()
    assert case.pulls is None


def test_inches_and_several_covers_and_boxes_are_read(read):
    text = (
        '[[box]]\nname = "a"\ninside_in = [24, 12, 6]\ncover = ["+z", "-z"]\n[[box]]\nname = "b"\n'
    )
    first, second = read(text)
    assert first.enclosure.inside_m == pytest.approx((0.6096, 0.3048, 0.1524))
    assert first.enclosure.cover == ("+z", "-z")
    assert second.enclosure.ref.name == "b"


def test_pulls_of_one_name_and_route_are_joined(read):
    more = '[[box.pull]]\nname = "F1"\nentries = ["B", "A"]\nconductor_size = "3/0 AWG"\n'
    (pull,) = read(TWO_ENTRIES + more)[0].pulls
    assert [each.size for each in pull.conductors] == ["250 kcmil", "3/0 AWG"]


def test_count_of_0_is_a_spare(read):
    assert read(TWO_ENTRIES.replace("count = 3", "count = 0"))[0].pulls[0].is_spare


def test_pull_without_conductors_knows_none(read):
    text = TWO_ENTRIES.partition("conductor_size")[0]
    assert read(text)[0].pulls[0].conductors == ()


def test_contents_are_read(read):
    text = TWO_ENTRIES.replace(
        'cover = "+z"', 'cover = "+z"\nmarked_for = "3 x 250 kcmil"\nclamps = 2\nvolume_in3 = 42'
    )
    box = read(text)[0].enclosure
    assert (box.marked_for, box.contents.clamps) == ("3 x 250 kcmil", 2)
    assert box.contents.volume_cm3 == pytest.approx(42 * 16.387064)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        pytest.param('wall = "-y"', 'wal = "-y"', ["'B'", "did you mean 'wall'"], id="misspelt"),
        pytest.param('wall = "-y"', 'wall = "left"', ["'B'", "'left'", "'-x'"], id="wall"),
        pytest.param('wall = "-y"\n', "", ["'B'", "must give its wall"], id="no-wall"),
        pytest.param('"1-1/4"', '"1-1/3"', ["'A'", "no trade size"], id="trade-size"),
        pytest.param("metric_designator = 35", "metric_designator = 34", ["'B'", "34"], id="name"),
        pytest.param("metric_designator = 35\n", "", ["'B'", "must give its trade"], id="no-size"),
        pytest.param('"EMT"', '"EMP"', ["'A'", "'EMT'"], id="raceway-type"),
        pytest.param("[0, 40]", "[0, 140]", ["'A'", "off the wall", "0.1 m"], id="off-the-wall"),
        pytest.param("[0, 40]", "[0]", ["'A'", "2 numbers"], id="one-number"),
        pytest.param('name = "B"', 'name = "A"', ["'PB-1'", "stands twice"], id="same-name"),
        pytest.param('name = "B"\n', "", ["entry 2", "must give its name"], id="no-name"),
        pytest.param('["A", "B"]', '["A", "C"]', ["'F1'", "'C'", "no entry"], id="pull-entry"),
        pytest.param('["A", "B"]', "[]", ["'F1'", "must give its entries"], id="no-entries"),
        pytest.param("250 kcmil", "240 kcmil", ["'F1'", "4 AWG, 1/0 AWG"], id="conductor"),
        pytest.param('"RW90"', '"RW9"', ["'F1'", "did you mean 'RW90'"], id="insulation"),
        pytest.param('"RW90"', '"T90 Nylon"', None, id="insulation-by-first-word"),
        pytest.param(
            '"250 kcmil"\ninsulation = "RW90"',
            '"600 kcmil"\ninsulation = "T90"',
            ["'F1'", "doesn't have in 600 kcmil"],
            id="insulation-not-in-that-size",
        ),
        pytest.param("count = 3", "count = -3", ["'F1'", "whole number"], id="count"),
        pytest.param("spliced = false", 'spliced = "no"', ["'F1'", "true or false"], id="flag"),
        pytest.param('cover = "+z"', 'cover = "top"', ["'PB-1'", "'top'"], id="cover"),
        pytest.param("[600, 450, 200]", "[600, 450, 0]", ["'PB-1'", "more than 0"], id="inside"),
        pytest.param("inside_mm", "inside_cm", ["'PB-1'", "did you mean 'inside_mm'"], id="unit"),
    ],
)
def test_mistake_is_told_with_file_line_box_and_entry(read, old, new, told):
    text = TWO_ENTRIES.replace(old, new, 1)
    assert text != TWO_ENTRIES
    if told is None:
        assert read(text)
        return
    with pytest.raises(InputFileError) as error:
        read(text)
    message = str(error.value)
    assert "BOX.toml:" in message
    assert "'PB-1'" in message
    assert all(part in message for part in told)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        pytest.param("", "there is no box", id="empty"),
        pytest.param("[box]\nname = 1", "list of tables", id="one-table"),
        pytest.param("[[box]]\nname = ", "not TOML", id="no-toml"),
        pytest.param('[[box]]\nname="a"\n[[box]]\nname="a"', "a second time", id="same-box"),
        pytest.param('[[boxes]]\nname="a"', "did you mean 'box'", id="misspelt"),
    ],
)
def test_file_that_holds_no_box_is_refused(read, text, told):
    with pytest.raises(InputFileError) as error:
        read(text)
    assert told in str(error.value)
