"""One box worked by hand, for a person or a program to read."""

from __future__ import annotations

from dataclasses import dataclass

from modelcheck.model.finding import Finding


@dataclass(frozen=True, slots=True, kw_only=True)
class SizedBox:
    """What one box of BOX.toml comes to."""

    name: str
    outcome: str  # the worst of its findings, or none
    findings: tuple[Finding, ...]
    least_inside_mm: tuple[float | None, float | None, float | None]
    steps: tuple[str, ...]  # as one would write them on paper
