"""Sizes of raceways as people write them in schedules and settings."""

from __future__ import annotations

import re

from modelcheck.errors import RuleInputError
from modelcheck.rules.raceways import (
    Designation,
    by_metric_designator,
    by_trade_size,
    designations,
)


def size_named(trade_size: str, designator: int | None) -> Designation | None:
    """Size of a trade size in inches or a metric designator; None if neither is given.

    Parameters
    ----------
    trade_size : str
        Such as ``1-1/4`` or ``1 1/4"``; may be empty.
    designator : int or None
        Such as 35.

    Raises
    ------
    RuleInputError
        If there is no such size, or the two name different ones.
    """
    by_inches = _known(trade_size) if trade_size else None
    if designator is None:
        return by_inches
    by_metric = by_metric_designator(designator)
    if by_metric is None:
        known = ", ".join(str(row.metric_designator) for row in designations())
        raise RuleInputError(f"is {designator}, which is no metric designator; known are {known}")
    if by_inches not in (None, by_metric):
        raise RuleInputError(
            f"is {designator}, but the trade size {trade_size} is {by_inches.metric_designator}"
        )
    return by_metric


def _known(trade_size: str) -> Designation:
    plain = re.sub(r"\s*(\"|in\.?|inch)\s*$", "", trade_size.strip(), flags=re.IGNORECASE)
    found = by_trade_size(re.sub(r"\s+", "-", plain))
    if found is None:
        known = ", ".join(row.trade_size_in for row in designations())
        raise RuleInputError(f"is {trade_size!r}, which is no trade size; known are {known}")
    return found
