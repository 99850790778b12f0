"""One row about a distance in a box: what it asks and what there is, in numbers and in words."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from modelcheck.checks.box_view import TOLERANCE_M, BoxView, Inside
from modelcheck.checks.pairing import Bounds, Edge, Group, Weighed, weigh
from modelcheck.checks.wording import distinct, pairing_reason
from modelcheck.model.finding import Outcome
from modelcheck.model.settings import RuleSwitches
from modelcheck.rules.requirement import Requirement
from modelcheck.rules.tables import TableRow
from modelcheck.units import Unit, from_metres


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """What one edge asks, at least and at most; None where a size is missing."""

    least: Requirement | None
    most: Requirement | None

    @classmethod
    def sure(cls, requirement: Requirement | None) -> Demand:
        """What is asked without doubt."""
        return cls(least=requirement, most=requirement)

    @property
    def least_m(self) -> float:
        """The least in metres; nothing where it isn't known."""
        return 0.0 if self.least is None else self.least.value_m

    @property
    def most_m(self) -> float:
        """The most in metres; no limit where it isn't known."""
        return float("inf") if self.most is None else self.most.value_m


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """What is printed of a row."""

    measure: str  # what is measured, as the message begins
    remedy: str  # what helps if it is too short
    unsure: str = ""  # what would settle a demand or a distance that is known in bounds only
    wanting: tuple[str, ...] = ()  # what must be told of demands that aren't known
    notes: tuple[str, ...] = ()


@dataclass(slots=True, kw_only=True)
class DistanceRow:
    """A row that some pairing may make, in a box of any size.

    What it asks is worked for the readings that are asked, what there is for the size; its words
    are made when it is printed.
    """

    box: BoxView
    key: str  # tells it from the other rows of this box; of those with one key the worst stands
    check: str
    rule: TableRow
    entries: tuple[int, ...]  # that the finding is about
    asks: Callable[[Unit, RuleSwitches], Mapping[Edge, Demand]]  # of the edges that make the row
    measures: Callable[[Inside, RuleSwitches], Bounds | None]  # what there is, where it is known
    words: Callable[[], Words]
    groups: tuple[Group, ...]  # edges that are told or possible, those that make other rows too
    axis: int | None = None  # that the distance is inside along
    missing: tuple[str, ...] = ()  # what must be told before it can be decided
    is_wanting: bool = False  # some demands aren't known: it may fail, but can't pass
    lifted_by: str = ""  # why a failure isn't certain
    demands: Mapping[Edge, Demand] = field(init=False)  # under the chosen readings
    weighed: Weighed | None = field(init=False)  # the same of all pairings; None: none makes it

    def __post_init__(self) -> None:
        self.demands = self.asks(self.box.unit, self.box.switches)
        self.weighed = weigh(self.groups, self.demands)
        doubts = [g.doubt for g in self.groups if g.doubt and not g.edges.isdisjoint(self.demands)]
        if doubts:
            self.missing = distinct([*self.missing, *doubts])

    @property
    def marking_lacks(self) -> str:
        """What must be told before the marking of the box can be used; empty if nothing."""
        return "" if self.box.marked is None else self.box.marked.missing

    def outcome(self, inside_m: Inside) -> Outcome | None:
        """What it comes to in a box so large; None if it isn't there, or passes where it is."""
        return self.judged(self.weighed, self.measures(inside_m, self.box.switches))

    def outcome_under(self, unit: Unit, rules: RuleSwitches) -> Outcome | None:
        """What it comes to in the box as it is, worked on the names in `unit` under `rules`."""
        asked = weigh(self.groups, self.asks(unit, rules))
        return self.judged(asked, self.measures(self.box.box.inside_m, rules))

    def judged(self, asked: Weighed | None, provided_m: Bounds | None) -> Outcome | None:
        """Judge what there is by what is asked; None if nothing is, or it is met where it is."""
        if asked is None:
            return None
        outcome = asked.outcome(provided_m, tolerance_m=TOLERANCE_M)
        is_failing = outcome is Outcome.FAIL
        if self.missing or (self.is_wanting and not is_failing):
            return Outcome.NEEDS_INPUT
        if is_failing and (self.lifted_by or self.marking_lacks):
            return Outcome.NEEDS_INPUT
        return outcome


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """A row with its outcome in the box as it is."""

    row: DistanceRow
    outcome: Outcome
    provided_m: Bounds | None  # what there is, at least and at most
    requirement: Requirement | None  # the largest that a possible pairing asks

    def reasons(self, words: Words) -> tuple[str, ...]:
        """Say in the `words` of the row why it needs input."""
        row = self.row
        if self.outcome is not Outcome.NEEDS_INPUT or row.weighed is None:
            return ()
        reasons = distinct([*row.missing, *words.wanting])
        if not reasons:
            is_failing = (
                row.weighed.outcome(self.provided_m, tolerance_m=TOLERANCE_M) is Outcome.FAIL
            )
            reasons = (
                distinct([row.lifted_by])
                if is_failing
                else (self._doubt(row.weighed, words.unsure),)
            )
        return (*reasons, row.marking_lacks) if row.marking_lacks else reasons

    def _doubt(self, weighed: Weighed, unsure: str) -> str:
        """Say what keeps a row from its outcome of which all is told but what its pairs are."""
        provided_m, demands = self.provided_m, self.row.demands
        if provided_m is None:
            return unsure
        least_m, most_m = (length_m + TOLERANCE_M for length_m in provided_m)
        failing = [pair for pair in weighed.made_by if demands[pair].most_m > least_m]
        if unsure and any(demands[pair].least_m <= most_m for pair in failing):
            return unsure
        return pairing_reason(failing, [entry.label for entry in self.row.box.entries])


