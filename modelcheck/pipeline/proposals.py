"""The boxes that fixes.csv proposes, to be checked and drawn like any other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from modelcheck.layout.means import Means
from modelcheck.model.fix import ENTRY_CHANGE, LIKELIEST, MOVED, Fix
from modelcheck.model.pull import BoxCase
from modelcheck.pipeline.fixes import as_likely, box_fixes


def proposed_box(
    case: BoxCase, systems: Sequence[str], means: Means, change: str
) -> tuple[BoxCase | None, Fix]:
    """Give a box as fixes.csv would have it, and the row that says so.

    Where it has the change under every pairing and under the likeliest, the first is taken.

    Parameters
    ----------
    case : BoxCase
    systems : sequence of str
        System of the run of each entry; empty where it has none.
    means : Means
    change : str
        One of ``SIZE_CHANGES``.

    Returns
    -------
    (BoxCase or None, Fix)
        None where nothing is proposed: the row says why.
    """
    fixes = box_fixes(case, systems, means)
    own = [each for each in fixes if each.change == change]
    fix = next((each for each in own if each.after_m is not None), (own or fixes)[0])
    if fix.change != change or fix.after_m is None:
        return None, fix
    if fix.pairing == LIKELIEST:
        case = as_likely(case, systems)
    if change == MOVED:
        centres = [each.after_m for each in fixes if each.change == ENTRY_CHANGE and each.after_m]
        entries = tuple(
            replace(entry, u_m=u_m, v_m=v_m)
            for entry, (u_m, v_m) in zip(case.entries, centres, strict=True)
        )
        case = replace(case, entries=entries)
    x_m, y_m, z_m = fix.after_m
    return replace(case, enclosure=replace(case.enclosure, inside_m=(x_m, y_m, z_m))), fix
