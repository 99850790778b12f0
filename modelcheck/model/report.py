"""The whole answer of one check, as the writers take it."""

from __future__ import annotations

from dataclasses import dataclass, field

from modelcheck.model.change import Changes
from modelcheck.model.element import Enclosure, NotUnderstood
from modelcheck.model.finding import Finding, Outcome
from modelcheck.model.fix import Fix
from modelcheck.model.pull import BoxCase
from modelcheck.model.run import Entry, Run
from modelcheck.model.run_plans import RunPlans
from modelcheck.model.settings import Settings
from modelcheck.model.whereabouts import Whereabouts


@dataclass(frozen=True, slots=True, kw_only=True)
class InputFile:
    """One model that was read."""

    model: str  # as the tables show it
    path: str  # absolute
    sha256: str
    schema: str
    project: str = ""  # name of the project in it
    dated: str = ""  # time stamp of its header, as it stands there
    project_guid: str = ""  # GlobalId of the project in it


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherInput:
    """A schedule or settings that were read."""

    path: str  # absolute
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RunRow:
    """One run with its verdict."""

    run: Run
    limit_deg: float
    bend_total_deg: float
    outcome: str
    where: Whereabouts = field(default_factory=Whereabouts)  # of its first element


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxRow:
    """One box with its verdict: fail, needs-input, pass or none."""

    enclosure: Enclosure
    entry_count: int
    outcome: str
    message: str = ""
    where: Whereabouts = field(default_factory=Whereabouts)


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryRow:
    """One entry with the pulls that it carries."""

    entry: Entry
    carries: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """Everything a check found, sorted as the tables want it."""

    inputs: tuple[InputFile, ...]
    settings: Settings
    asked_sha256: str = ""  # of all that the results hang on: inputs, options, version
    pulls: OtherInput | None = None
    settings_file: OtherInput | None = None
    since: OtherInput | None = None  # summary of the earlier results that `changes` is about
    findings: tuple[Finding, ...] = ()
    runs: tuple[RunRow, ...] = ()
    boxes: tuple[BoxRow, ...] = ()
    cases: tuple[BoxCase, ...] = ()  # what was known of each of `boxes`, in their order
    entries: tuple[EntryRow, ...] = ()
    fixes: tuple[Fix, ...] = ()
    plans: RunPlans = field(default_factory=RunPlans)
    not_understood: tuple[NotUnderstood, ...] = ()
    unchecked_figures: tuple[str, ...] = ()  # figures used here that were not read in a code book
    notes: tuple[str, ...] = ()
    stale_acceptances: tuple[str, ...] = ()  # a sentence for each that no longer holds
    accepted_on: str = ""  # date on which acceptances were asked to hold; empty: there are none
    changes: Changes | None = None  # since earlier results; None: none were given

    @property
    def other_inputs(self) -> tuple[OtherInput, ...]:
        """What was read beside the models."""
        return tuple(each for each in (self.pulls, self.settings_file, self.since) if each)

    @property
    def accepted(self) -> tuple[Finding, ...]:
        """Fails that somebody answers for; they are still fails."""
        return tuple(finding for finding in self.findings if finding.accepted)

    @property
    def failed(self) -> bool:
        """True if a check failed."""
        return any(finding.outcome is Outcome.FAIL for finding in self.findings)

    @property
    def nothing_to_check(self) -> bool:
        """True if no conduit and no box was found."""
        return not (self.runs or self.boxes)
