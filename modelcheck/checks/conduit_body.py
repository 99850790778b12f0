"""A conduit body: its own shell is not measured, so its marking or dimensions must be told."""

from __future__ import annotations

from modelcheck.checks import angle_pull_distance, box_volume, straight_pull_length
from modelcheck.checks.box_view import BoxView
from modelcheck.checks.entry_conductors import conductors_at
from modelcheck.checks.marking import as_marked, marking_of
from modelcheck.checks.wording import distinct
from modelcheck.model.element import opposite
from modelcheck.model.finding import Finding, Outcome
from modelcheck.rules.tables import TableRow


def is_unmeasured(box: BoxView) -> bool:
    """Whether the box is a conduit body of which no inside size was told."""
    return box.box.is_conduit_body and None in box.box.inside_m


def finding(box: BoxView) -> Finding:
    """Give the one row of a conduit body that was not measured."""
    check, rule = _check(box)
    marked = marking_of(box.case)
    asked = marked.missing if marked is not None else "give its marking or its inside dimensions"
    row = Finding(
        check=check,
        outcome=Outcome.NEEDS_INPUT,
        subject=box.box.ref,
        elements=box.conduits(range(len(box.entries))),
        code=box.book.code,
        edition=box.book.edition,
        clause=rule.clause,
        assumptions=distinct(
            [*box.box.assumptions, *(note for each in box.entries for note in each.assumptions)]
        ),
        message=(
            "The shell of a conduit body is not measured, so"
            f" {box.book.named(rule.clause)} can't be decided:"
            f" {asked or 'it is marked for fewer or smaller conductors than are scheduled'}"
        ),
        at=box.box.origin,
    )
    covers = marked is not None and marked.covers and check != box_volume.CHECK
    return as_marked(row, marked, box.book) if marked is not None and covers else row


def _check(box: BoxView) -> tuple[str, TableRow]:
    """Check that the body would be under: by volume, or by the way its raceways stand."""
    if not any(conductors_at(entry, box).may_be_large for entry in box.entries):
        return box_volume.CHECK, box.book.clauses[box_volume.CHECK]
    walls = {entry.wall for entry in box.entries}
    is_straight = len(walls) > 1 and all(walls == {wall, opposite(wall)} for wall in walls)
    check = straight_pull_length.CHECK if is_straight else angle_pull_distance.CHECK
    return check, box.book.factor(check) or box.book.clauses["conduit-body"]
