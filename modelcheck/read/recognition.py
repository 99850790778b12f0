"""Tells what every element was taken for, by which evidence, and what could not be told of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from modelcheck.model.element import Conduit, ElementRef, Enclosure, NotUnderstood, Role
from modelcheck.model.recognition import ReadElement, Shortfall
from modelcheck.read.elements import Elements
from modelcheck.read.file_reader import MEND
from modelcheck.read.recognised import Recognised

_ENDS = Shortfall(
    reason="its ends can't be told from its body, its axis or ports on it",
    remedy="draw it as a swept circle or a closed mesh, or give it an axis",
)
_SIZE = Shortfall(
    reason="its size is not known",
    remedy="give it a property such as TradeSize or MetricDesignator, "
    'or a name or type with the size, such as 2" EMT',
)
_INSIDE = Shortfall(
    reason="its inside size is not known",
    remedy="draw its walls, or give it Width, Height and Depth as properties",
)
_COVER = Shortfall(
    reason="its cover is not known",
    remedy="draw its lid or its open side, or give it the property CoverSide, such as +z",
)
_MARKING = Shortfall(
    reason="the shell of a conduit body is not measured",
    remedy="give it MarkedFor, or Width, Height and Depth, as properties",
)
_ENTERED = Shortfall(
    reason="it is a box only if a conduit enters it",
    remedy="if it is one, give it the type IfcJunctionBoxType or name it by [select] in the "
    "settings",
)
_ALONE = "it comes near no conduit and is taken for none"
_AGREE = "correct one of the two so that they agree"


def recognised_elements(elements: Elements) -> tuple[ReadElement, ...]:
    """Everything that was considered, by code point of model and GlobalId.

    Parameters
    ----------
    elements : Elements
    """
    table = _Table(
        conduits={each.ref.key: each for each in elements.conduits},
        boxes={each.ref.key: each for each in elements.enclosures},
        refused={each.ref.key: each for each in elements.not_understood},
    )
    rows = [table.row(ref, recognised) for ref, recognised in elements.considered]
    return tuple(sorted(rows, key=lambda row: (row.ref.model, row.ref.guid, row.ref.step_id)))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Table:
    """What was read, by element."""

    conduits: dict[tuple[str, int], Conduit] = field(default_factory=dict)
    boxes: dict[tuple[str, int], Enclosure] = field(default_factory=dict)
    refused: dict[tuple[str, int], NotUnderstood] = field(default_factory=dict)

    def row(self, ref: ElementRef, recognised: Recognised) -> ReadElement:
        """Row of one element."""
        said = _said(recognised)
        if conduit := self.conduits.get(ref.key):
            return _conduit_row(conduit, recognised, said)
        if box := self.boxes.get(ref.key):
            return _box_row(box, recognised, said)
        refused = self.refused.get(ref.key)
        kind = recognised.otherwise if recognised.only_if else recognised.kind
        told = [Shortfall(reason=refused.reason, remedy=refused.remedy)] if refused else said
        if recognised.only_if == "joined" and not told:
            told = [Shortfall(reason=_ALONE)]
        return ReadElement(
            ref=ref,
            kind=str(kind),
            kind_from=recognised.evidence,
            is_understood=refused is None,
            shortfalls=tuple(told),
        )


def _said(recognised: Recognised) -> list[Shortfall]:
    """What was overruled or left open when the kind was told."""
    if not recognised.reason:
        return []
    return [Shortfall(reason=recognised.reason, remedy=recognised.remedy)]


def _conduit_row(conduit: Conduit, recognised: Recognised, said: list[Shortfall]) -> ReadElement:
    return ReadElement(
        ref=conduit.ref,
        kind=str(recognised.kind),
        kind_from=recognised.evidence,
        ends=len(conduit.ends),
        ends_from=";".join(sorted({end.evidence for end in conduit.ends})),
        size=conduit.size,
        size_from=conduit.size.size_from,
        shortfalls=(*said, *_of_conduit(conduit)),
    )


def _of_conduit(conduit: Conduit) -> Iterator[Shortfall]:
    least = 1 if conduit.role is Role.CAP else 2
    if len(conduit.ends) < least:
        yield _ENDS
    if conduit.damage:
        yield Shortfall(reason=conduit.damage, remedy=MEND)
    if conduit.bend_conflict:
        yield Shortfall(reason=conduit.bend_conflict, remedy=_ENDS.remedy)
    if conduit.role is Role.SEGMENT and not (conduit.is_cable or conduit.size.known):
        yield _SIZE
    if conduit.size.conflict:
        yield Shortfall(reason=conduit.size.conflict, remedy=_AGREE)


def _box_row(box: Enclosure, recognised: Recognised, said: list[Shortfall]) -> ReadElement:
    return ReadElement(
        ref=box.ref,
        kind=str(recognised.kind),
        kind_from=recognised.evidence,
        size_from=box.size_from,
        cover=box.cover,
        cover_from=box.cover_from,
        shortfalls=(*said, *_of_box(box)),
    )


def _of_box(box: Enclosure) -> Iterator[Shortfall]:
    if box.only_if_entered:
        yield _ENTERED
    if box.damage:
        yield Shortfall(reason=box.damage, remedy=MEND)
    if box.size_conflict:
        yield Shortfall(reason=box.size_conflict, remedy=_AGREE)
    if box.is_conduit_body:
        if not box.marked_for and None in box.inside_m:
            yield _MARKING
        return
    if None in box.inside_m and not box.size_conflict:
        yield _INSIDE
    if not box.cover:
        yield _COVER
