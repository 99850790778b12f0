"""Sentences that the findings share."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from modelcheck.checks.pairing import Edge
from modelcheck.model.finding import Outcome
from modelcheck.rules.requirement import spell_length
from modelcheck.units import Unit

_SHOWN_PAIRS = 3


def distinct(texts: Iterable[str]) -> tuple[str, ...]:
    """Each text once, in the order of their first place; empty ones left out."""
    return tuple(dict.fromkeys(text for text in texts if text))


def message_of(
    outcome: Outcome,
    *,
    measure: str,
    provided: float | None,
    required: float | None,
    unit: Unit,
    clause: str,
    reasons: Sequence[str],
    remedy: str,
) -> str:
    """One sentence that ends by saying what to do.

    Parameters
    ----------
    outcome : Outcome
    measure : str
        What is measured.
    provided, required : float or None
        Lengths. [unit]
    unit : {"mm", "in"}
    clause : str
        As the code's reader names it.
    reasons : sequence of str
        Why it needs input, each saying what to do.
    remedy : str
        What helps if it is too short.
    """
    asked = "" if required is None else spell_length(required, unit)
    if provided is None or required is None or outcome is Outcome.NEEDS_INPUT:
        wanted = f" against the {asked} of {clause}" if asked else f" by {clause}"
        return f"{measure} can't be decided{wanted}: {'; '.join(reasons)}"
    there = spell_length(provided, unit)
    if outcome is Outcome.PASS:
        return f"{measure} is {there}, which meets the {asked} of {clause}: nothing to do"
    short = spell_length(required - provided, unit)
    return f"{measure} is {there}, {short} short of the {asked} of {clause}: {remedy}"


def pairing_reason(failing: Collection[Edge], labels: Sequence[str]) -> str:
    """Say which pairing fails a row, and that it passes under the others."""
    told = [
        f"a pull is spliced at {labels[first]}"
        if first == second
        else f"{labels[first]} shares conductors with {labels[second]}"
        for first, second in sorted(failing)[:_SHOWN_PAIRS]
    ]
    more = len(failing) - len(told)
    if more:
        told.append(f"in {more} more cases")
    return f"it fails if {' or '.join(told)}, and passes if not: say in a pull schedule which do"
