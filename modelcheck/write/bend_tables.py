"""Bend sheets as CSV: the pieces to cut, and the bends in them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import radians

from modelcheck.model.bend_sheet import BendSheet, SheetBend, SheetPiece
from modelcheck.units import from_metres
from modelcheck.write.csv_tables import number, quantity, table_text, text_cell

PIECES, BENDS = "pieces.csv", "bends.csv"
_FINE = 3  # decimals of an angle: a tenth of a degree is 9 mm in 5 m
_COLUMNS = {
    PIECES: "run model piece kind element_guids cut_length_mm bend_count x_m y_m z_m"
    " direction_x direction_y direction_z closes_mm message",
    BENDS: "run model piece bend element_guid angle_deg radius_mm mark_mm from_last_mark_mm"
    " rotation_deg arc_mm",
}


def pieces_text(sheets: Iterable[BendSheet]) -> str:
    """Text of ``pieces.csv``; the direction of a run stands with its first piece."""
    cells = (_piece_cells(sheet, piece) for sheet in sheets for piece in sheet.pieces)
    return table_text(_COLUMNS[PIECES].split(), cells)


def bends_text(sheets: Iterable[BendSheet]) -> str:
    """Text of ``bends.csv``."""
    return table_text(_COLUMNS[BENDS].split(), _bend_rows(sheets))


def _piece_cells(sheet: BendSheet, piece: SheetPiece) -> dict[str, str]:
    is_first = piece.number == 1
    ahead = [number(each, 6) if is_first else "" for each in sheet.direction]
    return {
        **_of_run(sheet),
        "piece": str(piece.number),
        "kind": "coupling" if piece.is_coupling else "raceway",
        "element_guids": ";".join(dict.fromkeys(ref.guid for ref in piece.elements)),
        "cut_length_mm": _mm(piece.length_m),
        "bend_count": str(len(piece.bends)),
        "x_m": number(piece.start[0], 3),
        "y_m": number(piece.start[1], 3),
        "z_m": number(piece.start[2], 3),
        "direction_x": ahead[0],
        "direction_y": ahead[1],
        "direction_z": ahead[2],
        "closes_mm": _mm(sheet.closes_m) if is_first else "",
        "message": text_cell(sheet.problem) if is_first else "",
    }


def _bend_rows(sheets: Iterable[BendSheet]) -> Iterator[dict[str, str]]:
    for sheet in sheets:
        for piece in sheet.pieces:
            for bend in piece.bends:
                yield {**_of_run(sheet), "piece": str(piece.number), **_bend_cells(bend)}


def _bend_cells(bend: SheetBend) -> dict[str, str]:
    arc_m = None if bend.radius_m is None else bend.radius_m * radians(bend.angle_deg)
    return {
        "bend": str(bend.number),
        "element_guid": bend.element.guid,
        "angle_deg": number(bend.angle_deg, _FINE),
        "radius_mm": _mm(bend.radius_m),
        "mark_mm": _mm(bend.mark_m),
        "from_last_mark_mm": _mm(bend.from_last_mark_m),
        "rotation_deg": rotation_text(bend.rotation_deg, _FINE),
        "arc_mm": _mm(arc_m),
    }


def rotation_text(rotation_deg: float, decimals: int) -> str:
    """Write a rotation with so many decimals, a full turn as none."""
    return number(round(rotation_deg, decimals) % 360.0, decimals)


def _of_run(sheet: BendSheet) -> dict[str, str]:
    run = sheet.run
    return {"run": text_cell(run.name), "model": text_cell(run.elements[0].model)}


def _mm(length_m: float | None) -> str:
    return "" if length_m is None else quantity(from_metres(length_m, "mm"), "mm")
