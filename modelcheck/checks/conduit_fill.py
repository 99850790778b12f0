"""Cross-section of the scheduled conductors against that of their raceway.

Why: a raceway too full can't be pulled without harm, and its conductors run hot.

Formula: the areas of all conductors of the run over the inside area of the raceway, against the
share for one, two, or more conductors. Short nipples between enclosures may be fuller in one code.
For conductors of one size that code lets a count with a large enough fraction be rounded up.

Disputed: none. Inside areas are those of one code; under the other they stand as a proxy.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from modelcheck.checks.box_view import basis_unit
from modelcheck.checks.run_view import RunView, run_finding
from modelcheck.model.finding import Finding, Outcome
from modelcheck.model.pull import Conductors
from modelcheck.rules.conductors import Conductor, conductor
from modelcheck.rules.conduit_fill import (
    FillPercent,
    RacewayArea,
    fill_limit,
    most_of_one_size,
    raceway_area,
)
from modelcheck.units import Unit, to_metres

CHECK = "conduit-fill"
_PERCENT = 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Filling:
    """Conductors of a run by kind, each with its row and count."""

    kinds: tuple[tuple[Conductor, int], ...]

    @property
    def count(self) -> int:
        """Number of conductors."""
        return sum(count for _, count in self.kinds)

    def area(self, unit: Unit) -> float:
        """Area of all of them in square `unit`."""
        return sum(count * _area(row, unit) for row, count in self.kinds)


def findings(view: RunView) -> tuple[Finding, ...]:
    """One row a run that scheduled conductors go through."""
    lines = [each for pull in view.pulls or () for each in pull.conductors if each.count != 0]
    if not lines:
        return ()
    missing, filling = _filling(lines)
    size = view.run.size
    raceway = raceway_area(size.raceway_type, size.trade_size_in)
    if raceway is None or size.conflict:
        missing = (*missing, size.conflict or _raceway_missing(view))
    if missing or raceway is None:
        return (_undecided(view, missing),)
    limit = fill_limit(filling.count, view.book.fill_percents, place=_place(view))
    return () if limit is None else (_finding(view, filling, raceway, limit),)


def _filling(lines: Sequence[Conductors]) -> tuple[tuple[str, ...], Filling]:
    missing, kinds = [], []
    for each in lines:
        row = conductor(each.size, each.insulation)
        name = f"{each.size} {each.insulation}".strip() or "a conductor"
        if row is None:
            missing.append(f"give a size and insulation that the conductor table has for {name}")
        elif each.count is None:
            missing.append(f"give the number of {name}")
        else:
            kinds.append((row, each.count))
    return tuple(dict.fromkeys(missing)), Filling(kinds=tuple(kinds))


def _raceway_missing(view: RunView) -> str:
    size = view.run.size
    if size.raceway_type and size.trade_size_in:
        return (
            f"there is no inside area for {size.raceway_type} {size.trade_size_in}: work it by hand"
        )
    return "give the raceway type and trade size of the run"


def _place(view: RunView) -> str:
    """Tell a nipple, where the code knows it: short, and between two enclosures."""
    longest = view.book.limits.get("nipple-length")
    enclosed = all(end.kind in ("box", "equipment") for end in (view.run.start, view.run.end))
    if longest is None or not enclosed:
        return "raceway"
    return "nipple" if view.run.length_m <= to_metres(longest.value, "in") + 1e-9 else "raceway"


def _area(row: Conductor, unit: Unit) -> float:
    return row.area_in2 if unit == "in" else row.area_mm2


def _undecided(view: RunView, missing: Sequence[str]) -> Finding:
    clause = view.book.clauses[CHECK]
    return run_finding(
        view,
        check=CHECK,
        outcome=Outcome.NEEDS_INPUT,
        rule=clause,
        required=None,
        provided=None,
        unit="",
        working="",
        assumptions=view.run.assumptions,
        message=(
            f"The fill of the raceway can't be decided by {view.book.named(clause.clause)}:"
            f" {'; '.join(missing)}"
        ),
    )


def _finding(view: RunView, filling: Filling, raceway: RacewayArea, limit: FillPercent) -> Finding:
    unit = basis_unit(view.settings.basis)
    inside = raceway.area(unit)
    percent = _PERCENT * filling.area(unit) / inside
    rounded = _is_rounded_up(view, filling, inside * limit.percent / _PERCENT, unit)
    outcome = Outcome.PASS if percent <= limit.percent or rounded else Outcome.FAIL
    terms = [
        f"{_area(row, unit):g}" if count == 1 else f"{count} x {_area(row, unit):g}"
        for row, count in filling.kinds
    ]
    total = f"{' + '.join(terms)} = {filling.area(unit):.{4 if unit == 'in' else 1}f} {unit}2"
    return run_finding(
        view,
        check=CHECK,
        outcome=outcome,
        rule=limit,
        required=limit.percent,
        provided=percent,
        unit="",
        working=f"{total}; / {inside:g} {unit}2 = {percent:.1f} percent",
        assumptions=_assumptions(view, filling, raceway, limit, rounded=rounded),
        message=_message(view, outcome, percent, limit),
    )


def _is_rounded_up(view: RunView, filling: Filling, allowed: float, unit: Unit) -> bool:
    """Whether a count of one size passes by the rounding that one code allows."""
    rounding = view.book.limits.get("fill-rounding")
    rows = {row for row, _ in filling.kinds}
    if rounding is None or len(rows) != 1:
        return False
    (row,) = rows
    most = most_of_one_size(allowed, _area(row, unit), round_up_from=rounding.value)
    return filling.count <= most


def _assumptions(
    view: RunView, filling: Filling, raceway: RacewayArea, limit: FillPercent, *, rounded: bool
) -> tuple[str, ...]:
    scheduled = {pull.trade_size_in for pull in view.pulls or () if pull.trade_size_in}
    modelled = view.run.size.trade_size_in
    return (
        *view.run.assumptions,
        *view.run.size.assumptions,
        *(
            f"scheduled as {size}, modelled as {modelled}"
            for size in sorted(scheduled - {modelled})
        ),
        *(("a nipple between enclosures",) if limit.place == "nipple" else ()),
        *(("a count of one size is rounded up",) if rounded else ()),
        *(caveat for row, _ in filling.kinds for caveat in row.caveats),
        *(
            (f"inside area from {raceway.clause} of the other code, as a proxy",)
            if raceway.code != view.book.code
            else ()
        ),
        *raceway.caveats,
        *limit.caveats,
        *view.book.amendment_notes(CHECK),
    )


def _message(view: RunView, outcome: Outcome, percent: float, limit: FillPercent) -> str:
    clause = view.book.named(limit.clause)
    filled = f"The conductors fill {percent:.1f} percent of the raceway"
    if outcome is Outcome.PASS:
        return f"{filled}, within the {limit.percent:g} of {clause}: nothing to do"
    return (
        f"{filled}, over the {limit.percent:g} of {clause}: take a larger raceway or fewer"
        " conductors"
    )
