"""The walls of a box as DXF: 1:1 in millimetres, holes as closed circles, true dimensions."""

from __future__ import annotations

import logging
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from io import StringIO

from modelcheck.units import convert
from modelcheck.write import words
from modelcheck.write.csv_tables import number
from modelcheck.write.drawing_marks import Pair, spread
from modelcheck.write.drawing_net import Hole, Net, Panel, clashes, raceway_text
from modelcheck.write.drawing_panels import both, captions
from modelcheck.write.drawing_title import BoxDrawing, proposal_texts, some_of
from modelcheck.write.terminal import long_text, short_text

# the library tells of fonts that it can't list while it is imported: nobody here needs one
logging.getLogger("ezdxf").addHandler(logging.NullHandler())

import ezdxf  # noqa: E402
from ezdxf import units  # noqa: E402
from ezdxf.document import Drawing  # noqa: E402
from ezdxf.layouts import Modelspace  # noqa: E402

LAYERS = {  # name: colour index and line type
    "WALLS": (7, "CONTINUOUS"),
    "HOLES": (1, "CONTINUOUS"),
    "CENTRES": (8, "CENTER"),
    "COVER": (5, "DASHED"),
    "DIMENSIONS": (3, "CONTINUOUS"),
    "TEXT": (7, "CONTINUOUS"),
}
_LETTER = 4.0  # height [mm]
_PITCH = 1.6 * _LETTER
_REACH = 12.0  # from an edge to the texts of its distances [mm]
_GAP = 110.0  # between two walls, room for these [mm]
_LIP = 5.0
_DASH = 10.0  # dashes of the line types, times their own length
_STYLE = "SHEET"


def dxf(drawing: BoxDrawing, net: Net) -> bytes:
    """Write the walls of one box as the bytes of a file; the same box gives the same bytes.

    Parameters
    ----------
    drawing : BoxDrawing
    net : Net
        Of the same box.
    """
    with _no_clock():
        document = _document()
        space = document.modelspace()
        corners = _corners(net.panels)
        for panel in net.panels:
            _wall(space, panel, corners[panel.slot])
        lowest = min((corner[1] for corner in corners.values()), default=0.0) - _GAP
        for line, text in enumerate(_notes(drawing, net)):
            _letters(space, text, (0.0, lowest - 2 * _LETTER * line))
        file = StringIO()
        document.write(file)
    return file.getvalue().encode("utf-8", errors="replace")


