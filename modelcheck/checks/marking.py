"""Boxes and conduit bodies that are marked with the greatest number and size of conductors."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from modelcheck.checks.pulls import insulated, over_voltage
from modelcheck.model.finding import Finding, Outcome
from modelcheck.model.pull import BoxCase
from modelcheck.rules.catalogue import RuleBook
from modelcheck.rules.conductors import ConductorSize, conductor_size, largest

_MARK = re.compile(r"\s*(?P<count>\d+)\s*(?:x|\u00d7|-|no\.?|,)?\s*(?P<size>.+)", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Marking:
    """So many conductors of at most this size."""

    count: int
    size: ConductorSize


@dataclass(frozen=True, slots=True, kw_only=True)
class Marked:
    """What the marking of a box says of the conductors in it."""

    text: str
    covers: bool = False
    count: int = 0  # conductors scheduled
    most: int = 0  # conductors it is marked for
    note: str = ""
    missing: str = ""  # what must be told before it can be used


def parse_marking(text: str) -> Marking | None:
    """Read ``3 x 250 kcmil`` or ``3 - 4/0 AWG RW90``; None if it says something else."""
    match = _MARK.fullmatch(text)
    if match is None:
        return None
    words = match["size"].split()
    for length in range(len(words), 0, -1):
        size = conductor_size(" ".join(words[:length]))
        if size is not None:
            return Marking(count=int(match["count"]), size=size)
    return None


def marking_of(case: BoxCase) -> Marked | None:
    """Compare the marking of a box with its conductors; None if it has no marking."""
    text = case.enclosure.marked_for
    if not text:
        return None
    marking = parse_marking(text)
    if marking is None:
        return Marked(
            text=text,
            missing=f"write its marking {text!r} as number and size, such as 3 x 250 kcmil",
        )
    scheduled = _scheduled(case)
    if scheduled is None:
        return Marked(
            text=text,
            missing=(
                f"it is marked for {text}, which may allow less: give number and size of every"
                " conductor in it"
            ),
        )
    count, size = scheduled
    if count > marking.count or marking.size < size:
        note = f"marked for {text}, but {count} conductors up to {size.size} are scheduled"
        return Marked(text=text, note=note)
    return Marked(
        text=text,
        covers=True,
        count=count,
        most=marking.count,
        note=f"{count} conductors up to {size.size} <= {marking.count} of {marking.size.size}",
    )


def as_marked(finding: Finding, marked: Marked, book: RuleBook) -> Finding:
    """Pass a distance that is too short or not known by what the box is marked for."""
    clause = book.clauses["conduit-body"]
    return replace(
        finding,
        outcome=Outcome.PASS,
        required=float(marked.count),
        provided=float(marked.most),
        unit="",
        clause=clause.clause,
        working=marked.note,
        assumptions=(
            *finding.assumptions,
            f"not as large as the distances ask ({finding.working or 'not measured'}), but listed"
            f" and marked for {marked.text}; conductors below full fill of their raceways",
            *clause.caveats,
        ),
        message=(
            f"It is marked for {marked.text}, which covers the {marked.count} conductors scheduled"
            f" in it by {book.named(clause.clause)}: see that the marking is on the box itself"
        ),
    )


def _scheduled(case: BoxCase) -> tuple[int, ConductorSize] | None:
    """Number of insulated conductors in the box and the largest; None if one isn't known."""
    named = {place for pull in case.pulls or () for place in pull.entries}
    if not case.pulls or len(named) < len(case.entries):
        return None
    count, sizes = 0, []
    for pull in case.pulls:
        if pull.is_spare:
            continue
        if not pull.conductors or over_voltage(pull):
            return None
        for each in insulated(pull.conductors):
            size = conductor_size(each.size)
            if size is None or each.count is None:
                return None
            count += each.count
            sizes.append(size)
    greatest = largest(sizes)
    return None if greatest is None else (count, greatest)
