"""Boxes that are alike are worked once: their rows differ in names and in where they stand only.

A box is worked under stand-ins for its names and GlobalIds, single letters of a private plane of
Unicode in the order of what they stand for; then the rows are given the names back.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, fields, replace
from hashlib import blake2b
from typing import Any, Generic, TypeVar

from modelcheck.model.element import ElementRef, Enclosure
from modelcheck.model.finding import Finding
from modelcheck.model.fix import Fix
from modelcheck.model.pull import BoxCase
from modelcheck.model.run import Entry
from modelcheck.read.shares import each_worked

_FIRST_GUID, _FIRST_NAME = 0xF0000, 0xF8000
_STAND_IN = re.compile("[\U000f0000-\U000fffff]")
_ESCAPED = r"\U000f"  # as such a letter is written of what can't be printed
_LEAST = 32  # boxes that are worth a process
_DIGITS = 10  # of a length in metres: what differs by less differs by the noise of its arithmetic
_BOX = ElementRef(model="", guid="\U000fffff")

_FINDING, _FIX = ([each.name for each in fields(kind)] for kind in (Finding, Fix))

RowT = TypeVar("RowT", bound=Finding | Fix)
Asked = tuple[BoxCase, tuple[str, ...]]  # a box, and the systems of its entries where it matters


class Alike(Generic[RowT]):
    """Works boxes, those that are alike once.

    Parameters
    ----------
    work : callable
        Gives the rows of one box; asks of its elements nothing but their names and their order.
    """

    def __init__(self, work: Callable[[BoxCase, tuple[str, ...]], tuple[RowT, ...]]) -> None:
        self._work: Callable[[BoxCase, tuple[str, ...]], tuple[RowT, ...]] = work
        self._known: dict[bytes, tuple[RowT, ...]] = {}  # by the digest of what is asked

    def rows(self, boxes: Sequence[Asked], *, workers: int = 1) -> list[tuple[RowT, ...]]:
        """Rows of each of `boxes`; processes share those that aren't known yet."""
        named = [(_Names.of(case), (case, systems)) for case, systems in boxes]
        unknown: dict[bytes, Asked] = {}
        digests = [self._asked(own, box, unknown) for own, box in named]
        many = workers if len(unknown) >= _LEAST * workers else 1
        worked = each_worked(
            lambda each: self._work(*each), [*unknown.values()], workers=many, cost=_entry_count
        )
        self._known |= zip(unknown, worked, strict=True)
        return [
            tuple(own.given_to(row) for row in self._known[each])
            for each, (own, _) in zip(digests, named, strict=True)
        ]

    def _asked(self, own: _Names, box: Asked, unknown: dict[bytes, Asked]) -> bytes:
        """Digest of `box` as every one has it that is alike, taken up where it isn't known."""
        case, systems = box
        asked = (_nameless(case, own), systems)
        text = repr(asked)
        if text.count(_ESCAPED) != own.letters:  # it uses these letters itself
            own.texts.clear()
            asked, text = box, repr(box)
        digest = blake2b(text.encode(), digest_size=16).digest()
        if digest not in self._known:
            unknown[digest] = asked
        return digest


def _entry_count(asked: Asked) -> float:
    return float(len(asked[0].entries))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Names:
    """What the stand-ins of one box stand for."""

    case: BoxCase
    stand_ins: Mapping[ElementRef, ElementRef]
    texts: dict[str, str]
    letters: int  # stand-ins in the box without names
    refs: dict[ElementRef, ElementRef] = field(default_factory=dict)

    @classmethod
    def of(cls, case: BoxCase) -> _Names:
        conduits = sorted(
            {entry.conduit for entry in case.entries}, key=lambda ref: (ref.guid, ref.key)
        )
        guids = _numbered((ref.guid for ref in conduits), _FIRST_GUID)
        names = _numbered((ref.name for ref in conduits if ref.name), _FIRST_NAME)
        stand_ins = {
            ref: ElementRef(
                model="", guid=guids[ref.guid], name=names.get(ref.name, ""), step_id=place
            )
            for place, ref in enumerate(conduits, start=1)
        }
        own = {letter: text for texts in (guids, names) for text, letter in texts.items()}
        refs = {_BOX: case.enclosure.ref, **{stand: ref for ref, stand in stand_ins.items()}}
        letters = 1 + sum(2 + bool(entry.conduit.name) for entry in case.entries)
        return cls(case=case, stand_ins=stand_ins, texts=own, letters=letters, refs=refs)

    def given_to(self, row: RowT) -> RowT:
        """`row` with the names of this box, at its place."""
        names = _FINDING if isinstance(row, Finding) else _FIX
        given = {name: self._given(getattr(row, name)) for name in names}
        if isinstance(row, Finding):
            given["at"] = self.case.enclosure.origin
        return type(row)(**given)

    def _given(self, value: Any) -> Any:  # noqa: ANN401 - of any field
        if isinstance(value, str):
            return value if value.isascii() else _STAND_IN.sub(self._text, value)
        if isinstance(value, tuple):
            return tuple(map(self._given, value))
        return self.refs.get(value, value) if isinstance(value, ElementRef) else value

    def _text(self, found: re.Match[str]) -> str:
        return self.texts.get(found[0], found[0])


def _numbered(texts: Iterable[str], first: int) -> dict[str, str]:
    """A letter for each different text, in their order."""
    return {text: chr(first + place) for place, text in enumerate(sorted(set(texts)))}


def _nameless(case: BoxCase, own: _Names) -> BoxCase:
    """`case` as every box has it that is alike."""
    box, plain = case.enclosure, Enclosure(ref=_BOX)
    return replace(
        case,
        enclosure=replace(
            box,
            ref=_BOX,
            origin=plain.origin,
            axes=plain.axes,
            outside_low_m=plain.outside_low_m,
            outside_high_m=plain.outside_high_m,
            inside_m=(_even(box.inside_m[0]), _even(box.inside_m[1]), _even(box.inside_m[2])),
            ported_to=(),
            triangles=(),
        ),
        entries=tuple(_nameless_entry(entry, own) for entry in case.entries),
    )


def _nameless_entry(entry: Entry, own: _Names) -> Entry:
    """`entry` without what its rows don't hang on; all else stays, also what is yet to come."""
    size, od_m = entry.size, _even(entry.size.outside_diameter_m)
    return replace(
        entry,
        box=_BOX,
        conduit=own.stand_ins[entry.conduit],
        u_m=_even(entry.u_m),
        v_m=_even(entry.v_m),
        size=size if od_m == size.outside_diameter_m else replace(size, outside_diameter_m=od_m),
        run="",
        at=(0.0, 0.0, 0.0),
    )


def _even(length_m: float | None) -> float | None:
    return None if length_m is None else round(length_m, _DIGITS) + 0.0
