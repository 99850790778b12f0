"""A failing check that somebody answers for."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Acceptance:
    """Who accepted a failing check, why, until when, and at which numbers."""

    by: str
    on: str  # date, YYYY-MM-DD
    why: str
    until: str = ""  # last day that it holds; empty: no end
    finding: str = ""  # id of the finding; empty: `box` and `check` name it
    box: str = ""  # GlobalId, Tag or unique Name
    check: str = ""
    required: float | None = None  # as the table had it when it was accepted, in `unit`
    provided: float | None = None
    unit: str = ""
