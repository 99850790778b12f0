"""Centre-line radius of a bend against the least; a row only for a bend that is too tight.

Why: a tight bend flattens the raceway and raises the pressure on the conductors.

Formula: radius to the centre line, by trade size, from a table. Factory elbows and bends of a
bender that isn't known go by the column of one-shot and full-shoe benders. A radius between that
column and the one of other bends is told with the total of the bends.

Disputed: none.
"""

from __future__ import annotations

from modelcheck.checks.run_view import RunView, run_finding
from modelcheck.model.element import Bend
from modelcheck.model.finding import Finding, Outcome
from modelcheck.rules.bends import BendRadius
from modelcheck.rules.requirement import MEASURING_TOLERANCE_MM, meets, spell_length
from modelcheck.units import convert, from_metres, to_metres

CHECK = "bend-radius"
_TOLERANCE_M = to_metres(MEASURING_TOLERANCE_MM, "mm") + 1e-9


def findings(view: RunView) -> tuple[Finding, ...]:
    """One row a bend that is too tight."""
    ruled = ((bend, _rule(view, bend, "one-shot")) for bend in view.run.bends)
    return tuple(
        _finding(view, bend, rule)
        for bend, rule in ruled
        if rule is not None and _is_short(bend, rule)
    )


def _rule(view: RunView, bend: Bend, bender: str) -> BendRadius | None:
    """Least radius for the raceway that a bend is in, or for that of its run."""
    size = bend.trade_size_in or view.run.size.trade_size_in
    return view.book.bend_radii.get((bender, size))


def radius_notes(view: RunView) -> tuple[str, ...]:
    """Tell with the total of the bends what was not decided on their radii."""
    drawn = [bend for bend in view.run.bends if bend.radius_m is not None]
    if any(_rule(view, bend, "one-shot") is None for bend in drawn):
        return ("radii of the bends not checked: no least radius for this size",)
    between: dict[str, list[str]] = {}
    for bend in drawn:
        other = _rule(view, bend, "other")
        if other and _is_short(bend, other) and not _is_short(bend, _rule(view, bend, "one-shot")):
            least = spell_length(convert(other.radius, other.unit, view.units), view.units)
            between.setdefault(least, []).append(bend.element.name or bend.element.guid)
    return tuple(
        f"radius of {', '.join(dict.fromkeys(names))} does for a factory elbow or a one-shot or"
        f" full-shoe bender; other bends need {least}"
        for least, names in between.items()
    )


def _is_short(bend: Bend, rule: BendRadius | None) -> bool:
    if rule is None or bend.radius_m is None:
        return False
    return not meets(bend.radius_m, rule.radius_m, tolerance=_TOLERANCE_M)


def _finding(view: RunView, bend: Bend, rule: BendRadius) -> Finding:
    units = view.units
    required = convert(rule.radius, rule.unit, units)
    provided = from_metres(bend.radius_m or 0.0, units)
    working = f"{rule.clause}, trade size {rule.trade_size_in}: {rule.radius:g} {rule.unit}"
    if units != rule.unit:
        working = f"{working} = {spell_length(required, units)}"
    name = bend.element.name or bend.element.guid
    return run_finding(
        view,
        check=CHECK,
        outcome=Outcome.FAIL,
        rule=rule,
        required=required,
        provided=provided,
        unit=units,
        working=working,
        assumptions=(
            *view.run.assumptions,
            "factory elbow or bender not known: column of one-shot and full-shoe benders",
            *rule.caveats,
        ),
        message=(
            f"A bend of {name} has a radius of {spell_length(provided, units)}, the least by"
            f" {view.book.named(rule.clause)} is {spell_length(required, units)}: take an elbow of"
            " larger radius"
        ),
        at=bend.at,
    )
