"""What proposals are made with and judged by, and what all of them say alike."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from modelcheck.layout.stand import Lengths, Ruled, Stand
from modelcheck.model.finding import Outcome
from modelcheck.model.fix import Fix
from modelcheck.model.pull import BoxCase
from modelcheck.rules.tables import UNCHECKED
from modelcheck.units import Unit, to_metres

_STEPS: dict[Unit, float] = {"mm": to_metres(1.0, "mm"), "in": to_metres(0.01, "in")}
MARKET = f"{UNCHECKED}: common sizes of the market (from memory in part)"
LOCKNUTS = f"{UNCHECKED}: room for locknuts by common measures across the lugs (from memory)"


@dataclass(frozen=True, slots=True, kw_only=True)
class Means:
    """What proposals are made with and judged by."""

    ruled: Callable[[BoxCase], Ruled]  # a box under its rules
    unit: Unit  # of the results
    sizes_m: tuple[Lengths, ...]  # to choose from: two sides and depth
    sizes_note: str  # what these sizes rest on

    @property
    def step_m(self) -> float:
        """Step that sizes are told in."""
        return _STEPS[self.unit]

    def stand(self, case: BoxCase) -> Stand:
        """Gather what is asked of the entries of a box."""
        return Stand(case=case, ruled=self.ruled(case))


def remaining(rows: Sequence[tuple[str, Outcome]]) -> tuple[str, str]:
    """What of the rows of a proposal fails, and what isn't decided; empty if nothing."""
    failing = [check for check, outcome in rows if outcome is Outcome.FAIL]
    unsure = [check for check, outcome in rows if outcome is Outcome.NEEDS_INPUT]
    return ", ".join(dict.fromkeys(failing)), ", ".join(dict.fromkeys(unsure))


def drawn_size(stand: Stand, *, placed: bool = True) -> tuple[Lengths | None, str]:
    """Inside as it is, or what must be told before anything can be proposed.

    Parameters
    ----------
    stand : Stand
    placed : bool
        Whether the places of the entries must be known too.
    """
    box, names = stand.case.enclosure, stand.demands.names
    x_m, y_m, z_m = box.inside_m
    if x_m is None or y_m is None or z_m is None:
        return None, "give the inside size of the box"
    if box.size_conflict:
        return None, f"settle the inside size: {box.size_conflict}"
    entries = list(zip(names, stand.case.entries, stand.demands.radii_m, strict=True))
    unplaced = [name for name, entry, _ in entries if None in (entry.u_m, entry.v_m)]
    if placed and unplaced:
        return None, f"give the position on the wall of {', '.join(unplaced)}"
    unsized = [name for name, entry, radius_m in entries if not entry.size.known or not radius_m]
    if unsized:
        return None, f"give the trade size of {', '.join(unsized)}"
    demands = stand.demands
    if not (demands.lengths or demands.spacings or demands.volume_m3):
        return None, "no row says yet how large it must be, settle what its rows need first"
    return (x_m, y_m, z_m), ""


def told(stand: Stand, change: str, pairing: str, message: str) -> Fix:
    """Make the row of a change that can't be proposed."""
    return Fix(
        box=stand.case.enclosure.ref,
        change=change,
        pairing=pairing,
        before_m=stand.case.enclosure.inside_m,
        message=message,
    )
