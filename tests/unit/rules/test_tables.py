from dataclasses import dataclass

import pytest

from modelcheck.errors import TableError
from modelcheck.rules import tables
from modelcheck.rules.tables import CodedRow, TableRow, in_force, read_table, sources


@dataclass(frozen=True, slots=True, kw_only=True)
class Row(TableRow):
    size: str
    count: int
    length_mm: float | None
    is_listed: bool


HEADER = "size,count,length_mm,is_listed,clause,source,how,note"
GOOD = "2,3,1.5,yes,1.2,arithmetic,seen,"


@pytest.fixture
def table(tmp_path, monkeypatch):
    """Write a table in place of those that ship and read it."""
    sources()
    monkeypatch.setattr(tables, "_DATA", tmp_path)
    read_table.cache_clear()

    def read(*lines):
        (tmp_path / "t.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
        read_table.cache_clear()
        return read_table("t.csv", Row)

    yield read
    read_table.cache_clear()


def test_cells_take_the_types_of_their_columns(table):
    (row,) = table(HEADER, GOOD)
    assert (row.size, row.count, row.length_mm, row.is_listed) == ("2", 3, 1.5, True)


def test_empty_cell_of_an_optional_number_is_none(table):
    (row,) = table(HEADER, "2,3,,no,1.2,arithmetic,seen,")
    assert (row.length_mm, row.is_listed) == (None, False)


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        pytest.param(["size,count", "2,3"], "t.csv: the columns must be size,count,", id="header"),
        pytest.param(
            [HEADER, GOOD, "2,six,1,yes,1.2,arithmetic,seen,"],
            "t.csv:3: count is 'six'",
            id="cell",
        ),
        pytest.param([HEADER, "2,3"], "t.csv:2: the row must have 8 cells", id="short"),
        pytest.param(
            [HEADER, "2,3,1,maybe,1.2,arithmetic,seen,"], "t.csv:2: is_listed is", id="flag"
        ),
        pytest.param([HEADER, "2,3,1,no,1.2,hearsay,seen,"], "source is 'hearsay'", id="source"),
        pytest.param([HEADER, "2,3,1,no,1.2,arithmetic,guess,"], "how is 'guess'", id="how"),
    ],
)
def test_bad_table_is_named_by_file_and_line(table, lines, told):
    with pytest.raises(TableError) as error:
        table(*lines)
    assert told in str(error.value)


def coded(code, edition_from):
    return CodedRow(
        clause="", source="arithmetic", how="seen", code=code, edition_from=edition_from
    )


def test_newest_row_of_an_edition_is_in_force():
    rows = [coded("nec", "2020"), coded("nec", "2017"), coded("nec", "2026"), coded("cec", "2018")]
    held = in_force(rows, code="nec", edition="2023", key=lambda row: row.code)
    assert held == {"nec": rows[0]}


def test_row_of_any_code_holds_in_every_edition():
    held = in_force([coded("any", "")], code="cec", edition="2018", key=lambda row: row.code)
    assert set(held) == {"any"}


@pytest.mark.parametrize(
    ("how", "caveats"),
    [
        pytest.param("seen", (), id="seen"),
        pytest.param(
            "memory",
            ("figure not checked against the code book: 1.2 (from memory)",),
            id="memory",
        ),
        pytest.param(
            "derived", ("figure not checked against the code book: 1.2 (derived)",), id="derived"
        ),
    ],
)
def test_only_a_row_that_was_not_seen_has_a_caveat(how, caveats):
    assert TableRow(clause="1.2", source="arithmetic", how=how).caveats == caveats
