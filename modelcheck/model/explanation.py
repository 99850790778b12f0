"""What one check does, for a person to read."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class ExplainedRow:
    """One table row, or a whole table that is too long for a screen."""

    code: str  # empty: every code
    edition_from: str  # empty: every edition
    clause: str
    figure: str
    how: str
    source: str  # title
    source_edition: str
    address: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DisputedPoint:
    """A point that the trade reads in more ways than one."""

    point: str  # D1 …
    text: str
    setting: str  # of the table [rules]; empty: fixed
    value: str  # as it stands by default


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedExample:
    """The example of a check under one code."""

    code: str
    edition: str
    clause: str
    working: str
    outcome: str
    message: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """One check on one screen."""

    check: str
    compares: str
    why: str
    formula: str
    disputed: tuple[DisputedPoint, ...]
    disputed_text: str  # the whole paragraph, as its author wrote it
    rows: tuple[ExplainedRow, ...]
    examples: tuple[WorkedExample, ...]
