"""What is told of a run: its size, length, centre line, systems and assumptions."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from modelcheck.geometry.vectors import minus
from modelcheck.model.element import Conduit, ElementRef, Point, RacewaySize, Role
from modelcheck.network.chains import Chain
from modelcheck.rules.raceways import by_trade_size
from modelcheck.units import from_metres

_SAME_M = 5e-7
_FEW = 3  # elements that are named in one sentence


def size_along(conduits: Sequence[Conduit]) -> tuple[RacewaySize, tuple[str, ...]]:
    """Smallest size of the segments (else of the fittings), and what was assumed for it.

    Parameters
    ----------
    conduits : sequence of Conduit
        Of one run in order.
    """
    segments = [each for each in conduits if each.role is Role.SEGMENT]
    of_segments = [each for each in segments if each.size.known]
    known = of_segments or [each for each in conduits if each.size.known]
    if not known:
        return (segments or list(conduits))[0].size, ()
    smallest = min(
        known,
        key=lambda each: (_nominal(each.size), not each.size.conflict, each.ref.guid, each.ref.key),
    )
    notes = []
    names = sorted({each.size.trade_size_in for each in known}, key=_nominal_of_name)
    if len(names) > 1:
        notes.append(f"trade sizes {', '.join(names)} in the run, the smallest is taken for it")
    if not of_segments:
        notes.append("no segment of the run has a known size: that of its fittings is taken")
    elif unknown := len(segments) - len(of_segments):
        notes.append(f"trade size of {unknown} of {len(segments)} segments isn't known")
    return smallest.size, tuple(notes)


def _nominal(size: RacewaySize) -> float:
    return _nominal_of_name(size.trade_size_in)


def _nominal_of_name(trade_size_in: str) -> float:
    row = by_trade_size(trade_size_in)
    return inf if row is None else row.nominal("mm")


def length_along_m(chain: Chain) -> float:
    """Length from end to end, overlaps once, gaps as they are.

    Parameters
    ----------
    chain : Chain

    Returns
    -------
    float
        [m]
    """
    own_m = sum(link.piece.length_m for link in chain.links)
    return max(own_m + sum(joint.step_m for joint in chain.joints), 0.0)


def centreline_along(chain: Chain) -> tuple[Point, ...]:
    """Centre line from end to end for drawing, through the corners of mitres."""
    points: list[Point] = []
    for link, joint in chain.steps:
        own = link.piece.points
        points += own[::-1] if link.way_in else own
        if joint and joint.is_mitre:
            points.append(joint.corner)
    kept = points[:1]
    for point in points[1:]:
        x_m, y_m, z_m = minus(point, kept[-1])
        if abs(x_m) > _SAME_M or abs(y_m) > _SAME_M or abs(z_m) > _SAME_M:
            kept.append(point)
    return tuple(kept)


def systems_along(conduits: Sequence[Conduit]) -> str:
    """Systems of the conduits, each once, joined by ``;``."""
    return ";".join(sorted({each.system for each in conduits if each.system}))


def assumptions_along(conduits: Sequence[Conduit]) -> tuple[str, ...]:
    """Tell what was assumed of the pieces of a run, each thing once with the pieces' names."""
    of_text: dict[str, list[ElementRef]] = {}
    for conduit in conduits:
        for text in conduit.assumptions:
            of_text.setdefault(text, []).append(conduit.ref)
    return tuple(f"{named_together(refs)}: {text}" for text, refs in of_text.items())


def named_together(refs: Sequence[ElementRef]) -> str:
    """Names of a few elements, and how many more there are."""
    names = list(dict.fromkeys(ref.name or ref.guid for ref in refs))
    more = f" and {len(names) - _FEW} more" if len(names) > _FEW else ""
    return f"{', '.join(names[:_FEW])}{more}"


def millimetres(length_m: float) -> str:
    """Spell a length for a sentence.

    Parameters
    ----------
    length_m : float
        [m]
    """
    return f"{from_metres(length_m, 'mm'):.1f} mm"
