"""Sheets as one PDF, a page each; the same sheets give the same bytes."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from modelcheck.write.drawing_marks import STYLES, Circle, Line, Mark, Sheet, Text, font


def pdf(sheets: Sequence[Sheet], *, title: str) -> bytes:
    """Write sheets as the bytes of a file.

    Parameters
    ----------
    sheets : sequence of Sheet
    title : str
        Of the document.
    """
    file = BytesIO()
    canvas = Canvas(file, invariant=1)  # no clock, no random id
    canvas.setTitle(letters(title))
    canvas.setAuthor("modelcheck")
    for sheet in sheets:
        canvas.setPageSize((sheet.width_mm * mm, sheet.height_mm * mm))
        canvas.bookmarkPage(f"sheet{canvas.getPageNumber()}")
        canvas.addOutlineEntry(letters(sheet.title), f"sheet{canvas.getPageNumber()}")
        draw_sheet(canvas, sheet)
        canvas.showPage()
    canvas.save()
    return file.getvalue()


def draw_sheet(canvas: Canvas, sheet: Sheet) -> None:
    """Draw a sheet at its own size, its lower left corner at the origin of `canvas`."""
    for mark in sheet.marks:
        _draw(canvas, mark)


def _draw(canvas: Canvas, mark: Mark) -> None:
    if isinstance(mark, Text):
        _write(canvas, mark)
        return
    width, dashes = STYLES[mark.style]
    canvas.setLineWidth(width * mm)
    canvas.setDash([each * mm for each in dashes])
    if isinstance(mark, Circle):
        x, y = mark.centre
        canvas.circle(x * mm, y * mm, mark.radius_mm * mm)
    else:
        _follow(canvas, mark)


def _follow(canvas: Canvas, line: Line) -> None:
    path = canvas.beginPath()
    first, *others = line.points
    path.moveTo(first[0] * mm, first[1] * mm)
    for x, y in others:
        path.lineTo(x * mm, y * mm)
    canvas.drawPath(path)


def _write(canvas: Canvas, text: Text) -> None:
    canvas.saveState()
    if text.is_clear:
        low_x, low_y, high_x, high_y = (each * mm for each in text.bounds)
        canvas.setFillGray(1)
        canvas.rect(low_x, low_y, high_x - low_x, high_y - low_y, stroke=0, fill=1)
        canvas.setFillGray(0)
    canvas.setFont(font(is_bold=text.is_bold), text.size_mm * mm)
    canvas.translate(text.at[0] * mm, text.at[1] * mm)
    if text.is_turned:
        canvas.rotate(90)
    place = {"start": canvas.drawString, "middle": canvas.drawCentredString}
    place.get(text.anchor, canvas.drawRightString)(0, 0, letters(text.text))
    canvas.restoreState()


def letters(text: str) -> str:
    """Letters that the type faces of every PDF reader have, a question mark for others."""
    return text.encode("cp1252", errors="replace").decode("cp1252")
