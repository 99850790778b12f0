"""One file read element by element: conduits, boxes, and what conduits may meet."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from sys import intern

import ifcopenshell

from modelcheck.model.element import Conduit, ElementRef, Enclosure, NotUnderstood, Role
from modelcheck.model.settings import Settings
from modelcheck.read.blocks import Block
from modelcheck.read.box_properties import BoxProperties
from modelcheck.read.conduits import Outline
from modelcheck.read.curves import DAMAGED, FARTHEST_M, LONGEST_M, UNSOUND_RAISES, Scales
from modelcheck.read.enclosures import BoxBodies, enclosure_of
from modelcheck.read.engine import Engine
from modelcheck.read.ifc_file import ModelFile
from modelcheck.read.kinds import Recogniser
from modelcheck.read.lost import Lost, lost_of
from modelcheck.read.ports import Ports
from modelcheck.read.properties import GLOBAL_ID, NAME, TAG, Properties
from modelcheck.read.property_values import Entity
from modelcheck.read.recognised import Kind, Recognised
from modelcheck.read.shapes import Drawn, Shapes
from modelcheck.read.sizes import RacewaySizes
from modelcheck.read.ways import Way, Ways, conduit_of

_RACEWAY = {
    Kind.SEGMENT: Role.SEGMENT,
    Kind.FITTING: Role.FITTING,
    Kind.CAP: Role.CAP,
    Kind.CABLE: Role.SEGMENT,
}
_PAIR = 2
_TOGETHER = 2048  # elements
_MEETABLE = (Kind.EQUIPMENT, Kind.NOT_CONDUIT, Kind.WIREWAY)
_DRAWN = (*_RACEWAY, *_MEETABLE, Kind.BOX, Kind.CONDUIT_BODY)
MEND = "export the model again, or repair the element where it was drawn"
_TOO_FAR = "its coordinates are beyond any building"
_REMEDY = "give it a body that is a swept circle or a closed mesh, an axis, or ports on its ends"


@dataclass(slots=True)
class Candidate:
    """An element that a conduit's end may meet; its body is read only if one comes near."""

    ref: ElementRef
    ported_to: tuple[tuple[str, int], ...]
    block: Block | None  # around its body, if it has one that can be read


@dataclass(slots=True, kw_only=True)
class Found:
    """What was read of a share of one file."""

    conduits: list[Conduit]
    enclosures: list[Enclosure]
    not_understood: list[NotUnderstood]
    candidates: list[Candidate]
    tentative: list[tuple[str, int]]
    considered: list[tuple[ElementRef, Recognised]]
    lost: list[Lost]
    notes: list[str]


def _text(value: object) -> str:
    """A name as it stands; empty where none, or something else, stands there."""
    return value if isinstance(value, str) else ""


def _is_beyond_reason(way: Way, drawn: Drawn) -> bool:
    """True for a place or a length that no building has: a number that was damaged."""
    far_m = way.reach_m + max(map(abs, drawn.matrix[:3, 3].tolist()))
    return not far_m < FARTHEST_M or not way.length_m < LONGEST_M


