"""What changed between the results of two checks, and the results as their tables tell them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any


class ChangeKind(StrEnum):
    """What became of a finding; the order is that of the tables."""

    NEW = "new"
    VERDICT = "changed-verdict"
    OPEN = "still-open"
    MOVED = "moved"  # passes as before, somewhere else
    GONE = "gone"
    SAME = "same"


class MatchedBy(StrEnum):
    """How a finding was found again."""

    NOTHING = ""
    ID = "id"
    ELEMENTS = "elements"  # of the same subject, with most of its elements
    PLACE = "place"  # and size, where the GlobalIds are other ones


Row = Mapping[str, str]  # cells of one row by column


@dataclass(frozen=True, slots=True, kw_only=True)
class Results:
    """Tables and summary of one check."""

    name: str  # of their folder
    findings: tuple[Row, ...] = ()
    boxes: tuple[Row, ...] = ()
    runs: tuple[Row, ...] = ()
    entries: tuple[Row, ...] = ()
    summary: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One finding of the new results, or one of the old that is gone."""

    kind: ChangeKind
    finding: str  # id in the new results; of one that is gone, in the old
    old_finding: str = ""  # its id in the old results, where that is another
    matched_by: MatchedBy = MatchedBy.NOTHING
    model: str
    check: str
    subject_guid: str
    subject_name: str
    old_outcome: str = ""
    outcome: str = ""
    old_required: float | None = None  # in `unit`
    required: float | None = None
    old_provided: float | None = None
    provided: float | None = None
    unit: str = ""
    moved_m: float | None = None  # how far its subject was moved; None: it wasn't
    why: tuple[str, ...] = ()
    message: str = ""
    storey: str = ""
    grid: str = ""
    at: tuple[float | None, float | None, float | None] = (None, None, None)

    @property
    def is_new_fail(self) -> bool:
        """True if it fails and didn't fail before."""
        return self.outcome == "fail" and self.old_outcome != "fail"


@dataclass(frozen=True, slots=True, kw_only=True)
class Changes:
    """Everything that changed from one check to the next, what concerns the eye first."""

    since: str  # folder of the old results
    rows: tuple[Change, ...] = ()  # all but those that are the same
    same: int = 0  # rows that pass as before, where they were
    notes: tuple[str, ...] = ()  # what differs of the checks as wholes

    @property
    def new_fails(self) -> tuple[Change, ...]:
        """Rows that fail and didn't before."""
        return tuple(each for each in self.rows if each.is_new_fail)

    def count(self, kind: ChangeKind) -> int:
        """Return how many rows are of this kind."""
        return self.same if kind is ChangeKind.SAME else sum(row.kind is kind for row in self.rows)
