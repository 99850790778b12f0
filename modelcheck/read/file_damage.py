"""What of a file is not as it must be, and which of its elements that touches.

The library opens a file in which statements are damaged without a word: a reference that leads
nowhere is left out of its list, so that a path loses a corner and a box a wall. What it logs
meanwhile, and the count of the statements, tells.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import ifcopenshell

from modelcheck.read.property_values import Entity

_DANGLING = re.compile(
    r"Instance reference #(\d+) used by instance #(\d+) at attribute index (\d+) not found"
)
_TWICE = re.compile(r"Overwriting instance with name #(\d+)")
_MISCOUNTED = re.compile(r"Expected \d+ attribute values, found \d+ for instance #(\d+)")
_NO_CLASS = re.compile(r"Entity with name '([^']*)' not found in schema")
_STATEMENT = re.compile(rb"^[ \t]*#\d+\s*=", re.MULTILINE)
_COMMENT = re.compile(rb"/\*.*?\*/", re.DOTALL)
_OWNER_HISTORY, _MEMBERS, _PARTS = 1, 4, 5  # places of attributes
_JOINS = "IfcRelConnectsPorts"
_BARREN = ("IfcOwnerHistory", "IfcRepresentationContext", "IfcRelAssociates")  # tell us nothing
_CONTAINMENT = ("IfcRelContainedInSpatialStructure", "IfcRelReferencedInSpatialStructure")
_LISTS = ("IfcRelDefines", "IfcRelAssigns", *_CONTAINMENT)  # a lost member leaves the others whole
_TOLD = 3  # places that a note names


@dataclass(frozen=True, slots=True, kw_only=True)
class FileDamage:
    """What is damaged in one file."""

    elements: Mapping[int, str] = field(default_factory=dict)  # instance number, what is wrong
    whole: str = ""  # why nothing of the file can be relied on
    lost: int = 0  # things that are named in it but aren't there; what they were isn't known
    note: str = ""  # a sentence about all of it


@dataclass(frozen=True, slots=True)
class _Flaw:
    step_id: int
    why: str
    attribute: int | None = None  # place of the one that leads nowhere
    missing: int = 0  # instance that it leads to


def damage_of(file: ifcopenshell.file, log: str, unread: int) -> FileDamage:
    """What is damaged in a file that was opened.

    Parameters
    ----------
    file : ifcopenshell.file
    log : str
        What the library logged while it opened the file.
    unread : int
        Statements of its text that it doesn't hold.
    """
    flaws, no_class = _flaws(log), _NO_CLASS.findall(log)
    twice = sum(1 for _ in _TWICE.finditer(log))
    unread -= len(no_class) + twice
    if not flaws and not no_class and unread <= 0:
        return FileDamage()
    reach = _Reach(file)
    lost = {flaw.missing for flaw in flaws if not reach.spread(flaw)}
    whole = f"{unread} statements of the file can't be read" if unread > 0 else reach.whole
    told = [*([whole] if whole else [])]
    told += [f"{name} is no class of {file.schema_identifier}" for name in no_class]
    told += [flaw.why for flaw in flaws]
    more = f"; and {len(told) - _TOLD} more" if len(told) > _TOLD else ""
    note = f"the file is damaged: {'; '.join(told[:_TOLD])}{more}"
    return FileDamage(
        elements=reach.found, whole=whole, lost=max(len(lost), len(no_class)), note=note
    )


def lines_of_statements(text: bytes) -> int:
    """Number of statements of a text that is laid out as usual, without comments."""
    return text.count(b"\n#")


def statements_in(text: bytes) -> int:
    """Number of statements that begin a line, whatever stands before them or in comments."""
    return len(_STATEMENT.findall(_COMMENT.sub(b"", text)))


def _flaws(log: str) -> list[_Flaw]:
    dangling = [
        _Flaw(
            int(own), f"#{own} refers to #{other}, which isn't in the file", int(place), int(other)
        )
        for other, own, place in _DANGLING.findall(log)
    ]
    twice = [_Flaw(int(own), f"#{own} is in the file twice") for own in _TWICE.findall(log)]
    miscounted = [
        _Flaw(int(own), f"#{own} has too few or too many values")
        for own in _MISCOUNTED.findall(log)
    ]
    return sorted([*dangling, *twice, *miscounted], key=lambda flaw: (flaw.step_id, flaw.why))


class _Reach:
    """Elements that are drawn, placed, described or connected by damaged instances."""

    def __init__(self, file: ifcopenshell.file) -> None:
        self._file = file
        self._seen: set[int] = set()
        self.found: dict[int, str] = {}
        self.whole = ""

    def spread(self, flaw: _Flaw) -> bool:
        """Find what `flaw` touches; False if it is only that a thing is lost from a list."""
        try:
            first = self._file.by_id(flaw.step_id)
        except (RuntimeError, OverflowError):
            return False
        if flaw.attribute == _OWNER_HISTORY and first.is_a("IfcRoot"):
            return True
        if flaw.attribute == _MEMBERS and any(first.is_a(each) for each in _LISTS):
            return False
        waiting = [first]
        while waiting:
            here = waiting.pop()
            if here.id() not in self._seen:
                self._seen.add(here.id())
                waiting += self._after(here, flaw)
        return True

    def _after(self, here: Entity, flaw: _Flaw) -> list[Entity]:
        """Note an element; gives what else `here` touches."""
        if any(here.is_a(each) for each in (*_BARREN, *_CONTAINMENT)):
            return []
        if here.is_a("IfcUnitAssignment"):
            self.whole = self.whole or f"its units are damaged: {flaw.why}"
        if here.is_a("IfcRelNests") and here.id() == flaw.step_id and flaw.attribute == _PARTS:
            return [each for each in _parties(here) if not each.is_a("IfcPort")]  # they are whole
        if here.is_a("IfcRelationship"):
            return list(_parties(here))
        if here.is_a("IfcPort"):
            return [each for port in self._joined(here) for each in self._owners(port)]
        if here.is_a("IfcObject"):
            self.found.setdefault(here.id(), flaw.why)
            if not here.is_a("IfcFeatureElement"):
                return []
        return list(self._file.get_inverse(here))

    def _joined(self, port: Entity) -> list[Entity]:
        """`port` and those that it is connected to."""
        relations = [each for each in self._file.get_inverse(port) if each.is_a(_JOINS)]
        return [port, *(each for relation in relations for each in _parties(relation))]

    def _owners(self, port: Entity) -> list[Entity]:
        relations = [
            each
            for each in self._file.get_inverse(port)
            if each.is_a("IfcRelNests") or each.is_a("IfcRelConnectsPortToElement")
        ]
        parties = [each for relation in relations for each in _parties(relation)]
        return [each for each in parties if each.is_a("IfcElement")]


def _parties(relation: Entity) -> Iterator[Entity]:
    for value in relation:
        for each in value if isinstance(value, tuple) else (value,):
            if isinstance(each, ifcopenshell.entity_instance) and each.is_a("IfcObject"):
                yield each
