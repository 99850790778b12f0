"""A box described by hand, worked to a whole answer with its steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from modelcheck.checks import entry_spacing
from modelcheck.checks.box_view import TOLERANCE_M, BoxView
from modelcheck.checks.demands import depth_axis
from modelcheck.checks.distance_row import Decision, decisions
from modelcheck.checks.every_check import check_box
from modelcheck.checks.ruled_box import RuledBox
from modelcheck.model.finding import Finding, worst
from modelcheck.model.pull import BoxCase
from modelcheck.model.settings import Settings
from modelcheck.rules.catalogue import RuleBook
from modelcheck.rules.conductors import conductor
from modelcheck.rules.requirement import spell_length
from modelcheck.rules.standard_boxes import StandardBox, boxes_at_hand, smallest_standard_box
from modelcheck.units import Unit, from_metres, to_metres

_MARKET = "common sizes of the market"
Sides = tuple[float | None, float | None, float | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeAnswer:
    """What one box comes to."""

    case: BoxCase
    findings: tuple[Finding, ...]
    outcome: str  # the worst, or none
    least_inside_mm: Sides  # None for an axis that no row bears on
    least_on_other_basis_mm: Sides
    other_basis: str  # metric or inch
    least_square_mm: float | None  # side of the least square box, of the two sides round the depth
    depth_axis: int
    next_standard: StandardBox | None
    steps: tuple[str, ...]  # as one would write them on paper


def size_answer(case: BoxCase, rulebook: RuleBook, settings: Settings) -> SizeAnswer:
    """Work one box by hand: every row, what governs each axis, and the sizes that serve.

    Parameters
    ----------
    case : BoxCase
    rulebook : RuleBook
        Of the same settings.
    settings : Settings
    """
    findings = check_box(case, rulebook, settings)
    other_basis = "metric" if settings.basis == "inch" else "inch"
    box = RuledBox.of(case, rulebook, settings)
    other = RuledBox.of(case, rulebook, replace(settings, basis=other_basis))
    decided = _in_order(box)
    least = _least_mm(decided)
    depth = depth_axis(case, [axis for axis in range(3) if least[axis] is not None])
    outcome = worst([finding.outcome for finding in findings])
    answer = SizeAnswer(
        case=case,
        findings=findings,
        outcome="none" if outcome is None else outcome.value,
        least_inside_mm=least,
        least_on_other_basis_mm=_least_mm(_in_order(other)),
        other_basis=other_basis,
        least_square_mm=_square_mm(least, depth),
        depth_axis=depth,
        next_standard=_standard(least, depth, boxes_at_hand(settings.boxes_at_hand_m)),
        steps=(),
    )
    return replace(answer, steps=tuple(_steps(box.view, decided, answer)))


def _in_order(box: RuledBox) -> tuple[Decision, ...]:
    """Rows about a distance, in the order one would work them: the lengths first."""
    return tuple(
        sorted(decisions(box.rows), key=lambda each: each.row.check == entry_spacing.CHECK)
    )


def _along(axis: int, decided: tuple[Decision, ...]) -> list[Decision]:
    return [each for each in decided if each.row.axis == axis and each.requirement is not None]


def _least_mm(decided: tuple[Decision, ...]) -> Sides:
    x_mm, y_mm, z_mm = (
        max(
            (
                each.requirement.value_in("mm")
                for each in _along(axis, decided)
                if each.requirement is not None
            ),
            default=None,
        )
        for axis in range(3)
    )
    return (x_mm, y_mm, z_mm)


def _square_mm(least: Sides, depth_axis: int) -> float | None:
    sides = [side for axis, side in enumerate(least) if axis != depth_axis and side is not None]
    return max(sides, default=None)


def _standard(least: Sides, depth_axis: int, own: Sequence[StandardBox]) -> StandardBox | None:
    """Smallest size at hand or of the market that serves; None where no row bears on a side."""
    sides = [to_metres(side or 0.0, "mm") for axis, side in enumerate(least) if axis != depth_axis]
    if not any(sides):
        return None
    depth_m = to_metres(least[depth_axis] or 0.0, "mm")
    return smallest_standard_box(sides, depth_m, tolerance_m=TOLERANCE_M, among=own)


def _steps(box: BoxView, decided: tuple[Decision, ...], answer: SizeAnswer) -> list[str]:
    steps = [*_conductor_steps(answer.case), *(_step(each, box, box.units) for each in decided)]
    if decided:
        steps.extend(_along_step(axis, decided, answer) for axis in range(3))
    steps.extend(_volume_steps(answer))
    if answer.least_square_mm is not None:
        steps.append(f"Least square box: {_both(answer.least_square_mm)} a side")
    if answer.next_standard is not None:
        box_in = answer.next_standard
        steps.append(
            f"Next standard size: {box_in.width_in:g} x {box_in.height_in:g} x {box_in.depth_in:g}"
            f" in ({'of the settings' if box.settings.boxes_at_hand_m else _MARKET})"
        )
    if decided:
        sides = ", ".join(
            f"{name} {'-' if side is None else _both(side)}"
            for name, side in zip("xyz", answer.least_on_other_basis_mm, strict=True)
        )
        steps.append(f"On the {answer.other_basis} basis the least inside is {sides}")
    return steps


def _conductor_steps(case: BoxCase) -> list[str]:
    """Look up each conductor of the pulls: its diameter and the row that it came from."""
    named = dict.fromkeys(
        (each.size, each.insulation) for pull in case.pulls or () for each in pull.conductors
    )
    return [
        f"{row.size} {insulation}: diameter {row.diameter_mm:g} mm ({row.diameter_in:g} in) by"
        f" {row.clause} ({row.how})"
        for size, insulation in named
        if (row := conductor(size, insulation)) is not None
    ]


def _along_step(axis: int, decided: tuple[Decision, ...], answer: SizeAnswer) -> str:
    """Say which row governs an axis."""
    side_mm = answer.least_inside_mm[axis]
    name = "xyz"[axis]
    if side_mm is None:
        return f"Along {name}: no row bears on it, only the room that fittings need"
    by_length = [
        (each.requirement.value_in("mm"), each.row.check)
        for each in _along(axis, decided)
        if each.requirement is not None
    ]
    return f"Along {name}: {_both(side_mm)} governs, {max(by_length)[1]}"


def _step(decision: Decision, box: BoxView, units: Unit) -> str:
    row, requirement, provided_m = decision.row, decision.requirement, decision.provided_m
    names = ", ".join(box.entries[place].label for place in row.entries)
    rule = row.rule.clause if requirement is None else requirement.rule.clause
    worked = "not worked" if requirement is None else requirement.working_in(units)
    there, told = "", row.words()
    if provided_m is not None:
        there = f"; there is {spell_length(from_metres(provided_m[0], units), units)}"
    what = f"{told.measure} ({names}), {box.book.named(rule)}: {worked}{there}"
    reasons = decision.reasons(told)
    because = f" ({'; '.join(reasons)})" if reasons else ""
    return f"{what}: {decision.outcome.value}{because}"


def _volume_steps(answer: SizeAnswer) -> list[str]:
    return [
        f"Volume, {finding.clause}: {finding.working or finding.message}: {finding.outcome.value}"
        for finding in answer.findings
        if finding.check == "box-volume"
    ]


def _both(length_mm: float) -> str:
    """Write a length in both units."""
    length_in = from_metres(to_metres(length_mm, "mm"), "in")
    return f"{spell_length(length_mm, 'mm')} ({spell_length(length_in, 'in')})"
