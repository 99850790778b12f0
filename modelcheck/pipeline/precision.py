"""Rows that are nearer to their limit than their model is drawn."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from modelcheck.model.finding import Finding
from modelcheck.units import Unit, from_metres

_NOISE_M = 1e-9  # of the arithmetic, where a model tells no precision
_UNITS: Mapping[str, Unit] = {"mm": "mm", "in": "in"}
_FINEST = 6  # decimals


def with_precision(finding: Finding, precision_m: float) -> Finding:
    """`finding`, saying so if its length is nearer to the limit than the model is drawn.

    Parameters
    ----------
    finding : Finding
    precision_m : float
        Of the model that its subject is in. [m]
    """
    unit = _UNITS.get(finding.unit)
    if unit is None or finding.required is None or finding.provided is None:
        return finding
    if abs(finding.provided - finding.required) > from_metres(precision_m + _NOISE_M, unit):
        return finding
    note = f"at the limit to within {_spelled(precision_m, unit)}: measure it where it stands"
    return replace(finding, assumptions=(*finding.assumptions, note))


def _spelled(precision_m: float, unit: Unit) -> str:
    digits = f"{from_metres(precision_m, unit):.{_FINEST}f}".rstrip("0").rstrip(".")
    is_told = digits != "0"
    return f"the model's own drawing precision, {digits} {unit}" if is_told else "the arithmetic"
