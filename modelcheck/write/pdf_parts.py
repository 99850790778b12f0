"""What the pages of a report are made of: headings, paragraphs, tables and whole drawings."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    NextPageTemplate,
    PageBreak,
    PageTemplate,
    Paragraph,
    Spacer,
    Table,
)

from modelcheck.write.drawing_marks import Sheet
from modelcheck.write.drawing_pdf import draw_sheet, letters

_WIDTH, _HEIGHT, _MARGIN = 210.0, 297.0, 16.0  # A4 [mm]
ROOM = _WIDTH - 2 * _MARGIN  # for text [mm]
_FOOT = "An aid to review: the adopted code and its authority govern, a licensed person decides."
_FACE, _BOLD, _SMALL = "Helvetica", "Helvetica-Bold", 7.5  # of tables [pt]
_PAD = 1.0  # round the text of a cell [mm]
_MOST_LINES = 60  # of a cell, so that a row has room on a page
_CHUNK = 400  # rows of a table that are laid out at once
_TEXT = "text"  # kind of pages
_STYLES = {
    "title": ParagraphStyle("title", fontName=_BOLD, fontSize=20, leading=26, spaceAfter=8),
    "h1": ParagraphStyle("h1", fontName=_BOLD, fontSize=14, leading=18, spaceAfter=6),
    "h2": ParagraphStyle(
        "h2", fontName=_BOLD, fontSize=10.5, leading=13, spaceBefore=8, spaceAfter=3, keepWithNext=1
    ),
    "body": ParagraphStyle("body", fontName=_FACE, fontSize=9, leading=12, spaceAfter=3),
    "small": ParagraphStyle("small", fontName=_FACE, fontSize=7.5, leading=9.5, leftIndent=8),
    "caution": ParagraphStyle("caution", fontName=_BOLD, fontSize=9.5, leading=13, spaceAfter=3),
}
_DEPTHS = {"h1": 0, "h2": 1}
_LOOK = [
    ("FONT", (0, 0), (-1, -1), _FACE, _SMALL, _SMALL + 1.8),
    ("FONT", (0, 0), (-1, 0), _BOLD, _SMALL, _SMALL + 1.8),
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LINEBELOW", (0, 0), (-1, 0), 0.8, HexColor("#1a1a1a")),
    ("LINEBELOW", (0, 1), (-1, -1), 0.25, HexColor("#b8bec6")),
    *((f"{side}PADDING", (0, 0), (-1, -1), _PAD * mm) for side in ("LEFT", "RIGHT")),
    *((f"{side}PADDING", (0, 0), (-1, -1), 1.5) for side in ("TOP", "BOTTOM")),
]

Story = list[Flowable]


class Drawing(Flowable):  # type: ignore[misc]  # reportlab has no types
    """A sheet that fills a page of its own size."""

    def __init__(self, sheet: Sheet) -> None:
        super().__init__()
        self.sheet = sheet

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Take all of the page."""
        return (width, height)

    def draw(self) -> None:
        """Draw from the corner of the page."""
        canvas: Canvas = self.canv
        canvas.setStrokeGray(0)
        canvas.setFillGray(0)
        draw_sheet(canvas, self.sheet)


class _Document(BaseDocTemplate):  # type: ignore[misc]  # reportlab has no types
    """A document whose headings are also its outline."""

    def afterFlowable(self, flowable: Flowable) -> None:  # noqa: N802 - as reportlab has it
        """Note a heading in the outline."""
        style = getattr(getattr(flowable, "style", None), "name", "")
        if style in _DEPTHS:
            self.marked = getattr(self, "marked", 0) + 1
            self.canv.bookmarkPage(f"heading{self.marked}")
            text, key = flowable.getPlainText(), f"heading{self.marked}"
            self.canv.addOutlineEntry(text, key, level=_DEPTHS[style])


def text(style: str, told: str) -> Flowable:
    """Paragraph in one of the styles title, h1, h2, body and caution."""
    return Paragraph(escape(letters(told)), _STYLES[style])


