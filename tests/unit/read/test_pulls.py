import pytest

from modelcheck.errors import InputFileError
from modelcheck.read.pulls import read_pulls

HEADER = "pull,conductor_size,insulation,count,route\n"
ROW = "F1,250 kcmil,RW90,3,C-101;PB-1;C-104\n"


def schedule_of(tmp_path, raw):
    path = tmp_path / "PULLS.csv"
    path.write_bytes(raw.encode() if isinstance(raw, str) else raw)
    return read_pulls(path)


def test_a_row_is_read_with_every_column(tmp_path):
    schedule = schedule_of(
        tmp_path,
        "pull,conductor_size,insulation,count,route,spliced_at,material,role,system,voltage_v,"
        "trade_size_in,metric_designator,remark\n"
        "F1,4/0 AWG,XHHW,3,C-101;PB-1;C-104,PB-1,Aluminium,Neutral,UPS,600,1-1/4,35,tray\n",
    )
    (row,) = schedule.rows
    assert row.line == 2
    assert row.pull == "F1"
    assert (row.conductors.size, row.conductors.insulation) == ("4/0 AWG", "XHHW")
    assert (row.conductors.count, row.conductors.material) == (3, "aluminum")
    assert row.conductors.role == "neutral"
    assert row.route == ("C-101", "PB-1", "C-104")
    assert row.spliced_at == ("PB-1",)
    assert (row.system, row.voltage_v) == ("UPS", 600.0)
    assert (row.trade_size_in, row.metric_designator) == ("1-1/4", 35)
    assert schedule.unread_columns == ("remark",)


@pytest.mark.parametrize(
    "raw",
    [
        pytest.param((HEADER + ROW).encode(), id="utf-8"),
        pytest.param((HEADER + ROW).replace("\n", "\r\n").encode("utf-8-sig"), id="mark-and-crlf"),
        pytest.param((HEADER + ROW).encode("utf-16"), id="utf-16"),
        pytest.param((HEADER + ROW).encode("utf-16-be"), id="utf-16-be-without-mark"),
        pytest.param((HEADER + ROW).encode("utf-16-le"), id="utf-16-le-without-mark"),
        pytest.param(
            b'pull;conductor_size;insulation;count;route\nF1;250 MCM;RW90;3;"C-101;PB-1;C-104"',
            id="semicolons",
        ),
        pytest.param(
            b"Pull\tConductor Size\tInsulation\tCount\tRoute\nF1\t250kcmil\tRW90\t3\t"
            b"C-101; PB-1 ;C-104\n",
            id="tabs-and-spelled-headers",
        ),
    ],
)
def test_any_spreadsheet_writes_it(tmp_path, raw):
    (row,) = schedule_of(tmp_path, raw).rows
    assert (row.pull, row.conductors.size, row.conductors.count) == ("F1", "250 kcmil", 3)
    assert row.route == ("C-101", "PB-1", "C-104")


def test_the_western_code_page_is_read(tmp_path):
    (row,) = schedule_of(tmp_path, (HEADER + "Zürich\u20131,,,,A\n").encode("cp1252")).rows
    assert row.pull == "Zürich\u20131"


def test_a_quote_that_keeps_a_spreadsheet_from_calculating_is_no_part_of_the_text(tmp_path):
    (row,) = schedule_of(tmp_path, HEADER + "'=F1,,,,'-A1;'B\n").rows
    assert (row.pull, row.route) == ("=F1", ("-A1", "'B"))


def test_what_is_not_given_stays_unknown(tmp_path):
    (row,) = schedule_of(tmp_path, HEADER + "F1,,,,A\n").rows
    assert (row.conductors.size, row.conductors.count, row.voltage_v) == ("", None, None)


def test_a_spare_has_count_zero(tmp_path):
    (row,) = schedule_of(tmp_path, HEADER + "SP,,,0,A\n").rows
    assert row.conductors.count == 0


