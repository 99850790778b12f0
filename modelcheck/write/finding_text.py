"""What every report says of a row in the same words."""

from __future__ import annotations

from modelcheck.model.acceptance import Acceptance
from modelcheck.model.finding import Finding
from modelcheck.model.whereabouts import Whereabouts
from modelcheck.write import words
from modelcheck.write.csv_tables import number
from modelcheck.write.terminal import amount


def amounts(finding: Finding) -> tuple[str, str]:
    """What a row requires and what there is, each with its unit."""
    needs, has = (amount(each, finding.unit) for each in (finding.required, finding.provided))
    return needs or words.NOT_KNOWN, has or words.NOT_KNOWN


def amounts_text(finding: Finding) -> str:
    """What a row requires and what there is; empty if neither is known."""
    needs, has = amounts(finding)
    if (needs, has) == (words.NOT_KNOWN, words.NOT_KNOWN):
        return ""
    return f"required {needs}, provided {has}"


def outcome_text(finding: Finding) -> str:
    """Outcome of a row; an accepted fail stays a fail."""
    return words.OUTCOME_WORDS[finding.outcome] + (", accepted" if finding.accepted else "")


def accepted_text(accepted: Acceptance) -> str:
    """Who accepted a failing row, when, why, until when and at which numbers."""
    until = f", until {accepted.until}" if accepted.until else ""
    needs, has = (amount(each, accepted.unit) for each in (accepted.required, accepted.provided))
    numbers = f" at required {needs}, provided {has}" if needs and has else ""
    return f"Accepted by {accepted.by} on {accepted.on}{until}{numbers}: {accepted.why}"


def place_text(where: Whereabouts) -> str:
    """Where people find an element; empty if the model doesn't tell."""
    height = number(where.height_m, 2)
    told = (
        ("storey", where.storey),
        ("space", where.space),
        ("grid", where.grid),
        ("height above the storey", f"{height} m" if height else ""),
        ("system", where.system),
        ("trade", where.trade),
    )
    return ", ".join(f"{name} {text}" for name, text in told if text)
