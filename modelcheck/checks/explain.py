"""What a check does, from its own text, the rows behind it, and an example that it works."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from types import ModuleType

from modelcheck.checks.every_check import CHECKS
from modelcheck.checks.examples import example_findings
from modelcheck.errors import RuleInputError
from modelcheck.model.explanation import DisputedPoint, ExplainedRow, Explanation, WorkedExample
from modelcheck.model.settings import RuleSwitches, Settings
from modelcheck.rules.bends import bend_limits, bend_radii, standard_elbows
from modelcheck.rules.box_fill import fill_allowances, fill_counts, listed_boxes
from modelcheck.rules.catalogue import code_rulebook, rulebook
from modelcheck.rules.conductors import conductors
from modelcheck.rules.conduit_fill import fill_percents, raceway_areas
from modelcheck.rules.limits import check_clauses, default_edition, limits
from modelcheck.rules.pull_box import bending_spaces, pull_box_factors, size_thresholds
from modelcheck.rules.raceways import outside_diameters
from modelcheck.rules.tables import HOW, CodedRow, TableRow, sources

_MOST_ROWS = 24  # of one table that fit a screen


def check_names() -> tuple[str, ...]:
    """Names of all checks, in their order."""
    return tuple(module.CHECK for module in CHECKS)


def explain(check: str, settings: Settings | None = None) -> Explanation:
    """Explain `check`, its example worked under both codes or under those of `settings`.

    Raises
    ------
    RuleInputError
        If there is no such check.
    """
    module = next((each for each in CHECKS if check == each.CHECK), None)
    if module is None:
        raise RuleInputError(
            f"there is no check {check!r}; it must be one of {', '.join(check_names())}"
        )
    parts = _parts(module)
    return Explanation(
        check=check,
        compares=parts[""],
        why=parts["Why"],
        formula=parts["Formula"],
        disputed=tuple(_points(parts["Disputed"])),
        disputed_text=parts["Disputed"],
        rows=tuple(row for table in _rows_behind(check) for row in _explained(table)),
        examples=tuple(_example(check, each) for each in _shown_settings(settings)),
    )


def _parts(module: ModuleType) -> dict[str, str]:
    """Take the check's own text apart by the words its paragraphs begin with."""
    parts = {}
    for paragraph in (module.__doc__ or "").strip().split("\n\n"):
        text = " ".join(paragraph.split())
        head, _, rest = text.partition(": ")
        named = head in ("Why", "Formula", "Disputed")
        parts[head if named else ""] = rest if named else text
    return parts


def _points(text: str) -> list[DisputedPoint]:
    points = []
    for match in re.finditer(r"(D\d+) (.*?)(?= D\d+ |$)", text):
        setting = re.search(r"``(\w+)``", match[2])
        name = setting[1] if setting else ""
        points.append(
            DisputedPoint(
                point=match[1],
                text=match[2],
                setting=name,
                value=str(getattr(RuleSwitches(), name)) if name else "",
            )
        )
    return points


def _rows_behind(check: str) -> tuple[tuple[TableRow, ...], ...]:
    """Tables that a check rests on, each cut to the rows it uses."""
    factors = tuple(row for row in pull_box_factors() if row.check == check)
    own_clauses = tuple(row for row in check_clauses() if row.check == check)
    named = {row.name: row for row in limits()}
    tables: dict[str, tuple[tuple[TableRow, ...], ...]] = {
        "straight-pull-length": (factors, size_thresholds(), (named["off-axis-angle"],)),
        "angle-pull-distance": (factors, size_thresholds(), outside_diameters()),
        "entry-spacing": (factors, size_thresholds(), outside_diameters()),
        "cover-depth": (factors, size_thresholds(), bending_spaces(), conductors()),
        "box-volume": (
            fill_counts(),
            fill_allowances(),
            listed_boxes(),
            (named["deep-device"], named["deep-device-volume"]),
        ),
        "bends-between-pull-points": (
            bend_limits(),
            standard_elbows(),
            (named["near-bend-limit"], named["telecom-bends"]),
        ),
        "bend-radius": (bend_radii(),),
        "run-length": (own_clauses, (named["telecom-length"],)),
        "run-continuity": (own_clauses,),
        "conduit-fill": (
            fill_percents(),
            (named["nipple-length"], named["fill-rounding"]),
            raceway_areas(),
            conductors(),
        ),
    }
    return tables[check]


def _explained(table: Sequence[TableRow]) -> list[ExplainedRow]:
    if len(table) <= _MOST_ROWS:
        return [_explained_row(row) for row in table]
    by_origin: dict[tuple[str, str, str], list[TableRow]] = {}
    for row in table:
        code, edition = (row.code, row.edition_from) if isinstance(row, CodedRow) else ("", "")
        by_origin.setdefault((code, edition, row.source), []).append(row)
    return [_explained_rows(rows) for rows in by_origin.values()]


def _explained_row(row: TableRow) -> ExplainedRow:
    source = sources().get(row.source)
    return ExplainedRow(
        code=row.code if isinstance(row, CodedRow) else "",
        edition_from=row.edition_from if isinstance(row, CodedRow) else "",
        clause=row.clause,
        figure=row.figure,
        how=row.how,
        source=source.title if source else row.source,
        source_edition=source.edition if source else "",
        address=source.address if source else "",
        note=row.note,
    )


def _explained_rows(rows: Sequence[TableRow]) -> ExplainedRow:
    """Several rows of one source as one: the first, the last, and how many."""
    first, last = _explained_row(rows[0]), _explained_row(rows[-1])
    if len(rows) == 1:
        return first
    hows = Counter(row.how for row in rows)
    return replace(
        first,
        clause=_span(first.clause, last.clause),
        figure=f"{_span(first.figure, last.figure)} ({len(rows)} rows)",
        how=", ".join(f"{hows[how]} {how}" for how in HOW if hows[how]),
        note=first.note if first.note == last.note else "",
    )


def _span(first: str, last: str) -> str:
    return first if first == last else f"{first} … {last}"


def _shown_settings(settings: Settings | None) -> tuple[Settings, ...]:
    if settings is not None:
        return (settings,)
    nec = default_edition("nec")
    inch = Settings(code="nec", edition=nec or "", basis="inch", units="in")
    return (Settings(), inch)


def _example(check: str, settings: Settings) -> WorkedExample:
    book = (
        rulebook(settings)
        if settings.amendments
        else code_rulebook(settings.code, settings.edition)
    )
    finding = example_findings(check, book, settings)[0]
    return WorkedExample(
        code=finding.code,
        edition=finding.edition,
        clause=finding.clause,
        working=finding.working,
        outcome=finding.outcome.value,
        message=finding.message,
    )
