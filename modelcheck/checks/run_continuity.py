"""An open end, or two ends that nearly meet; a sound run has no row.

Why: a gap in the model hides a bend, a box or a wrong route, and every total that crosses it.

Formula: ends up to the joining tolerance apart are joined. Further apart, up to the near tolerance
and in line, they are a near pair, which fails; any other free end needs input, unless a cap closes
it, equipment meets it, or the settings name it as meant.

Disputed: none.
"""

from __future__ import annotations

from collections.abc import Sequence

from modelcheck.model.finding import Finding, Outcome
from modelcheck.model.run import LooseEnd
from modelcheck.model.settings import Settings
from modelcheck.rules.catalogue import RuleBook
from modelcheck.rules.requirement import spell_length
from modelcheck.units import Unit, from_metres

CHECK = "run-continuity"


def check_loose_ends(
    loose_ends: Sequence[LooseEnd], book: RuleBook, settings: Settings
) -> tuple[Finding, ...]:
    """One row a loose end or near pair."""
    return tuple(_finding(loose, book, settings) for loose in loose_ends)


def _finding(loose: LooseEnd, book: RuleBook, settings: Settings) -> Finding:
    units: Unit = "in" if settings.units == "in" else "mm"
    gap = None if loose.gap_m is None else from_metres(loose.gap_m, units)
    joined = from_metres(settings.tolerances.join_m, units)
    is_near = loose.other is not None and gap is not None
    clause = book.clauses[CHECK]
    return Finding(
        check=CHECK,
        outcome=Outcome.FAIL if is_near else Outcome.NEEDS_INPUT,
        subject=loose.element,
        elements=(loose.element,) if loose.other is None else (loose.element, loose.other),
        required=joined if is_near else None,
        provided=gap if is_near else None,
        unit=units if is_near else "",
        code=book.code,
        edition=book.edition,
        clause=clause.clause,
        working=f"gap {spell_length(gap or 0.0, units)} > {spell_length(joined, units)}"
        if is_near
        else "",
        assumptions=clause.caveats,
        message=_message(loose, units, gap),
        at=loose.point,
    )


def _message(loose: LooseEnd, units: Unit, gap: float | None) -> str:
    name = loose.element.name or loose.element.guid
    if loose.other is not None and gap is not None:
        other = loose.other.name or loose.other.guid
        return f"An end of {name} stops {spell_length(gap, units)} short of {other}: close the gap"
    return (
        f"An end of {name} is open: connect it, cap it, or name it as meant in the settings under"
        " [ends]"
    )
