"""One box under its rules: what its rows ask of it, and what they come to if it is so large."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Self

from modelcheck.checks import (
    angle_pull_distance,
    box_volume,
    conduit_body,
    cover_depth,
    entry_spacing,
    straight_pull_length,
)
from modelcheck.checks.box_view import BoxView, see_box
from modelcheck.checks.damage import damages_of
from modelcheck.checks.demands import demands_of
from modelcheck.checks.distance_row import DistanceRow, worst_outcomes
from modelcheck.model.demand import BoxDemands
from modelcheck.model.finding import Finding, Outcome
from modelcheck.model.pull import BoxCase
from modelcheck.model.settings import Settings
from modelcheck.rules.catalogue import RuleBook

Lengths = tuple[float, float, float]  # inside along x, y and z [m]
_BY_DISTANCE = (straight_pull_length, angle_pull_distance, entry_spacing, cover_depth)


@dataclass(frozen=True, kw_only=True)
class RuledBox:
    """A box with its rows under the chosen readings."""

    view: BoxView

    @classmethod
    def of(cls, case: BoxCase, rulebook: RuleBook, settings: Settings) -> Self:
        """Look at one box.

        Parameters
        ----------
        case : BoxCase
            The box, its entries and its pulls, or None for pulls that aren't known.
        rulebook : RuleBook
            Of the same settings.
        settings : Settings
        """
        return cls(view=see_box(case, rulebook, settings))

    @cached_property
    def rows(self) -> tuple[DistanceRow, ...]:
        """Rows about a distance that some pairing may make."""
        if conduit_body.is_unmeasured(self.view) or self._is_left_out:
            return ()
        return tuple(row for check in _BY_DISTANCE for row in check.rows(self.view))

    @cached_property
    def volume(self) -> tuple[Finding, ...]:
        """The row about its volume, if it is under one."""
        return box_volume.findings(self.view)

    @cached_property
    def demands(self) -> BoxDemands:
        """What the rows ask at most, under every pairing that is possible."""
        return demands_of(self.view, self.rows, self.volume)

    def outcomes(self, inside_m: Lengths) -> tuple[tuple[str, Outcome], ...]:
        """Check and outcome of every row that `check_box` gives where the box is so large.

        What the rows ask doesn't hang on the size but for a cover that isn't told: it is taken to
        lie on the shallowest dimension.

        Parameters
        ----------
        inside_m : tuple of float, shape (3,)
            Inside; the entries keep their place from the middle of their wall. [m]
        """
        if self._is_left_out:
            return ()
        view, rows = self.view, self.rows
        if None in view.box.inside_m or not view.keeps_covers(inside_m):
            rows = RuledBox(view=view.sized(inside_m)).rows
        told = (*_by_distance(view, rows, inside_m), *self._by_volume(inside_m))
        if damages_of(view.case) or view.case.doubt:
            return tuple((check, _not_passing(outcome)) for check, outcome in told)
        return told

    def _by_volume(self, inside_m: Lengths) -> Iterator[tuple[str, Outcome]]:
        if self.volume:
            for finding in box_volume.findings(self.view.sized(inside_m)):
                yield finding.check, finding.outcome

    @property
    def _is_left_out(self) -> bool:
        return not self.view.case.entries or self.view.leaves_out(self.view.box.system)


def _by_distance(
    box: BoxView, rows: tuple[DistanceRow, ...], inside_m: Lengths
) -> Iterator[tuple[str, Outcome]]:
    checks = {row.key: row.check for row in rows}
    covered = box.marked is not None and box.marked.covers
    for key, outcome in worst_outcomes((row.key, row.outcome(inside_m)) for row in rows).items():
        yield checks[key], Outcome.PASS if covered else outcome


def _not_passing(outcome: Outcome) -> Outcome:
    return Outcome.NEEDS_INPUT if outcome is Outcome.PASS else outcome