def test_a_row_over_two_lines_is_named_by_its_first(tmp_path):
    with pytest.raises(InputFileError, match=r"PULLS\.csv:3: count is 'x'"):
        schedule_of(tmp_path, HEADER + ROW + 'F2,,"RW\n90",x,A\n')


@pytest.mark.parametrize(
    ("raw", "sentence"),
    [
        pytest.param("", "PULLS.csv: the pull schedule is empty", id="empty-file"),
        pytest.param(HEADER, "PULLS.csv: the pull schedule has no row", id="header-only"),
        pytest.param(HEADER + ROW + ",,,,\n", "PULLS.csv:3: the row is empty", id="empty-row"),
        pytest.param(HEADER + "\n" + ROW, "PULLS.csv:2: the row is empty", id="blank-line"),
        pytest.param(
            "pull,conductor_size,insulation,count\nF1,,,\n",
            "PULLS.csv:1: the column route is missing",
            id="missing-column",
        ),
        pytest.param(
            HEADER.replace("route", "routes") + ROW,
            "PULLS.csv:1: the column 'routes' is not known, did you mean 'route'",
            id="renamed-column",
        ),
        pytest.param(
            HEADER.replace("\n", ",splice_at\n") + ROW,
            "did you mean 'spliced_at'",
            id="nearly-an-optional-column",
        ),
        pytest.param(
            HEADER.replace("\n", ",pull\n") + ROW, "the column pull stands twice", id="twice"
        ),
        pytest.param(HEADER + ROW + "F2,1,R\n", "PULLS.csv:3: the row has 3 cells", id="short-row"),
        pytest.param(HEADER + "F2,1,R,1,A,B\n", "the row has 6 cells", id="long-row"),
        pytest.param(HEADER + 'F2,1,R,1,"A\n', "PULLS.csv:2: this row can't", id="open-quote"),
        pytest.param(HEADER + "F2,1 AWG,R,three,A", "count is 'three'", id="worded-count"),
        pytest.param(HEADER + "F2,1 AWG,R,-1,A", "count is '-1'", id="negative-count"),
        pytest.param(HEADER + "F2,5 AWG,R,1,A", "conductor_size '5 AWG' is not known", id="size"),
        pytest.param(HEADER + ",1 AWG,R,1,A", "the pull has no name", id="no-name"),
        pytest.param(HEADER + "F;2,1 AWG,R,1,A", "has a ';' in its name", id="semicolon-in-name"),
        pytest.param(HEADER + "F2,1 AWG,R,1,", "the route is empty", id="no-route"),
        pytest.param(HEADER + "F2,1 AWG,R,1,A;;B", "has an empty place", id="gap-in-the-route"),
        pytest.param(
            HEADER.replace("\n", ",role\n") + ROW.replace("\n", ",earth\n"),
            "role is 'earth', it must be phase, neutral, bonding",
            id="unknown-role",
        ),
        pytest.param(
            HEADER.replace("\n", ",voltage_v\n") + ROW.replace("\n", ",high\n"),
            "voltage_v is 'high'",
            id="worded-voltage",
        ),
        pytest.param(
            HEADER.replace("\n", ",trade_size_in,metric_designator\n")
            + ROW.replace("\n", ",2,78\n"),
            "metric_designator is 78, but the trade size 2 is 53",
            id="sizes-that-disagree",
        ),
        pytest.param(HEADER.encode("utf-16")[:-1], "the text breaks off", id="half-a-character"),
    ],
)
def test_a_mistake_is_one_sentence_with_its_line(tmp_path, raw, sentence):
    with pytest.raises(InputFileError) as caught:
        schedule_of(tmp_path, raw)
    assert sentence in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_missing_schedule_is_named(tmp_path):
    with pytest.raises(InputFileError, match=r"none\.csv: can't be read: No such file"):
        read_pulls(tmp_path / "none.csv")
