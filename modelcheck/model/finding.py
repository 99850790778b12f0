"""One row of the answer."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from hashlib import sha256

from modelcheck.model.acceptance import Acceptance
from modelcheck.model.element import ElementRef, Point
from modelcheck.model.whereabouts import Whereabouts

BOX_CHECKS = (
    "straight-pull-length",
    "angle-pull-distance",
    "entry-spacing",
    "cover-depth",
    "box-volume",
)
RUN_CHECKS = (
    "bends-between-pull-points",
    "run-continuity",
    "bend-radius",
    "run-length",
    "conduit-fill",
)

AT_MOST = ("bends-between-pull-points", "run-continuity", "run-length", "conduit-fill")


class Outcome(StrEnum):
    """What a check came to."""

    PASS = "pass"
    NEEDS_INPUT = "needs-input"
    FAIL = "fail"

    @property
    def rank(self) -> int:
        """0 for the best, 2 for the worst."""
        return _RANKS.index(self)


_RANKS = tuple(Outcome)


def worst(outcomes: list[Outcome]) -> Outcome | None:
    """Worst of `outcomes`, or None if there is none."""
    return max(outcomes, key=lambda outcome: outcome.rank, default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One check made on one subject; `required` and `provided` are unrounded, in `unit`."""

    check: str
    outcome: Outcome
    subject: ElementRef
    elements: tuple[ElementRef, ...] = ()
    required: float | None = None
    provided: float | None = None
    unit: str = ""  # mm, in, deg, cm3, in3 or empty
    code: str
    edition: str
    clause: str
    working: str = ""
    assumptions: tuple[str, ...] = ()
    message: str
    at: Point
    where: Whereabouts = field(default_factory=Whereabouts)  # of the subject
    accepted: Acceptance | None = None  # a fail that somebody answers for; it stays a fail
    file: str = ""  # model, only where one of the GlobalIds occurs in two files
    serial: int = 1  # tells apart findings that are about the same elements of one file

    @property
    def element_guids(self) -> tuple[str, ...]:
        """GlobalIds of the elements, each once; sorted for a box, in order for a run."""
        guids = dict.fromkeys(ref.guid for ref in self.elements)
        return tuple(sorted(guids) if self.check in BOX_CHECKS else guids)

    @property
    def id(self) -> str:
        """Name that survives a new run, a renamed file, a moved wall and a reworded message."""
        key = "\n".join(
            [
                self.check,
                *([self.file] if self.file else []),
                self.subject.guid,
                *sorted({ref.guid for ref in self.elements}),
            ]
        )
        digest = sha256(key.encode()).hexdigest()[:12]
        return f"{self.check}-{digest}" + ("" if self.serial == 1 else f"-{self.serial}")


def governing(findings: list[Finding]) -> Finding | None:
    """Worst of `findings`: by outcome, then by how much is short; None if there is none."""
    return max(findings, key=_badness, default=None)


def short_by(finding: Finding) -> float | None:
    """How much is missing, or over where less is better; None if it isn't known."""
    if finding.required is None or finding.provided is None:
        return None
    short = finding.required - finding.provided
    return -short if finding.check in AT_MOST else short


def _badness(finding: Finding) -> tuple[int, float]:
    short = short_by(finding)
    return finding.outcome.rank, float("-inf") if short is None else short
