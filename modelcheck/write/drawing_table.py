"""The knock-outs of a box as a table on its sheet, and as the cut list."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from modelcheck.model.pull import BoxCase
from modelcheck.model.run import Entry
from modelcheck.rules.knockouts import knockout
from modelcheck.units import convert
from modelcheck.write.csv_tables import number, size_cells, table_text, text_cell
from modelcheck.write.drawing_marks import LINE, Line, Mark, Pair, Text, fitted
from modelcheck.write.drawing_net import Hole, Net, hole_mm, is_hole_unchecked, raceway_text
from modelcheck.write.drawing_panels import both
from modelcheck.write.terminal import short_text

_COLUMNS = (
    "box_guid model box hole wall seen_from left_datum from_left_mm from_left_in lower_datum"
    " from_lower_mm from_lower_in hole_mm hole_in hole_figure raceway_type trade_size_in"
    " metric_designator size_from conduit_guid conduit proposal"
)
_ROW = LINE + 0.3
_HEADS = (("No.", 8.0), ("Wall", 9.0), ("From left", 27.0), ("From below", 27.0), ("Hole", 23.0))
_RACEWAY = 23.0


def table_height(case: BoxCase) -> float:
    """Height on paper. [mm]"""
    return _ROW * (len(case.entries) + 1) + 2.0


def table_marks(net: Net, low: Pair, high: Pair) -> list[Mark]:
    """Draw the table from the top of its room down.

    Parameters
    ----------
    net : Net
    low, high : tuple of float
        Corners of the room on paper. [mm]
    """
    heads = [*_HEADS, ("Raceway", _RACEWAY), ("Name", high[0] - low[0] - _taken())]
    y = high[1] - LINE
    marks = _row([name for name, _ in heads], heads, (low[0], y), is_bold=True)
    marks.append(Line(points=((low[0], y - 1.1), (high[0], y - 1.1)), style="thin"))
    holes = _placed(net)
    for count, entry in enumerate(net.case.entries, start=1):
        y -= _ROW
        placed = holes.get(count)
        far = (
            (both(placed[0].left_mm), both(placed[0].below_mm))
            if placed
            else ("not placed", "not placed")
        )
        cells = [
            str(count),
            entry.wall,
            *far,
            _hole_text(entry),
            raceway_text(entry),
            short_text(entry.conduit.name or entry.conduit.guid),
        ]
        marks.extend(_row(cells, heads, (low[0], y), is_bold=False))
    return marks


def cut_list(nets: Iterable[Net], change: str = "") -> str:
    """Every knock-out of the boxes, as CSV.

    Parameters
    ----------
    nets : iterable of Net
    change : str
        What is proposed, where the boxes aren't as they are in the model.
    """
    rows = (cells | {"proposal": change} for net in nets for cells in _cut_rows(net))
    return table_text(_COLUMNS.split(), rows)


def _taken() -> float:
    return sum(width for _, width in _HEADS) + _RACEWAY


def _row(
    cells: list[str], heads: list[tuple[str, float]], at: Pair, *, is_bold: bool
) -> list[Mark]:
    marks: list[Mark] = []
    x = at[0]
    for cell, (_, width) in zip(cells, heads, strict=True):
        told = fitted(cell, width - 1.0, is_bold=is_bold)
        marks.append(Text(at=(x, at[1]), text=told, is_bold=is_bold))
        x += width
    return marks


def _hole_text(entry: Entry) -> str:
    diameter_mm, star = hole_mm(entry), " *" if is_hole_unchecked(entry) else ""
    return "not known" if diameter_mm is None else f"{both(diameter_mm)}{star}"


def _cut_rows(net: Net) -> Iterator[dict[str, str]]:
    placed = _placed(net)
    box = net.case.enclosure.ref
    for count, entry in enumerate(net.case.entries, start=1):
        row = knockout(entry.size.trade_size_in)
        yield {
            "box_guid": text_cell(box.guid),
            "model": text_cell(box.model),
            "box": text_cell(box.name),
            "hole": str(count),
            "wall": entry.wall,
            "seen_from": "outside",
            **_distances(placed.get(count)),
            **_diameter(hole_mm(entry)),
            "hole_figure": "" if row is None else row.how,
            **size_cells(entry.size),
            "conduit_guid": text_cell(entry.conduit.guid),
            "conduit": text_cell(entry.conduit.name),
        }


def _placed(net: Net) -> dict[int, tuple[Hole, str, str]]:
    """Each hole by its number, with the walls at the edges that it is measured from."""
    return {
        hole.number: (hole, panel.left_wall, panel.lower_wall)
        for panel in net.panels
        for hole in panel.holes
    }


def _distances(placed: tuple[Hole, str, str] | None) -> dict[str, str]:
    if placed is None:
        names = ("left_datum", "from_left_mm", "from_left_in")
        return dict.fromkeys((*names, *(each.replace("left", "lower") for each in names)), "")
    hole, left, lower = placed
    return {
        "left_datum": left,
        "from_left_mm": _fine_mm(hole.left_mm),
        "from_left_in": _fine_in(hole.left_mm),
        "lower_datum": lower,
        "from_lower_mm": _fine_mm(hole.below_mm),
        "from_lower_in": _fine_in(hole.below_mm),
    }


def _diameter(diameter_mm: float | None) -> dict[str, str]:
    if diameter_mm is None:
        return {"hole_mm": "", "hole_in": ""}
    return {"hole_mm": _fine_mm(diameter_mm), "hole_in": _fine_in(diameter_mm)}


def _fine_mm(length_mm: float) -> str:
    """To a hundredth of a millimetre: a punch is set by it."""
    return number(length_mm, 2)


def _fine_in(length_mm: float) -> str:
    return number(convert(length_mm, "mm", "in"), 3)
