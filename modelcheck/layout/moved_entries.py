"""The least box with its entries free to move on their walls, and where each then stands."""

from __future__ import annotations

from modelcheck.layout.means import LOCKNUTS, Means, drawn_size, remaining, told
from modelcheck.layout.placement import STEPS, Placement, place_entries
from modelcheck.layout.stand import Stand
from modelcheck.model.fix import ENTRY_CHANGE, MOVED, Fix
from modelcheck.units import M_PER_CM, from_metres

_EXACT = 1e-9
_NOT_FOUND = "no arrangement was found in the search allowed: spread the entries over more walls"


def moving_fixes(stand: Stand, means: Means, *, pairing: str) -> tuple[Fix, ...]:
    """Propose the least box with its entries moved on their walls, and the place of each.

    Parameters
    ----------
    stand : Stand
    means : Means
    pairing : str
        Under which pairing of its entries the box is asked, in words.
    """
    drawn, missing = drawn_size(stand, placed=False)
    if drawn is None:
        return (told(stand, MOVED, pairing, f"no place can be proposed: {missing}"),)
    placement = place_entries(stand, means.unit)
    if placement is None:
        return (told(stand, MOVED, pairing, _NOT_FOUND),)
    moved = means.ruled(placement.of(stand.case))
    failing, unsure = remaining(moved.outcomes(placement.inside_m))
    if failing:
        return (told(stand, MOVED, pairing, f"no places were found: {failing} would still fail"),)
    size = _size_fix(stand, placement, means, pairing=pairing, unsure=unsure)
    return (size, *_entry_fixes(stand, placement, pairing=pairing))


def _size_fix(
    stand: Stand, placement: Placement, means: Means, *, pairing: str, unsure: str
) -> Fix:
    step_m = STEPS[means.unit]
    governing = [
        each
        for each in stand.demands.lengths
        if each.length_m > placement.inside_m[each.axis] - 2 * step_m
    ]
    still = f"; still to be told before it can pass: {unsure}" if unsure else ""
    return Fix(
        box=stand.case.enclosure.ref,
        change=MOVED,
        pairing=pairing,
        before_m=stand.case.enclosure.inside_m,
        after_m=placement.inside_m,
        governing=tuple(f"{each.check} along {'xyz'[each.axis]}" for each in governing)
        or ("spacing and room of the entries",),
        working=tuple(each.working for each in governing),
        assumptions=(LOCKNUTS, *stand.clearance_notes()),
        message=f"{_quality(placement, means)}; its entries stand where the rows below say{still}",
    )


def _quality(placement: Placement, means: Means) -> str:
    step = from_metres(STEPS[means.unit], means.unit)
    steps = f"sizes in steps of {2 * step:g} {means.unit}, centres of {step:g} {means.unit}"
    if placement.excess <= _EXACT:
        return f"no arrangement has a smaller inside volume ({steps})"
    bound_cm3 = placement.least_volume_m3 / M_PER_CM**3
    return (
        f"best arrangement found: at most {100 * placement.excess:.1f} % more inside volume than"
        f" the lower bound of {bound_cm3:.0f} cm3 ({steps})"
    )


def _entry_fixes(stand: Stand, placement: Placement, *, pairing: str) -> list[Fix]:
    names = stand.demands.names
    return [
        Fix(
            box=stand.case.enclosure.ref,
            change=ENTRY_CHANGE,
            pairing=pairing,
            before_m=(entry.u_m, entry.v_m),
            after_m=centre,
            message=f"centre of {names[place]} on wall {entry.wall}, from the middle of the wall of"
            f" the box of '{MOVED}'",
            conduit=entry.conduit,
            wall=entry.wall,
        )
        for place, (entry, centre) in enumerate(
            zip(stand.case.entries, placement.centres_m, strict=True)
        )
    ]