def gap(height_mm: float) -> Flowable:
    """Room between two parts."""
    return Spacer(1, height_mm * mm)


def new_page() -> Flowable:
    """What follows begins a page."""
    return CondPageBreak((_HEIGHT - 2 * _MARGIN) * mm - 1)


def grid(
    headings: Sequence[str], rows: Sequence[Sequence[str]], widths_mm: Sequence[float]
) -> Story:
    """Table whose heading stands on each of its pages; long words are broken.

    Parameters
    ----------
    headings : sequence of str, shape (n,)
    rows : sequence of sequence of str, shape (m, n)
    widths_mm : sequence of float, shape (n,)
        Of the columns, no more than `ROOM` together. [mm]
    """
    parts: Story = []
    head = _broken(headings, widths_mm, _BOLD)
    for start in range(0, len(rows), _CHUNK):
        cells = [_broken(row, widths_mm, _FACE) for row in rows[start : start + _CHUNK]]
        widths = [width * mm for width in widths_mm]
        parts.append(
            Table([head, *cells], widths, style=_LOOK, repeatRows=1, hAlign="LEFT", spaceAfter=4)
        )
    return parts


def drawing_pages(sheet: Sheet) -> Story:
    """Put a drawing on a page of its own size; text goes on after it."""
    return [
        NextPageTemplate(_kind(sheet)),
        PageBreak(),
        Drawing(sheet),
        NextPageTemplate(_TEXT),
        PageBreak(),
    ]


def document(story: Story, *, title: str) -> bytes:
    """Lay out `story` as the bytes of a file: the same story, the same bytes."""
    file = BytesIO()
    book = _Document(file, invariant=1, title=letters(title), author="modelcheck")
    size = (_WIDTH * mm, _HEIGHT * mm)
    frame = Frame(_MARGIN * mm, _MARGIN * mm, ROOM * mm, (_HEIGHT - 2 * _MARGIN) * mm, 0, 0, 0, 0)
    pages = [PageTemplate(_TEXT, [frame], onPage=_foot, pagesize=size)]
    sheets = {_kind(each.sheet): each.sheet for each in story if isinstance(each, Drawing)}
    for kind, sheet in sheets.items():
        size = (sheet.width_mm * mm, sheet.height_mm * mm)
        whole = Frame(0, 0, *size, 0, 0, 0, 0)
        pages.append(PageTemplate(kind, [whole], pagesize=size))
    book.addPageTemplates(pages)
    book.build(story)
    return file.getvalue()


def _kind(sheet: Sheet) -> str:
    """Name of the pages of its size, upright or across."""
    return f"{sheet.width_mm:g} x {sheet.height_mm:g}"


def _foot(canvas: Canvas, document: Any) -> None:  # noqa: ANN401 - as reportlab has it
    canvas.saveState()
    canvas.setFont(_FACE, 7)
    canvas.drawString(_MARGIN * mm, 8 * mm, _FOOT)
    canvas.drawRightString((_WIDTH - _MARGIN) * mm, 8 * mm, f"Page {document.page}")
    canvas.restoreState()


def _broken(cells: Sequence[str], widths_mm: Sequence[float], face: str) -> list[str]:
    """Break each cell into the lines that its column holds."""
    return [
        "\n".join(_lines(letters(cell), (width - 2 * _PAD) * mm, face))
        for cell, width in zip(cells, widths_mm, strict=True)
    ]


def _lines(told: str, room: float, face: str) -> list[str]:
    lines = [""]
    for word in told.split():
        longer = f"{lines[-1]} {word}".strip()
        if stringWidth(longer, face, _SMALL) <= room:
            lines[-1] = longer
            continue
        lines.append("")
        for letter in word:
            if stringWidth(lines[-1] + letter, face, _SMALL) > room:
                lines.append("")
            lines[-1] += letter
    shown = [line for line in lines if line]
    return shown if len(shown) <= _MOST_LINES else [*shown[: _MOST_LINES - 1], "..."]
