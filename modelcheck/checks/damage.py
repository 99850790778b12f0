"""What rests on a damaged part of a model is never passed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from modelcheck.model.finding import Finding, Outcome
from modelcheck.model.pull import BoxCase


def damages_of(case: BoxCase) -> tuple[str, ...]:
    """What is damaged of a box and of its entries; empty where nothing is."""
    box = case.enclosure
    every = (box.damage, box.missing_entry, *(entry.damage for entry in case.entries))
    return tuple(each for each in every if each)


def held_back(findings: Iterable[Finding], damages: Iterable[str]) -> tuple[Finding, ...]:
    """`findings` with the damage in each, and none of them `pass` if there is any.

    Parameters
    ----------
    findings : iterable of Finding
        All of one box or run.
    damages : iterable of str
        What is damaged of it and of its elements; empty where nothing is.
    """
    damage = "; ".join(dict.fromkeys(each for each in damages if each))
    if not damage:
        return tuple(findings)
    message = f"It would pass, but the model is damaged: {damage}; export it again and check that"
    return tuple(_held_back(each, f"damaged: {damage}", message) for each in findings)


def doubted(findings: Iterable[Finding], doubt: str) -> tuple[Finding, ...]:
    """`findings` with the doubt in each, and none of them `pass` if there is any.

    Parameters
    ----------
    findings : iterable of Finding
        All of one box.
    doubt : str
        Which entries of it may be missing; empty where none may.
    """
    if not doubt:
        return tuple(findings)
    message = f"It would pass with the entries that are drawn, but {doubt}: join it or move it away"
    return tuple(_held_back(each, f"taken not to enter: {doubt}", message) for each in findings)


def _held_back(finding: Finding, note: str, message: str) -> Finding:
    told = replace(finding, assumptions=(*finding.assumptions, note))
    if finding.outcome is not Outcome.PASS:
        return told
    return replace(told, outcome=Outcome.NEEDS_INPUT, message=message)
