"""Advice on pulling conductors through a run; it changes no outcome."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from modelcheck.model.run import Run


class Advice(StrEnum):
    """What the figures come to."""

    WITHIN = "within"
    OVER = "over"
    NEEDS_INPUT = "needs-input"


@dataclass(frozen=True, slots=True, kw_only=True)
class PullingAdvice:
    """One run pulled one way; what isn't known is None."""

    run: Run
    pulls: tuple[str, ...]
    is_from_start: bool  # the conductors are fed in at the start of the run
    advice: Advice
    conductor_count: int = 0
    friction: float = 0.0
    weight_n_per_m: float | None = None
    correction: float | None = None
    jam_ratio: float | None = None
    tension_n: float | None = None
    tension_limit_n: float | None = None
    sidewall_n_per_m: tuple[float | None, ...] = ()  # at each bend in the order of the pull
    sidewall_limit_n_per_m: float | None = None
    working: str = ""
    assumptions: tuple[str, ...] = ()
    message: str = ""
