"""How the pieces of a run are cut and bent."""

from __future__ import annotations

from dataclasses import dataclass

from modelcheck.model.element import ElementRef, Point, Vector
from modelcheck.model.run import Run


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetBend:
    """One bend of a piece."""

    number: int  # along the run, from 1
    element: ElementRef
    angle_deg: float
    radius_m: float | None  # None: a corner, or not drawn
    mark_m: float  # from the beginning of the piece to that of the bend
    from_last_mark_m: float  # from the last mark of the piece, or from its beginning
    rotation_deg: float  # about the axis against the bend before, clockwise as one looks along
    at: Point  # middle of the bend, for drawing


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPiece:
    """Raceway between two couplings, or what of a coupling no raceway covers."""

    number: int  # along the run, from 1
    is_coupling: bool
    elements: tuple[ElementRef, ...]
    length_m: float  # along the centre line, bends included: what is cut
    start: Point  # where it begins
    bends: tuple[SheetBend, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BendSheet:
    """All pieces of a run in order.

    The first bend's rotation is against a bend straight up; where the run begins upright, against
    one toward +y.
    """

    run: Run
    start: Point
    direction: Vector  # unit, of the run at its start
    pieces: tuple[SheetPiece, ...]
    closes_m: float | None = None  # from the end that the sheet leads to, to the drawn one
    problem: str = ""  # a sentence, where the run can't be built from the sheet
