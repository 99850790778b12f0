"""Text and tables on a terminal: made safe, plain where there are no colours or few letters."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import IO

from rich.box import SIMPLE
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from modelcheck.model.element import ElementRef
from modelcheck.write import words
from modelcheck.write.csv_tables import quantity

MOST_ROWS = 40
RANKS = ("fail", "needs-input", "pass", "none")

_SHAPES = {"fail": "\u2716", "needs-input": "?", "pass": "\u2714", "none": "\u2013"}
_PLAIN_SHAPES = {"fail": "x", "needs-input": "?", "pass": "+", "none": "-"}
_STYLES = {"fail": "bold red", "needs-input": "yellow", "pass": "green", "none": "dim"}
_UNSAFE = re.compile(
    "[\x00-\x1f\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ud800-\udfff]+"
)
_LONGEST_NAME, _LONGEST_TEXT = 60, 900
_PLAIN_WIDTH = 120


def console_on(stream: IO[str]) -> Console:
    """Console for `stream`: colours only on a terminal, a fixed width elsewhere."""
    width = None if stream.isatty() else _PLAIN_WIDTH
    return Console(file=stream, width=width, highlight=False, markup=False, emoji=False)


def short_text(text: str) -> str:
    """Name in one line without what would steer a terminal, cut where it has no end."""
    return _cleaned(text, _LONGEST_NAME)


def long_text(text: str) -> str:
    """Sentence in one line without what would steer a terminal, cut where it has no end."""
    return _cleaned(text, _LONGEST_TEXT)


def named(ref: ElementRef) -> str:
    """Name of an element, else its GlobalId."""
    return short_text(ref.name or ref.guid)


def natural(name: str) -> tuple[tuple[bool, int, str], ...]:
    """Order of names as a person has it: R2 before R10."""
    parts = re.findall(r"[0-9]{1,18}|[^0-9]+", name[:_LONGEST_NAME])
    return tuple(
        (not part.isdecimal(), int(part) if part.isdecimal() else 0, part) for part in parts
    )


def amount(value: float | None, unit: str) -> str:
    """Amount with its unit, as the tables round it; empty if it isn't known."""
    text = quantity(value, unit)
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"{text} {unit}".strip() if text else ""


def say(console: Console, text: str, *, style: str = "", indent: int = 0) -> None:
    """Print one paragraph, all of its lines set in by `indent`."""
    console.print(Padding(Text(text, style=style), (0, 0, 0, indent), expand=False))


def new_table(title: str, columns: Sequence[str]) -> Table:
    """Table without rows yet."""
    table = Table(title=title, title_justify="left", box=SIMPLE, pad_edge=False)
    for column in columns:
        table.add_column(column, overflow="fold", no_wrap=column == words.CHECK)
    return table


def cut(table: Table, count: int, *, file: str) -> Table:
    """Say below `table` how many of its `count` rows there was no room for."""
    if count > MOST_ROWS:
        table.caption = words.MORE_ROWS.format(count=count - MOST_ROWS, file=file)
        table.caption_justify = "left"
    return table


def verdict(console: Console, outcome: str) -> Text:
    """Outcome by shape and word, and by colour where there are colours."""
    shapes = _SHAPES if console.encoding.lower().startswith("utf") else _PLAIN_SHAPES
    return Text(f"{shapes[outcome]} {words.OUTCOME_WORDS[outcome]}", style=_STYLES[outcome])


def _cleaned(text: str, longest: int) -> str:
    safe = _UNSAFE.sub("?", text[: longest + 1])
    return safe if len(text) <= longest else f"{safe[: longest - 3]}..."
