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
    rule = view.book.bend_radii.get(("one-shot", view.run.size.trade_size_in))
    if rule is None:
        return ()
    return tuple(_finding(view, bend, rule) for bend in view.run.bends if _is_short(bend, rule))


def radius_notes(view: RunView) -> tuple[str, ...]:
    """Tell with the total of the bends what was not decided on their radii."""
    drawn = [bend for bend in view.run.bends if bend.radius_m is not None]
    size = view.run.size.trade_size_in
    rule = view.book.bend_radii.get(("one-shot", size))
    if rule is None:
        return ("radii of the bends not checked: no least radius for this size",) * bool(drawn)
    other = view.book.bend_radii.get(("other", size))
    if other is None:
        return ()
    between = [b for b in drawn if _is_short(b, other) and not _is_short(b, rule)]
    names = dict.fromkeys(bend.element.name or bend.element.guid for bend in between)
    if not between:
        return ()
    least = spell_length(convert(other.radius, other.unit, view.units), view.units)
    return (
        f"radius of {', '.join(names)} does for a factory elbow or a one-shot or full-shoe bender;"
        f" other bends need {least}",
    )


def _is_short(bend: Bend, rule: BendRadius) -> bool:
    return bend.radius_m is not None and not meets(
        bend.radius_m, rule.radius_m, tolerance=_TOLERANCE_M
    )


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
