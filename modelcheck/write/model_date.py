"""Dates of results: those that the models bear, never that of today."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime

from modelcheck.model.report import InputFile

NO_DATE = datetime(1970, 1, 1, tzinfo=UTC)  # stands where a date must and there is none


def dated_utc(text: str) -> datetime | None:
    """Read the time stamp of a model's header, to the second; None if it is no date.

    A time without a zone is taken as UTC, as BCF has it.
    """
    try:
        stamp = datetime.fromisoformat(text.strip())
        in_utc = stamp.astimezone(UTC) if stamp.tzinfo else stamp.replace(tzinfo=UTC)
    except (ValueError, OverflowError):
        return None
    return in_utc.replace(microsecond=0)


def newest(inputs: Iterable[InputFile]) -> datetime | None:
    """Date of the model that was written last; None if none bears one."""
    return max((date for each in inputs if (date := dated_utc(each.dated))), default=None)
