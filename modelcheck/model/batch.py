"""The projects of a batch: what is to be done for each, and what came of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from modelcheck.model.settings import Options
from modelcheck.model.wanted import Wanted


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchTask:
    """One project to check, on this machine or another; files as paths or URLs."""

    project: str  # its name, and that of the folder with its results
    models: tuple[str, ...]
    out: str
    version: str  # of the program that asks
    pulls: str = ""
    settings: str = ""
    options: Options = field(default_factory=Options)
    size_all_boxes: bool = False
    wanted: Wanted = field(default_factory=Wanted)
    on: date | None = None  # on which acceptances are asked to hold
    model_bytes: int = 0  # the largest are begun first


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchRow:
    """What came of one project."""

    project: str
    models: tuple[str, ...]  # file names
    passed: int = 0
    failed: int = 0
    needs_input: int = 0
    is_strict: bool = False  # a check that needs input counts as one that failed
    is_earlier: bool = False  # an earlier batch had finished it
    broken: str = ""  # why it could not be checked, in one sentence

    @property
    def outcome(self) -> str:
        """Worst of its findings: fail, needs-input, pass or none; empty if it wasn't checked."""
        if self.broken:
            return ""
        counts = {"fail": self.failed, "needs-input": self.needs_input, "pass": self.passed}
        return next((outcome for outcome, count in counts.items() if count), "none")

    @property
    def is_sound(self) -> bool:
        """True if it was checked and nothing failed."""
        return self.outcome in (
            ("pass", "none") if self.is_strict else ("pass", "none", "needs-input")
        )
