"""Boxes that are alike are worked once: their rows differ in names and in where they stand only.

A box is worked under stand-ins for its names and GlobalIds, single letters of a private plane of
Unicode in the order of what they stand for; then the rows are given the names back.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, fields, replace
from typing import Any, Generic, TypeVar

from modelcheck.model.element import ElementRef, Enclosure
from modelcheck.model.finding import Finding
from modelcheck.model.fix import Fix
from modelcheck.model.pull import BoxCase
from modelcheck.model.run import Entry
from modelcheck.read.shares import each_worked

_FIRST_GUID, _FIRST_NAME = 0xF0000, 0xF8000
_STAND_IN = re.compile("[\U000f0000-\U000fffff]")
_LEAST = 32  # boxes that are worth a process
_DIGITS = 10  # of a length in metres: what differs by less differs by the noise of its arithmetic
_BOX = ElementRef(model="", guid="\U000fffff")

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
        self._known: dict[Asked, tuple[tuple[RowT, Sequence[str]], ...]] = {}  # and what is named

    def rows(self, boxes: Sequence[Asked], *, workers: int = 1) -> list[tuple[RowT, ...]]:
        """Rows of each of `boxes`; processes share those that aren't known yet."""
        named = [(_Names.of(case), (case, systems)) for case, systems in boxes]
        unknown: dict[Asked, bool] = {}  # and whether it has stand-ins for its names
        asked = [self._asked(own, box, unknown) for own, box in named]
        many = workers if len(unknown) >= _LEAST * workers else 1
        worked = each_worked(
            lambda each: self._work(*each), [*unknown], workers=many, cost=_entry_count
        )
        for (each, has_stand_ins), rows in zip(unknown.items(), worked, strict=True):
            self._known[each] = tuple((row, _naming(row) if has_stand_ins else ()) for row in rows)
        return [
            tuple(own.given_to(row, naming) for row, naming in self._known[each])
            for each, (own, _) in zip(asked, named, strict=True)
        ]

    def _asked(self, own: _Names, box: Asked, unknown: dict[Asked, bool]) -> Asked:
        """`box` as every one has it that is alike, or itself; taken up where it isn't known."""
        case, systems = box
        nameless = (_nameless(case, own), systems)
        if nameless in self._known or nameless in unknown:
            return nameless
        has_letters = _STAND_IN.search(repr(box)) is not None  # it uses these letters itself
        asked = box if has_letters else nameless
        unknown[asked] = not has_letters
        return asked


def _entry_count(asked: Asked) -> float:
    return float(len(asked[0].entries))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Names:
    """What the stand-ins of one box stand for."""

    case: BoxCase
    stand_ins: Mapping[ElementRef, ElementRef]
    texts: Mapping[str, str]
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
        return cls(case=case, stand_ins=stand_ins, texts=own, refs=refs)

    def given_to(self, row: RowT, naming: Sequence[str]) -> RowT:
        """`row` with the names of this box in the fields `naming`, at its place."""
        changed = {name: self._given(getattr(row, name)) for name in naming}
        if isinstance(row, Finding):
            changed["at"] = self.case.enclosure.origin
        return replace(row, **changed)

    def _given(self, value: Any) -> Any:  # noqa: ANN401 - of any field
        if isinstance(value, ElementRef):
            return self.refs.get(value, value)
        if isinstance(value, tuple):
            return tuple(self._given(each) for each in value)
        if isinstance(value, str):
            return _STAND_IN.sub(lambda found: self.texts[found[0]], value)
        return value


def _naming(row: Finding | Fix) -> tuple[str, ...]:
    """Fields of `row` that name something."""
    return tuple(each.name for each in fields(row) if _names(getattr(row, each.name)))


def _names(value: object) -> bool:
    if isinstance(value, tuple):
        return any(_names(each) for each in value)
    return isinstance(value, ElementRef) or (
        isinstance(value, str) and _STAND_IN.search(value) is not None
    )


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
    return replace(
        entry,
        box=_BOX,
        conduit=own.stand_ins[entry.conduit],
        u_m=_even(entry.u_m),
        v_m=_even(entry.v_m),
        size=replace(entry.size, outside_diameter_m=_even(entry.size.outside_diameter_m)),
        run="",
        at=(0.0, 0.0, 0.0),
    )


def _even(length_m: float | None) -> float | None:
    return None if length_m is None else round(length_m, _DIGITS) + 0.0
