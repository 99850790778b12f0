"""What is to be discussed: one topic for each box or run with a row that doesn't pass."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from uuid import UUID, uuid5

from modelcheck.model.element import ElementRef, Point
from modelcheck.model.finding import BOX_CHECKS, Finding, Outcome
from modelcheck.model.report import BoxRow, Report, RunRow
from modelcheck.model.run import Entry, Run
from modelcheck.write.terminal import named, short_text

_OURS = UUID("5b0d7c3e-6a8f-4a52-9d0b-3f1e6b8c2a47")  # under which every id of ours is made
_GUID = re.compile(r"[0-9A-Za-z_$]{22}")  # as the schemas of BCF have an IfcGuid


@dataclass(frozen=True, slots=True, kw_only=True)
class Topic:
    """One box or run, or an element of neither, with its rows in the order of the table."""

    key: str  # what it is about: the same in every later check
    kind: str  # Box, Run or Element
    subject: ElementRef  # the box, or the first element of the run
    findings: tuple[Finding, ...]
    box: BoxRow | None = None
    entries: tuple[Entry, ...] = ()  # of the box
    runs: tuple[Run, ...] = ()  # the run, or those that enter the box

    @property
    def guid(self) -> str:
        """GUID that a later check of the same subject gives again."""
        return guid_of("topic", self.key)

    @property
    def elements(self) -> tuple[ElementRef, ...]:
        """The subject and what its rows are about, each once."""
        refs = (self.subject, *(ref for each in self.findings for ref in each.elements))
        return tuple({ref.key: ref for ref in refs}.values())

    @property
    def is_failed(self) -> bool:
        """Whether a row of it fails."""
        return any(each.outcome is Outcome.FAIL for each in self.findings)

    @property
    def is_accepted(self) -> bool:
        """Whether somebody answers for every row of it."""
        return all(each.accepted is not None for each in self.findings)

    @property
    def name(self) -> str:
        """What it is about, for a person to read."""
        if self.kind == "Run":
            return f"Run {short_text(self.runs[0].name)}"
        return named(self.subject) if self.subject.name else f"{self.kind} {self.subject.guid}"

    @property
    def points(self) -> tuple[Point, ...]:
        """Places to look at; one at least."""
        line = self.runs[0].centreline if self.kind == "Run" else ()
        return line or tuple(each.at for each in self.findings)


def guid_of(*parts: str) -> str:
    """GUID made of what something is about."""
    return str(uuid5(_OURS, "\n".join(parts)))


def is_guid(guid: str) -> bool:
    """Whether BCF can name an element by this GlobalId."""
    return _GUID.fullmatch(guid) is not None


def topics_of(report: Report, *, with_undecided: bool) -> tuple[Topic, ...]:
    """Gather the rows of `report` that fail, by what they are about.

    Parameters
    ----------
    report : Report
    with_undecided : bool
        Those that need input too.
    """
    wanted = [Outcome.FAIL, *([Outcome.NEEDS_INPUT] if with_undecided else [])]
    places = _Places(report)
    gathered: dict[tuple[object, ...], list[Finding]] = {}
    for finding in report.findings:
        if finding.outcome in wanted:
            gathered.setdefault(places.of(finding), []).append(finding)
    return _numbered([places.topic(place, rows) for place, rows in gathered.items()])


class _Places:
    """What the rows of a report are about."""

    def __init__(self, report: Report) -> None:
        self._boxes = {row.enclosure.ref.key: row for row in report.boxes}
        self._runs = {row.run.name: row for row in report.runs}
        self._run_of: dict[tuple[str, int], str] = {}
        self._by_elements = {row.run.elements: row.run.name for row in report.runs}
        for row in report.runs:
            for ref in row.run.elements:
                self._run_of.setdefault(ref.key, row.run.name)
        self._entries: dict[tuple[str, int], list[Entry]] = {}
        for each in report.entries:
            self._entries.setdefault(each.entry.box.key, []).append(each.entry)

    def of(self, finding: Finding) -> tuple[object, ...]:
        """Box, run or element that `finding` is about."""
        if finding.check in BOX_CHECKS:
            return ("Box", *finding.subject.key)
        run = self._by_elements.get(finding.elements) or self._run_of.get(finding.subject.key)
        return ("Run", run) if run else ("Element", *finding.subject.key)

    def topic(self, place: tuple[object, ...], findings: Sequence[Finding]) -> Topic:
        kind, subject = str(place[0]), findings[0].subject
        file = min(each.file for each in findings)  # told where all of them need it
        row: RunRow | None = self._runs[str(place[1])] if kind == "Run" else None
        if row is not None:
            subject = row.run.elements[0]
        about = row.run.elements if row else (subject,)
        box = self._boxes.get(subject.key) if kind == "Box" else None
        entries = self._entries.get(subject.key, []) if kind == "Box" else []
        names = dict.fromkeys(entry.run for entry in entries if entry.run in self._runs)
        return Topic(
            key="\n".join([kind, file, *sorted({ref.guid for ref in about})]),
            kind=kind,
            subject=subject,
            findings=tuple(findings),
            box=box,
            entries=tuple(entries),
            runs=(row.run,) if row else tuple(self._runs[name].run for name in names),
        )


def _numbered(topics: Iterable[Topic]) -> tuple[Topic, ...]:
    """Tell apart topics about elements that share a GlobalId."""
    seen: dict[str, int] = {}
    told = []
    for topic in topics:
        seen[topic.key] = count = seen.get(topic.key, 0) + 1
        told.append(topic if count == 1 else replace(topic, key=f"{topic.key}\n{count}"))
    return tuple(told)