@dataclass(slots=True)
class FileReader:
    """Reads one file."""

    file: ModelFile
    settings: Settings
    engine: Engine
    conduits: list[Conduit] = field(default_factory=list)
    enclosures: list[Enclosure] = field(default_factory=list)
    not_understood: list[NotUnderstood] = field(default_factory=list)
    candidates: list[Candidate] = field(default_factory=list)
    tentative: list[tuple[str, int]] = field(default_factory=list)
    considered: list[tuple[ElementRef, Recognised]] = field(default_factory=list)
    handle: ifcopenshell.file = field(init=False)
    properties: Properties = field(init=False)
    kinds: Recogniser = field(init=False)
    sizes: RacewaySizes = field(init=False)
    boxes: BoxProperties = field(init=False)
    shapes: Shapes = field(init=False)
    ports: Ports = field(init=False)
    doubt: str = field(init=False)  # why nothing of the file can be relied on
    lost: list[Lost] = field(default_factory=list)
    last: ElementRef = field(default=ElementRef(model="", guid=""))  # that was asked for
    ways: Ways = field(default_factory=Ways)
    bodies: BoxBodies = field(default_factory=BoxBodies)

    def __post_init__(self) -> None:
        self.handle = self.file.handle
        self.properties = Properties(self.handle)
        self.kinds = Recogniser(self.handle, self.properties, self.settings)
        self.sizes = RacewaySizes(self.properties, self.settings)
        self.boxes = BoxProperties(self.properties, self.settings)
        scales = Scales.of(self.handle)
        self.doubt = "; ".join(each for each in (self.file.damage.whole, scales.doubt) if each)
        self.shapes = Shapes(scales, self.engine, self.file.copies)
        self.ports = Ports(self.handle, self.shapes.placements, self.properties.misfits)

    def notes(self) -> list[str]:
        """What is to tell of the file as a whole."""
        told = (self.file.damage.note, self.shapes.scales.doubt)
        return [f"{self.file.model}: {each}" for each in told if each]

    def found(self) -> Found:
        """What was read, without what it was read of."""
        return Found(
            conduits=self.conduits,
            enclosures=self.enclosures,
            not_understood=self.not_understood,
            candidates=self.candidates,
            tentative=self.tentative,
            considered=self.considered,
            lost=self.lost,
            notes=self.notes(),
        )

    @UNSOUND_RAISES
    def read(self, first: int, last: int) -> None:
        """Read the elements from the first to the one before the last."""
        elements = self.handle.by_type("IfcElement")[first:last]
        for begin in range(0, len(elements), _TOGETHER):
            self._read_together(elements[begin : begin + _TOGETHER])

    def _read_together(self, elements: Sequence[Entity]) -> None:
        kinds = [self._kind_of(element) for element in elements]
        self.shapes.prepare(
            element
            for element, recognised in zip(elements, kinds, strict=True)
            if recognised and recognised.kind in _DRAWN
        )
        for element, recognised in zip(elements, kinds, strict=True):
            try:
                if recognised is None:
                    raise ValueError
                self._read(element, recognised)
            except DAMAGED:
                self._lost(element, "what it refers to is damaged", MEND)

    def _kind_of(self, element: Entity) -> Recognised | None:
        """What `element` is; None where it is too damaged for that to be told."""
        with suppress(*DAMAGED):
            return self.kinds.kind_of(element)
        return None

    def _read(self, element: Entity, recognised: Recognised) -> None:
        kind = recognised.kind
        if kind is not Kind.OTHER or recognised.reason:
            self.considered.append((self._ref(element), recognised))
        if recognised.reason and kind in (Kind.NOT_CONDUIT, Kind.OTHER):
            self._not_understood(element, recognised.reason, recognised.remedy)
        if kind in _RACEWAY:
            self._conduit(element, recognised, _RACEWAY[kind])
        elif kind in (Kind.BOX, Kind.CONDUIT_BODY):
            self._box(element, recognised)
        elif kind in _MEETABLE:
            self._candidate(element)

    def _conduit(self, element: Entity, recognised: Recognised, role: Role) -> None:
        drawn = self.shapes.of(element)
        way = self.ways.of(drawn, lambda: self.ports.of(element), role)
        outline = way.outline
        if recognised.only_if == "round" and not outline.is_round:
            self._instead(element, recognised, drawn)
            return
        ref = self._ref(element)
        if not (outline.shape.mouths or drawn.own.solids or drawn.own.bounds):
            reason = "; ".join(outline.troubles) or "it is drawn with no body, axis or bounding box"
            self._lost(element, reason, _REMEDY, role)
            return
        if _is_beyond_reason(way, drawn):
            self._lost(element, _TOO_FAR, MEND, role)
            return
        if recognised.only_if == "joined":
            self.tentative.append(ref.key)
        size = self.sizes.of(
            element,
            kind=recognised.kind,
            drawn_diameter_m=outline.diameter_m if outline.is_round else None,
            profile_name=outline.profile,
        )
        self.conduits.append(
            conduit_of(
                way,
                drawn,
                ref=ref,
                role=role,
                size=size,
                system=self.properties.system_of(element),
                is_cable=recognised.kind is Kind.CABLE,
                ported_to=self._ported_to(element),
                damage=self._damage([element], [drawn], self._lacking(element, outline, role)),
            )
        )

    def _instead(self, element: Entity, recognised: Recognised, drawn: Drawn) -> None:
        """Take `element` for what it is where its condition doesn't hold."""
        if drawn.own.troubles and not drawn.own.solids:  # who knows whether it holds
            self._lost(element, "; ".join(drawn.own.troubles), _REMEDY)
            return
        if recognised.otherwise in _MEETABLE:
            self._candidate(element)
        if recognised.reason:
            self._not_understood(element, recognised.reason, recognised.remedy)

    def _box(self, element: Entity, recognised: Recognised) -> None:
        drawn, parts = self.shapes.of(element), self._parts(element, set())
        body = self.bodies.of(drawn, [(_text(part[NAME]), shape) for part, shape in parts])
        box = enclosure_of(
            drawn,
            body,
            self.boxes.of(element),
            ref=self._ref(element),
            recognised=recognised,
            ported_to=self._ported_to(element),
        )
        if not all(abs(value) < FARTHEST_M for value in box.origin):
            self._not_understood(element, _TOO_FAR, MEND)
            return
        entities = [element, *(part for part, _ in parts)]
        lacking = "" if box.is_conduit_body else body.lacking
        damage = self._damage(entities, [drawn, *(shape for _, shape in parts)], lacking)
        self.enclosures.append(replace(box, damage=damage))

    def _lacking(self, element: Entity, outline: Outline, role: Role) -> str:
        """Why there must be more ends than the two that a fitting shows; empty if nothing says so.

        Taken for a bend it would let a run through that branches there.
        """
        if role is not Role.FITTING or len(outline.shape.mouths) != _PAIR:
            return ""
        if self.kinds.says_it_is("branches", element):
            return "it is called a branching fitting, but only two ends of it can be told"
        ported = min(len(self.ports.of(element)), len(self._ported_to(element)))
        if ported > _PAIR:
            return f"{ported} ports connect it, but only two ends of it can be told"
        return ""

    def _damage(
        self, entities: Sequence[Entity], shapes: Sequence[Drawn], lacking: str = ""
    ) -> str:
        """What is damaged of one element and its parts."""
        own = [self.file.damage.elements.get(each.id(), "") for each in entities]
        own += [self.properties.misfits.why.get(each.id(), "") for each in entities]
        own += [text for each in shapes if not each.own.solids for text in each.own.troubles]
        own += ["it is part of itself" * self.properties.is_part_of_itself(entities[0]), lacking]
        if any(own):
            why = "; ".join(dict.fromkeys(each for each in own if each))
            self._not_understood(entities[0], why, MEND)
        told = "; ".join(dict.fromkeys(each for each in (self.doubt, *own) if each))
        ref = self._ref(entities[0])
        return f"{ref.name or ref.guid}: {told}" if told else ""

    def _parts(self, element: Entity, seen: set[int]) -> list[tuple[Entity, Drawn]]:
        found: list[tuple[Entity, Drawn]] = []
        for part in self.properties.parts_of(element):
            if part.id() in seen or not part.is_a("IfcProduct"):
                continue
            seen.add(part.id())
            found.append((part, self.shapes.of(part)))
            found += self._parts(part, seen)
        return found

    def _candidate(self, element: Entity) -> None:
        ref, ported_to = self._ref(element), self._ported_to(element)
        self.candidates.append(Candidate(ref, ported_to, self.shapes.block_of(element)))

    def _ported_to(self, element: Entity) -> tuple[tuple[str, int], ...]:
        return tuple((self.file.model, each) for each in self.ports.beside(element))

    def _lost(self, element: Entity, reason: str, remedy: str, role: Role = Role.SEGMENT) -> None:
        """Leave out an element that may be raceway, and remember what it was connected to."""
        self._not_understood(element, reason, remedy)
        if role is not Role.CAP:  # nothing enters a box by one
            self.lost.append(
                lost_of(
                    element,
                    self._ref(element),
                    ports=self.ports,
                    placements=self.shapes.placements,
                    is_in_parts=self._is_in_parts(element),
                    is_short=role is Role.FITTING and self._is_short(element),
                )
            )

    def _is_short(self, element: Entity) -> bool:
        """Whether `element` is called a piece of no length, such as a coupling."""
        with suppress(*DAMAGED):
            return self.kinds.says_it_is("short", element)
        return False

    def _is_in_parts(self, element: Entity) -> bool:
        """Whether `element` is drawn by pieces of raceway that are its parts."""
        with suppress(*DAMAGED):
            kinds = [self.kinds.kind_of(part).kind for part in self.properties.parts_of(element)]
            return not _RACEWAY.keys().isdisjoint(kinds)
        return False

    def _not_understood(self, element: Entity, reason: str, remedy: str) -> None:
        self.not_understood.append(
            NotUnderstood(ref=self._ref(element), reason=reason, remedy=remedy)
        )

    def _ref(self, element: Entity) -> ElementRef:
        step_id = element.id()
        if self.last.step_id != step_id:
            self.last = ElementRef(
                model=self.file.model,
                guid=_text(element[GLOBAL_ID]) or f"#{step_id}",
                name=_text(element[NAME]),
                ifc_class=intern(element.is_a()),
                tag=_text(element[TAG]),
                step_id=step_id,
            )
        return self.last