RowsOf = Callable[[BoxView], Iterable[DistanceRow]]


def requirement_of(row: DistanceRow) -> Requirement | None:
    """Largest requirement of the edges that a pairing may have; None if one isn't known."""
    made_by = () if row.weighed is None else row.weighed.made_by
    known = [most for pair in made_by if (most := row.demands[pair].most) is not None]
    if not known or len(known) < len(made_by):
        return None
    different = {id(each): each for each in known}  # most edges ask one and the same
    return max(different.values(), key=lambda each: (each.value_in("mm"), each.working))


def decisions(rows: Iterable[DistanceRow]) -> tuple[Decision, ...]:
    """Rows that exist in the box as it is, with their outcomes."""
    told = (_decision(row) for row in standing(rows))
    return tuple(each for each in told if each is not None)


def _decision(row: DistanceRow) -> Decision | None:
    provided_m = row.measures(row.box.box.inside_m, row.box.switches)
    outcome = row.judged(row.weighed, provided_m)
    if outcome is None:
        return None
    requirement = requirement_of(row)
    return Decision(row=row, outcome=outcome, provided_m=provided_m, requirement=requirement)


def standing(rows: Iterable[DistanceRow]) -> Iterable[DistanceRow]:
    """Give `rows`, of rivals the worst in the box as it is."""
    worst: dict[str, DistanceRow] = {}
    for row in rows:
        rival = worst.get(row.key)
        if rival is None or _severity(rival) < _severity(row):
            worst[row.key] = row
    return worst.values()


def _severity(row: DistanceRow) -> tuple[int, float]:
    """Rank among rivals: by its outcome, then by how much is short."""
    decision = _decision(row)
    if decision is None:
        return (-1, 0.0)
    rank, asked, provided_m = decision.outcome.rank, decision.requirement, decision.provided_m
    if asked is None or provided_m is None:
        return (rank, 0.0)
    return (rank, asked.value - from_metres(provided_m[0], asked.unit))


def worst_outcomes(told: Iterable[tuple[str, Outcome | None]]) -> dict[str, Outcome]:
    """Outcomes by the keys of their rows, of rivals the worst; those that aren't there left out."""
    worst: dict[str, Outcome] = {}
    for key, outcome in told:
        if outcome is not None and (key not in worst or worst[key].rank < outcome.rank):
            worst[key] = outcome
    return worst
