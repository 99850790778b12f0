from dataclasses import replace

import pytest
from pypdf import PdfReader

from modelcheck.model.bend_sheet import BendSheet
from modelcheck.model.explanation import ExplainedRow, Explanation
from modelcheck.model.finding import Outcome
from modelcheck.model.pull import BoxCase
from modelcheck.write.pdf_failing import Extras
from modelcheck.write.pdf_report import write_pdf_report
from tests.unit.write.reports import finding, ref
from tests.unit.write.test_bcf import ACCEPTED, BOX, CONDUIT, box_finding, report, run_finding

SOURCE = ExplainedRow(
    code="cec",
    edition_from="2024",
    clause="12-3036 2)c)i)",
    figure="6 x",
    how="memory",
    source="A book of rules",
    source_edition="24th",
    address="https://book.example",
    note="",
)
EXPLAINED = Explanation(
    check="angle-pull-distance",
    compares="",
    why="",
    formula="",
    disputed=(),
    disputed_text="",
    rows=(SOURCE, replace(SOURCE, code="nec", source="Another book")),
    examples=(),
)


def pages(folder, **changes):
    folder.mkdir(exist_ok=True)
    told = report(**changes)
    cases = tuple(
        BoxCase(enclosure=row.enclosure, entries=tuple(each.entry for each in told.entries))
        for row in told.boxes
    )
    sheets = {
        row.run.name: BendSheet(
            run=row.run, start=(0.0, 0.0, 0.0), direction=(1.0, 0.0, 0.0), pieces=()
        )
        for row in told.runs
    }
    extras = Extras(bend_sheets=sheets, explanations=(EXPLAINED,))
    write_pdf_report(replace(told, cases=cases), extras, folder)
    return [page.extract_text() for page in PdfReader(folder / "report.pdf").pages]


def with_heading(texts, heading):
    return next(text for text in texts if heading in text)


def one_line(text):
    return " ".join(text.split())


def test_the_cover_has_models_rules_and_cautions(tmp_path):
    cover = one_line(pages(tmp_path)[0])
    assert "plant.ifc (IFC4), dated 2026-01-05T09:30:00+01:00, SHA-256" in cover
    assert "ab" * 32 in cover
    assert "Canadian Electrical Code 2024" in cover
    assert "a licensed person decides" in cover
    assert "12-3036 2)c)i): factor 6 (from memory)" in cover


def test_each_box_that_fails_has_its_rows_and_then_its_drawing(tmp_path):
    texts = pages(tmp_path)
    place = texts.index(with_heading(texts, "Boxes that fail"))
    assert "6 x 53 + 53 = 371 mm" in texts[place]
    assert "Make the box 72 mm longer." in texts[place]
    assert "Box PB-1" in texts[place + 1]
    assert "seen from OUTSIDE" in texts[place + 1]


def test_each_run_that_fails_has_its_rows_and_then_its_isometric(tmp_path):
    texts = pages(tmp_path)
    place = texts.index(with_heading(texts, "Runs that fail"))
    assert "450 deg" in texts[place]
    assert "Run R1" in texts[place + 1]
    assert "start" in texts[place + 1]


def test_drawings_keep_their_own_size(tmp_path):
    pages(tmp_path)
    boxes = {
        tuple(round(float(side) / 72 * 25.4) for side in page.mediabox[2:])
        for page in PdfReader(tmp_path / "report.pdf").pages
    }
    assert boxes == {(210, 297), (297, 210)}


def test_what_was_accepted_stands_apart(tmp_path):
    texts = pages(tmp_path, findings=(box_finding(accepted=ACCEPTED),))
    assert not [text for text in texts if "Boxes that fail" in text]
    page = one_line(with_heading(texts, "Fails that somebody accepted"))
    assert "Accepted by R. Vale on 2026-02-03" in page
    assert "fail, accepted" in one_line(with_heading(texts, "Appendix: all rows"))


def test_every_row_is_in_the_appendix_with_its_notes(tmp_path):
    rows = tuple(
        box_finding(subject=replace(BOX, name=f"PB-{number}", step_id=number), outcome=outcome)
        for number, outcome in enumerate([Outcome.PASS, Outcome.NEEDS_INPUT] * 300)
    )
    text = "\n".join(pages(tmp_path, findings=rows))
    assert [number for number in range(600) if f"PB-{number}\n" not in text] == []
    assert "4 AWG or larger" in with_heading([text], "Notes: what was assumed")


def test_figures_of_the_code_in_use_have_their_source(tmp_path):
    page = one_line(pages(tmp_path)[-1])
    assert "12-3036 2)c)i) 6 x memory A book of rules 24th https://book.example" in page
    assert "Another book" not in page


def test_a_report_without_a_fail_says_so(tmp_path):
    texts = pages(tmp_path, findings=(box_finding(outcome=Outcome.PASS),))
    assert "Nothing, but for what was accepted" in with_heading(texts, "What fails")


@pytest.mark.parametrize(
    "name",
    [
        pytest.param("x" * 3000, id="long-word"),
        pytest.param("箱 \x00 <b>&amp;</b>", id="other-letters"),
        pytest.param(" ".join(["word"] * 3000), id="long-text"),
    ],
)
def test_any_name_and_message_finds_room(tmp_path, name):
    subject = replace(BOX, name=name)
    row = box_finding(subject=subject, message=name, working=name, assumptions=(name,))
    other = finding(subject=ref("#9", 9, name=name), check="run-continuity", elements=())
    texts = pages(tmp_path, findings=(row, replace(other, outcome=Outcome.FAIL)))
    assert len(texts) > 4


def test_outcomes_that_are_open_are_no_fails(tmp_path):
    texts = pages(tmp_path, findings=(run_finding(outcome=Outcome.NEEDS_INPUT),))
    assert not [text for text in texts if "Runs that fail" in text]


def test_headings_are_the_outline_of_the_document(tmp_path):
    pages(tmp_path)
    names = []

    def collect(entries):
        for entry in entries:
            if isinstance(entry, list):
                collect(entry)
            else:
                names.append(entry.title)

    collect(PdfReader(tmp_path / "report.pdf").outline)
    assert names[:4] == ["Summary", "What fails", "Boxes that fail", "PB-1"]


def test_the_same_report_gives_the_same_bytes(tmp_path):
    for name in "ab":
        pages(tmp_path / name, findings=(box_finding(), run_finding(elements=(CONDUIT,))))
    one, other = ((tmp_path / name / "report.pdf").read_bytes() for name in "ab")
    assert one == other
