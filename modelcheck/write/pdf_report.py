"""report.pdf, for the record: what was checked, what fails, all rows, the sources."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from reportlab.platypus import Flowable

from modelcheck.model.finding import Finding
from modelcheck.model.report import Report
from modelcheck.write import words
from modelcheck.write.finding_text import accepted_text, amounts, place_text
from modelcheck.write.pdf_appendix import all_rows, rule_sources
from modelcheck.write.pdf_failing import Extras, failing
from modelcheck.write.pdf_parts import document, gap, grid, new_page, text
from modelcheck.write.report_text import (
    CHECK_HEADINGS,
    REPORT,
    STATE_HEADINGS,
    TITLE,
    check_counts,
    facts,
    remarks,
    state_counts,
)
from modelcheck.write.terminal import named
from modelcheck.write.topics import Topic, topics_of

_FACTS = (32.0, 146.0)  # widths of columns [mm]
_COUNTS = (58.0, 30.0, 30.0, 30.0, 30.0)
_LIST = (48.0, 56.0, 40.0, 17.0, 17.0)
_LIST_HEADINGS = ("What", "Where", "Check", "Required", "Provided")
_ACCEPTED = (34.0, 36.0, 17.0, 17.0, 74.0)
_ACCEPTED_HEADINGS = ("What", "Check", "Required", "Provided", "Accepted")


def write_pdf_report(report: Report, extras: Extras, folder: Path) -> None:
    """Write ``report.pdf`` of `report` into `folder`.

    Parameters
    ----------
    report : Report
    extras : Extras
    folder : Path
    """
    topics = [each for each in topics_of(report, with_undecided=False) if not each.is_accepted]
    story = [
        *_cover(report),
        *_summary(report, topics),
        *failing(report, topics, extras),
        *_accepted(report.accepted),
        *all_rows(report.findings),
        *rule_sources(extras.explanations, report.settings.code),
    ]
    (folder / REPORT).write_bytes(document(story, title=TITLE))


def _cover(report: Report) -> Iterator[Flowable]:
    yield gap(20)
    yield text("title", TITLE)
    yield from grid(("", ""), facts(report), _FACTS)
    yield gap(8)
    for place, remark in enumerate(remarks(report)):
        yield text("caution" if place < len(words.CAUTIONS) else "body", remark)
    yield new_page()


def _summary(report: Report, topics: Sequence[Topic]) -> Iterator[Flowable]:
    yield text("h1", "Summary")
    for headings, counted in (
        (STATE_HEADINGS, state_counts(report)),
        (CHECK_HEADINGS, check_counts(report)),
    ):
        yield from grid(headings, [(name, *map(str, counts)) for name, counts in counted], _COUNTS)
        yield gap(5)
    yield text("h1", "What fails")
    rows = [
        (topic.name, place_text(each.where), each.check, *amounts(each))
        for topic in topics
        for each in topic.findings
        if each.accepted is None
    ]
    yield from grid(_LIST_HEADINGS, rows, _LIST)
    if not rows:
        yield text("body", "Nothing, but for what was accepted, if anything.")
    yield new_page()


def _accepted(findings: Sequence[Finding]) -> Iterator[Flowable]:
    rows = [
        (named(each.subject), each.check, *amounts(each), accepted_text(each.accepted))
        for each in findings
        if each.accepted is not None
    ]
    if not rows:
        return
    yield new_page()
    yield text("h1", "Fails that somebody accepted")
    yield text("body", "They fail all the same; who answers for them is told with each.")
    yield from grid(_ACCEPTED_HEADINGS, rows, _ACCEPTED)