@contextmanager
def _no_clock() -> Iterator[None]:
    """Have the library write fixed dates and ids in place of those of the moment."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def _document() -> Drawing:
    document = ezdxf.new("R2010", setup=["linetypes"], units=units.MM)
    document.header["$LTSCALE"] = _DASH
    for name, (color, linetype) in LAYERS.items():
        document.layers.add(name, color=color, linetype=linetype)
    document.dimstyles.new(
        _STYLE, dxfattribs={"dimtxt": _LETTER, "dimdec": 2, "dimasz": _LETTER / 2, "dimzin": 8}
    )
    return document


def _corners(panels: Sequence[Panel]) -> dict[str, Pair]:
    """Lower left corner of each wall, laid out as in the net with room between."""
    sizes = {panel.slot: (panel.width_mm, panel.height_mm) for panel in panels}
    middle = sizes.get("centre", (0.0, 0.0))
    left, right, below = (sizes.get(slot, (0.0, 0.0)) for slot in ("left", "right", "below"))
    beside = middle[0] + _GAP
    places = {
        "centre": (0.0, 0.0),
        "left": (-_GAP - left[0], 0.0),
        "right": (beside, 0.0),
        "above": (0.0, middle[1] + _GAP),
        "below": (0.0, -_GAP - below[1]),
        "back": (beside + right[0] + _GAP, 0.0),
    }
    return {slot: places[slot] for slot in sizes}


def _wall(space: Modelspace, panel: Panel, corner: Pair) -> None:
    x, y = corner
    _rectangle(space, corner, (panel.width_mm, panel.height_mm), "WALLS")
    if panel.is_cover:
        inner = (panel.width_mm - 2 * _LIP, panel.height_mm - 2 * _LIP)
        _rectangle(space, (x + _LIP, y + _LIP), inner, "COVER")
    above = y + panel.height_mm
    for line, text in enumerate(reversed(captions(panel))):
        _letters(space, text, (x, above + (2 * line + 1) * _LETTER))
    for hole in panel.holes:
        _hole(space, hole, corner)
    _distances(space, panel, corner)


def _rectangle(space: Modelspace, corner: Pair, size: Pair, layer: str) -> None:
    (x, y), (width, height) = corner, size
    points = [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]
    space.add_lwpolyline(points, close=True, dxfattribs={"layer": layer})


def _hole(space: Modelspace, hole: Hole, corner: Pair) -> None:
    x, y = corner[0] + hole.left_mm, corner[1] + hole.below_mm
    radius = (hole.diameter_mm or 0.0) / 2
    if radius:
        space.add_circle((x, y), radius, dxfattribs={"layer": "HOLES"})
    arm = radius + _LETTER
    for dx, dy in ((arm, 0.0), (0.0, arm)):
        space.add_line((x - dx, y - dy), (x + dx, y + dy), dxfattribs={"layer": "CENTRES"})
    size = "diameter not known" if hole.diameter_mm is None else f"dia. {both(hole.diameter_mm)}"
    beside = 0.75 * radius + 1
    _letters(space, f"{hole.number}: {size}", (x + beside, y + beside))
    _letters(space, raceway_text(hole.entry), (x + beside, y + beside + _PITCH))


def _distances(space: Modelspace, panel: Panel, corner: Pair) -> None:
    """Dimension the centres from the left and the lower edge, each distance once."""
    x, y = corner
    across = {round(hole.left_mm, 2): (hole.left_mm, hole.below_mm) for hole in panel.holes}
    upward = {round(hole.below_mm, 2): (hole.left_mm, hole.below_mm) for hole in panel.holes}
    for (left, below), place in _told(across):
        space.add_ordinate_x_dim(
            feature_location=(x + left, y + below),
            offset=(place - left, -_REACH - below),
            origin=corner,
            text=f"<> [{_inches(left)}]",
            dimstyle=_STYLE,
            dxfattribs={"layer": "DIMENSIONS"},
        ).render()
    for (left, below), place in _told(upward):
        space.add_ordinate_y_dim(
            feature_location=(x + left, y + below),
            offset=(-_REACH - left, place - below),
            origin=corner,
            text=f"<> [{_inches(below)}]",
            dimstyle=_STYLE,
            dxfattribs={"layer": "DIMENSIONS"},
        ).render()


def _told(centres: dict[float, Pair]) -> list[tuple[Pair, float]]:
    """Centre behind each distance, and where its text goes along the edge."""
    ordered = sorted(centres)
    return list(zip((centres[each] for each in ordered), spread(ordered, _PITCH), strict=True))


def _inches(length_mm: float) -> str:
    return number(convert(length_mm, "mm", "in"), 2)


def _notes(drawing: BoxDrawing, net: Net) -> list[str]:
    settings, ref = drawing.settings, drawing.ref
    doubt = drawing.case.enclosure.size_conflict
    lines = [
        f"{drawing.heading}, GlobalId {short_text(ref.guid)}",
        *proposal_texts(drawing),
        f"Project {short_text(drawing.project) or 'not named'}, model {short_text(ref.model)}",
        f"{words.CODE_NAMES[settings.code]} {settings.edition}",
        f"Outcome: {words.OUTCOME_WORDS[drawing.outcome]}" if drawing.outcome else "",
        "1:1 in mm; walls laid flat, seen from OUTSIDE; edges are the inner faces of the walls",
        "" if net.panels else "The inside size is not known: no wall can be drawn",
        f"DO NOT CUT AS DRAWN: {some_of(told)}" if (told := clashes(net)) else "",
        f"DO NOT CUT BEFORE THE SIZE IS SETTLED: {doubt}" if doubt else "",
        *words.CAUTIONS,
    ]
    return [text for text in lines if text]


def _letters(space: Modelspace, text: str, at: Pair) -> None:
    attributes = {"layer": "TEXT", "insert": at}
    space.add_text(_plain(text), height=_LETTER, dxfattribs=attributes)


def _plain(text: str) -> str:
    """Keep marks that the format takes for commands from being one."""
    return long_text(text).replace("%%", "% %").replace("^", "^ ")
