"""What the elements of the models were taken for, on the terminal: groups, never every element."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from pathlib import Path

from rich.console import Console

from modelcheck.model.element import ElementRef
from modelcheck.model.recognition import ReadElement, Shortfall
from modelcheck.write import words
from modelcheck.write.csv_tables import ELEMENTS
from modelcheck.write.terminal import MOST_ROWS, cut, long_text, named, natural, new_table, say

_MOST_NAMES = 3
_ORDER = ("segment", "fitting", "cap", "cable", "box", "conduit-body", "wireway", "part")


def print_elements(console: Console, rows: Sequence[ReadElement], *, folder: Path | None) -> None:
    """Print what was recognised as what, then what was not understood or in part only.

    Parameters
    ----------
    console : Console
    rows : sequence of ReadElement
    folder : Path or None
        Where every row was written, if it was.
    """
    understood = [row for row in rows if row.is_understood]
    refused = [row for row in rows if not row.is_understood]
    if not any(row.kind in _ORDER for row in understood):
        say(console, words.NOTHING_TO_CHECK)
    if understood:
        _print_kinds(console, understood)
    _print_shortfalls(console, words.REFUSED_TITLE, refused)
    _print_shortfalls(console, words.PARTLY_TITLE, understood)
    say(console, words.READ_COUNTS.format(understood=len(understood), refused=len(refused)))
    if folder is not None:
        say(console, words.WRITTEN.format(folder=long_text(str(folder)), files=ELEMENTS))
    say(console, words.CAUTIONS[0])


def _print_kinds(console: Console, rows: Sequence[ReadElement]) -> None:
    groups: dict[tuple[str, str, str], list[ReadElement]] = defaultdict(list)
    for row in rows:
        groups[row.kind, row.ref.ifc_class, row.kind_from].append(row)
    table = new_table(words.READ_TITLE, words.READ_COLUMNS)
    table.columns[1].no_wrap = True  # the name of a class is one word
    for key in sorted(groups, key=_place)[:MOST_ROWS]:
        group = groups[key]
        is_raceway = group[0].ends is not None
        table.add_row(
            *(long_text(each) for each in key),
            str(len(group)),
            _told(row.ends_from for row in group) if is_raceway else "",
            _told(row.size_from for row in group) if is_raceway or _is_box(group[0]) else "",
            _told(row.cover_from for row in group) if _is_box(group[0]) else "",
        )
    console.print(cut(table, len(groups), file=ELEMENTS))


def _is_box(row: ReadElement) -> bool:
    return row.kind in ("box", "conduit-body")


def _place(key: tuple[str, str, str]) -> tuple[object, ...]:
    """Raceway and boxes first."""
    kind, *rest = key
    return (_ORDER.index(kind) if kind in _ORDER else len(_ORDER), kind, *rest)


def _told(evidence: Iterable[str]) -> str:
    """Each kind of evidence with how often it was the one: body 38, axis 2, not known 1."""
    counts = Counter(each or words.NOT_KNOWN for each in evidence)
    ranked = sorted(counts.items(), key=lambda each: (-each[1], each[0]))
    return ", ".join(f"{each} {count}" for each, count in ranked)


def _print_shortfalls(console: Console, title: str, rows: Sequence[ReadElement]) -> None:
    """Print each reason once for a class, with what would help and a few of its elements."""
    groups: dict[tuple[str, Shortfall], list[ElementRef]] = defaultdict(list)
    for row in rows:
        for each in row.shortfalls:
            groups[row.ref.ifc_class, each].append(row.ref)
    if not groups:
        return
    table = new_table(title, words.SHORTFALL_COLUMNS)
    table.columns[1].no_wrap = True
    ranked = sorted(groups, key=lambda key: (-len(groups[key]), key[0], key[1].reason))
    for ifc_class, shortfall in ranked[:MOST_ROWS]:
        refs = groups[ifc_class, shortfall]
        table.add_row(
            str(len(refs)),
            long_text(ifc_class),
            long_text(shortfall.reason),
            long_text(shortfall.remedy),
            _some(refs),
        )
    console.print(cut(table, len(groups), file=ELEMENTS))


def _some(refs: Sequence[ElementRef]) -> str:
    names = sorted({named(ref) for ref in refs}, key=natural)
    shown = ", ".join(names[:_MOST_NAMES])
    return f"{shown}, ..." if len(names) > _MOST_NAMES else shown
