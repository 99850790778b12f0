"""How finely a model says that it is drawn."""

from __future__ import annotations

from math import isfinite

import ifcopenshell

from modelcheck.read.curves import DAMAGED, Scales


def precision_m(file: ifcopenshell.file) -> float:
    """Coarsest precision of the geometric contexts of `file` in metres; 0 if none is told."""
    length_m = Scales.of(file).length_m
    told = [0.0]
    for context in file.by_type("IfcGeometricRepresentationContext", include_subtypes=False):
        try:
            told.append(float(context.Precision or 0.0) * length_m)
        except DAMAGED:
            continue
    return max(each for each in told if isfinite(each))
