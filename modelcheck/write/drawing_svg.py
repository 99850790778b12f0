"""A sheet as SVG."""

from __future__ import annotations

from xml.sax.saxutils import escape

from modelcheck.write.csv_tables import number
from modelcheck.write.drawing_marks import STYLES, Circle, Line, Mark, Sheet, Text

_FACE = "Helvetica, Arial, 'Liberation Sans', sans-serif"


def svg(sheet: Sheet) -> str:
    """Write a sheet as the text of a file, or of a part of a page.

    Parameters
    ----------
    sheet : Sheet
    """
    width, height = _short(sheet.width_mm), _short(sheet.height_mm)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm"'
        f' viewBox="0 0 {width} {height}" font-family="{_FACE}" fill="none" stroke="#000">',
        f"<title>{_text(sheet.title)}</title>",
        f'<rect width="{width}" height="{height}" fill="#fff" stroke="none"/>',
        *(_mark(mark, sheet.height_mm) for mark in sheet.marks),
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def _mark(mark: Mark, height_mm: float) -> str:
    if isinstance(mark, Text):
        return _letters(mark, height_mm)
    width, dashes = STYLES[mark.style]
    look = f'stroke-width="{_short(width)}"'
    if dashes:
        look += f' stroke-dasharray="{" ".join(_short(each) for each in dashes)}"'
    if isinstance(mark, Circle):
        x, y = mark.centre
        return (
            f'<circle cx="{_short(x)}" cy="{_short(height_mm - y)}" r="{_short(mark.radius_mm)}"'
            f" {look}/>"
        )
    return _path(mark, height_mm, look)


def _path(line: Line, height_mm: float, look: str) -> str:
    points = " ".join(f"{_short(x)},{_short(height_mm - y)}" for x, y in line.points)
    return f'<polyline points="{points}" {look}/>'


def _letters(text: Text, height_mm: float) -> str:
    x, y = _short(text.at[0]), _short(height_mm - text.at[1])
    turn = f' transform="rotate(-90 {x} {y})"' if text.is_turned else ""
    weight = ' font-weight="bold"' if text.is_bold else ""
    patch = _patch(text, height_mm) if text.is_clear else ""
    return (
        f'{patch}<text x="{x}" y="{y}" font-size="{_short(text.size_mm)}"'
        f' text-anchor="{text.anchor}"{weight}{turn} fill="#000" stroke="none">'
        f"{_text(text.text)}</text>"
    )


def _patch(text: Text, height_mm: float) -> str:
    low_x, low_y, high_x, high_y = text.bounds
    return (
        f'<rect x="{_short(low_x)}" y="{_short(height_mm - high_y)}"'
        f' width="{_short(high_x - low_x)}" height="{_short(high_y - low_y)}"'
        ' fill="#fff" stroke="none"/>'
    )


def _text(text: str) -> str:
    return escape("".join(letter if letter.isprintable() else "?" for letter in text))


def _short(length_mm: float) -> str:
    """Thousandths of a millimetre, without idle zeros."""
    return number(length_mm, 3).rstrip("0").rstrip(".")
