import re
from dataclasses import replace
from zipfile import ZipFile

import openpyxl
import pytest

from modelcheck.model.acceptance import Acceptance
from modelcheck.model.finding import Outcome
from modelcheck.write.report_tables import report_tables
from modelcheck.write.workbook import heading, write_workbook
from tests.unit.write.reports import bends_finding, finding, ref, report

ACCEPTED = Acceptance(by="R. Vale", on="2026-02-03", why="drawn before the code")


def book(folder, *, most_rows=1_048_576, **parts):
    folder.mkdir(exist_ok=True)
    told = report(**parts)
    write_workbook(told, report_tables(told), folder, most_rows=most_rows)
    return openpyxl.load_workbook(folder / "findings.xlsx")


def rows(sheet):
    head, *others = sheet.iter_rows(values_only=True)
    return [dict(zip(head, cells, strict=True)) for cells in others]


def test_a_sheet_holds_what_the_table_holds(tmp_path):
    read = book(tmp_path)
    told = report()
    for table in report_tables(told):
        sheet = read[table.file.removesuffix(".csv").replace("_", " ")]
        head, *cells = sheet.iter_rows(values_only=True)
        assert list(head) == [heading(column) for column in table.columns]
        for row, wanted in zip(cells, table.rows(), strict=True):
            for cell, column in zip(row, table.columns, strict=True):
                text = wanted[column]
                if isinstance(cell, float | int):
                    assert cell == float(text), column
                else:
                    assert (cell or "") == text, column


def test_numbers_are_numbers_and_names_are_text(tmp_path):
    read = book(tmp_path)
    (row, _) = rows(read["findings"])
    assert (row["required [unit]"], row["x [m]"], row["edition"]) == (372, 1, "2024")
    (run,) = rows(read["runs"])
    assert (run["length [mm]"], run["bend total [deg]"], run["bend count"]) == (1234.6, 90, 1)
    assert (run["trade size in"], run["metric designator"]) == ("2", 53)
    (entry,) = rows(read["entries"])
    assert (entry["u [mm]"], entry["wall"]) == (-40, "-x")


@pytest.mark.parametrize(
    "name", ["=1+1", "@cmd", "+1", "-3", "1/2", "2026-01-05", "https://a.example", "{=A1}", "1e5"]
)
def test_no_name_becomes_a_formula_a_link_or_a_date(tmp_path, name):
    subject = ref("0BOX", 10, name=name)
    sheet = book(tmp_path, findings=(finding(subject=subject, message=name),))["findings"]
    column = [cell.value for cell in sheet[1]].index("subject name")
    cell = sheet[2][column]
    assert cell.value.removeprefix("'") == name
    assert cell.data_type in ("s", "inlineStr")
    assert cell.hyperlink is None
    with ZipFile(tmp_path / "findings.xlsx") as archive:
        assert not [each for each in archive.namelist() if "<f>" in archive.read(each).decode()]


def test_characters_that_xml_forbids_are_replaced(tmp_path):
    row = finding(message="bell \x07, half \ud800, last \uffff")
    (read,) = rows(book(tmp_path, findings=(row,))["findings"])
    assert read["message"] == "bell \ufffd, half \ufffd, last \ufffd"


def test_a_text_that_no_cell_holds_is_cut_and_says_where_it_is_whole(tmp_path):
    (read,) = rows(book(tmp_path, findings=(finding(message="x" * 40_000),))["findings"])
    assert len(read["message"]) == 32_767
    assert read["message"].endswith("(cut; whole in findings.csv)")


def test_rows_beyond_the_end_of_a_sheet_are_told_on_the_cover(tmp_path):
    read = book(tmp_path, most_rows=3, findings=tuple([finding()] * 5))
    assert len(rows(read["findings"])) == 2
    texts = [cell for row in read["cover"].iter_rows(values_only=True) for cell in row if cell]
    assert "Sheet findings has no room for 3 rows: see findings.csv." in texts
    listed = next(
        row for row in read["cover"].iter_rows(values_only=True) if row[1] == "findings.csv"
    )
    assert listed[2:4] == (5, 2)


def test_headers_stay_in_view_and_columns_can_be_filtered(tmp_path):
    read = book(tmp_path)
    for sheet in read.worksheets[1:]:
        assert sheet.freeze_panes == "A2"
        assert sheet.auto_filter.ref.startswith("A1:")


def test_an_outcome_is_told_by_word_and_colour(tmp_path):
    sheet = book(tmp_path)["findings"]
    assert {row["outcome"] for row in rows(sheet)} == {"fail", "pass"}
    (rules,) = (
        each.rules for each in sheet.conditional_formatting if str(each.sqref).startswith("D2:")
    )
    by_word = {rule.formula[0]: rule.dxf.fill.bgColor.rgb for rule in rules}
    assert len({by_word[f'"{word}"'] for word in ("fail", "needs-input", "pass")}) == 3


def test_the_cover_has_inputs_counts_and_cautions(tmp_path):
    rest = (finding(accepted=ACCEPTED), finding(outcome=Outcome.NEEDS_INPUT), bends_finding())
    read = book(tmp_path, findings=(finding(), *rest))
    assert read.sheetnames[0] == "cover"
    assert read.active.title == "cover"
    lines = list(read["cover"].iter_rows(values_only=True))
    text = "\n".join(" ".join(str(cell) for cell in line if cell is not None) for line in lines)
    assert "plant.ifc (IFC4), without a date, SHA-256 " + "ab" * 32 in text
    assert "Canadian Electrical Code 2024" in text
    assert "a licensed person decides" in text
    assert "12-3036 2)c)i): factor 6 (from memory)" in text
    assert ("angle-pull-distance", 1, 1, 1, 0) in lines
    assert ("bends-between-pull-points", 0, 0, 0, 1) in lines


def test_the_same_report_gives_the_same_bytes(tmp_path):
    dated = (replace(report().inputs[0], dated="2026-01-05T09:30:00+01:00"),)
    first = book(tmp_path / "a", inputs=dated)
    book(tmp_path / "b", inputs=dated)
    one, other = ((tmp_path / name / "findings.xlsx").read_bytes() for name in "ab")
    assert one == other
    assert first.properties.created.isoformat() == "2026-01-05T08:30:00"


def test_a_report_without_a_date_bears_none_of_today(tmp_path):
    book(tmp_path)
    with ZipFile(tmp_path / "findings.xlsx") as archive:
        core = archive.read("docProps/core.xml").decode()
    assert set(re.findall(r"(\d{4})-\d\d-\d\dT", core)) == {"1970"}


@pytest.mark.parametrize(
    ("column", "words"),
    [
        pytest.param("inside_x_mm", "inside x [mm]", id="millimetres"),
        pytest.param("x_m", "x [m]", id="metres"),
        pytest.param("sidewall_limit_n_per_m", "sidewall limit [N/m]", id="force-a-length"),
        pytest.param("trade_size_in", "trade size in", id="a-trade-size-is-a-name"),
        pytest.param("required", "required [unit]", id="unit-of-its-row"),
        pytest.param("old_provided", "old provided [unit]", id="unit-of-its-row-before"),
        pytest.param("system", "system", id="a-word-that-ends-in-m"),
    ],
)
def test_a_heading_tells_the_unit(column, words):
    assert heading(column) == words
