import csv
import io
from pathlib import Path

from modelcheck.model.element import RacewaySize
from modelcheck.model.recognition import ReadElement, Shortfall
from modelcheck.write.csv_tables import elements_table, write_table
from modelcheck.write.recognition_text import print_elements
from modelcheck.write.terminal import console_on
from modelcheck.write.words import CAUTIONS, NOTHING_TO_CHECK
from tests.unit.write.reports import ref

UNSIZED = Shortfall(reason="its size is not known", remedy="give it a TradeSize")
COVERED = Shortfall(reason="its cover is not known")
SEGMENT = ReadElement(
    ref=ref("1CON", 20, name="C-101"),
    kind="segment",
    kind_from="predefined type",
    ends=2,
    ends_from="body",
    size=RacewaySize(raceway_type="EMT", trade_size_in="2", metric_designator=53),
    size_from="property",
)
BOX = ReadElement(
    ref=ref("0BOX", 10, name="PB-1", ifc_class="IfcJunctionBox"),
    kind="box",
    kind_from="class",
    size_from="body",
    cover=("+z",),
    cover_from="property",
)
STRANGE = ReadElement(
    ref=ref("9BAD", 30, name="=S-1", ifc_class="IfcFlowSegment"),
    kind="not-conduit",
    kind_from="none",
    is_understood=False,
    shortfalls=(Shortfall(reason="nothing says what it is", remedy="give it a type"),),
)


def unsized(number):
    return ReadElement(
        ref=ref(f"2CON{number}", number, name=f"C-{number}"),
        kind="segment",
        kind_from="predefined type",
        ends=2,
        ends_from="axis",
        shortfalls=(UNSIZED, COVERED),
    )


def printed(*rows, folder=None):
    stream = io.StringIO()
    print_elements(console_on(stream), rows, folder=folder)
    return stream.getvalue()


def line_of(text, *parts):
    return next(line for line in text.splitlines() if all(part in line for part in parts))


def test_elements_are_counted_by_kind_class_and_evidence():
    text = printed(SEGMENT, *map(unsized, range(3)), BOX)
    line = line_of(text, "segment", "predefined type")
    assert "IfcCableCarrierSegment" in line
    assert "axis 3, body 1" in line
    assert "not known 3" in " ".join(text.split())
    assert "property 1" in line_of(text, "box", "IfcJunctionBox")
    assert "Elements understood: 5; not understood: 0." in text


def test_what_is_not_known_is_told_once_with_what_would_help_and_some_names():
    text = printed(SEGMENT, *map(unsized, range(12)))
    line = line_of(text, "its size is not known")
    assert line.split()[0] == "12"
    assert "give it a TradeSize" in line
    assert "C-0, C-1, C-2, ..." in " ".join(text.split())
    assert text.count("its size is not known") == 1


def test_what_was_not_understood_stands_apart():
    text = printed(SEGMENT, STRANGE)
    assert "Not understood, and left out" in text
    assert "nothing says what it is" in text
    assert "Elements understood: 1; not understood: 1." in text


def test_a_model_without_conduit_or_box_is_said_in_words():
    text = " ".join(printed(STRANGE).split())
    assert NOTHING_TO_CHECK in text
    assert CAUTIONS[0] in text
    assert NOTHING_TO_CHECK not in " ".join(printed(BOX).split())


def test_ten_thousand_elements_take_no_more_lines_than_ten():
    few, many = (printed(*map(unsized, range(count))) for count in (10, 10_000))
    assert many.count("\n") <= few.count("\n") + 1


def test_where_the_table_is_is_told():
    assert "Results are in out: elements.csv" in printed(BOX, folder=Path("out"))


def test_every_element_has_a_row_in_the_table(tmp_path):
    write_table(elements_table([BOX, SEGMENT, unsized(7), STRANGE]), tmp_path)
    text = (tmp_path / "elements.csv").read_bytes().decode("utf-8")
    assert text.splitlines()[0] == (
        "guid,model,name,ifc_class,kind,kind_from,ends,ends_from,raceway_type,trade_size_in,"
        "metric_designator,size_from,cover_from,reason,remedy"
    )
    box, segment, sizeless, strange = csv.DictReader(io.StringIO(text))
    assert (box["guid"], box["ends"], box["size_from"]) == ("0BOX", "", "body")
    assert (segment["ends"], segment["metric_designator"]) == ("2", "53")
    assert sizeless["reason"] == "its size is not known; its cover is not known"
    assert sizeless["remedy"] == "give it a TradeSize"
    assert strange["name"] == "'=S-1"
