"""A run element by element, with the place of each along it."""

from __future__ import annotations

from modelcheck.model.element import Bend
from modelcheck.model.run import RunPart
from modelcheck.network.chains import Chain, Link


def parts_along(chain: Chain) -> tuple[RunPart, ...]:
    """Every element of a chain in order, from the start of the run.

    A mitre between two elements is among the bends of the first.

    Parameters
    ----------
    chain : Chain
    """
    parts: list[RunPart] = []
    at_m = 0.0
    for link, joint in chain.steps:
        mitre = (joint.bend,) if joint and joint.is_mitre else ()
        parts.append(_part(link, at_m, mitre))
        at_m = parts[-1].to_m + (joint.step_m if joint else 0.0)
    return tuple(parts)


def _part(link: Link, from_m: float, mitre: tuple[Bend, ...]) -> RunPart:
    points = link.piece.points
    return RunPart(
        element=link.piece.conduit.ref,
        is_coupling=link.piece.is_coupling,
        from_m=from_m,
        to_m=from_m + link.piece.length_m,
        points=points[::-1] if link.way_in else points,
        bends=(*link.bends, *mitre),
    )
