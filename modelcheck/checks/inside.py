"""Inside distances of a box, and what must be told before they can be used."""

from __future__ import annotations

from modelcheck.checks.box_view import BoxView, Inside
from modelcheck.checks.pairing import Bounds
from modelcheck.model.settings import RuleSwitches


def sure_distance(axis: int, inside_m: Inside, _: RuleSwitches) -> Bounds | None:
    """Distance between the two walls square to `axis`, where it is known. [m]."""
    length_m = inside_m[axis]
    return None if length_m is None else (length_m, length_m)


def missing_inside(box: BoxView, *walls: str) -> tuple[str, ...]:
    """What must be told of the inside size across `walls`; nothing if it is known."""
    if box.box.size_conflict:
        return (f"settle the inside size: {box.box.size_conflict}",)
    axes = sorted({wall[1] for wall in walls if box.inside_m(wall) is None})
    return (f"give the inside size of the box along {' and '.join(axes)}",) if axes else ()
