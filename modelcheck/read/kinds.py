"""Tells what each element of a file is to a conduit system.

The settings' selection stands first, then belonging to a box, then what the element says of itself
(see `kind_rules`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import ifcopenshell

from modelcheck.model.settings import Settings
from modelcheck.read.kind_rules import GENERIC_CLASSES, kind_by_rules
from modelcheck.read.mapping import any_of, entries, plain_words, without_id
from modelcheck.read.properties import DESCRIPTION, NAME, OBJECT_TYPE, Properties
from modelcheck.read.property_values import Entity
from modelcheck.read.recognised import Claims, Evidence, Family, Kind, Recognised
from modelcheck.read.words import named, with_equal_numbers

_ELEMENT_TYPE = 8
_BOXES = (Kind.BOX, Kind.CONDUIT_BODY)
_RACEWAY = (Kind.SEGMENT, Kind.FITTING, Kind.CAP, Kind.CABLE)
_TRAYS = ("CABLETRAYSEGMENT", "CABLELADDERSEGMENT", "CABLETRUNKINGSEGMENT")
# Classes of small things of any trade; no conduit ends at one that has no name of ours.
_LOOSE = ("IfcElementComponent", "IfcFurnishingElement", "IfcCivilElement", "IfcGeographicElement")


@dataclass(frozen=True, slots=True, kw_only=True)
class _TypeClaims:
    """What a type says of its occurrences."""

    occurrence_class: str = ""
    predefined: str = ""
    names: tuple[str, ...] = ()
    description: str = ""


class Recogniser:
    """Tells the kinds of the elements of one file; an answer once given is kept."""

    def __init__(self, file: ifcopenshell.file, properties: Properties, settings: Settings) -> None:
        self._file = file
        self._properties = properties
        self._select = settings.select
        self._answers: dict[int, Recognised] = {}
        self._alike: dict[tuple[object, ...], tuple[Claims, Recognised]] = {}
        self._types: dict[int, _TypeClaims] = {}
        self._classes: dict[str, tuple[Family, int | None]] = {}

    def kind_of(self, element: Entity) -> Recognised:
        """What `element` is, and by which evidence; a part of a box is nothing of its own."""
        whole, seen = self._properties.assembly_of(element), set[int]()
        if whole is None or element.id() in self._selected:
            return self._alone(element)
        if self._properties.is_part_of_itself(element):
            return self._alone(element)
        while whole is not None and whole.id() not in seen:
            if self._alone(whole).kind in _BOXES:
                return Recognised(kind=Kind.PART, evidence="part")
            seen.add(whole.id())
            whole = self._properties.assembly_of(whole)
        return self._alone(element)

    def says_it_is(self, what: str, element: Entity) -> bool:
        """Whether `element` is called what a table of `mapping.toml` lists: branches, short."""
        claims, _ = self._told(element)
        words = entries(what)
        return claims.predefined in words["predefined"] or any(
            named(name).term in words["noun"] for name in claims.names
        )

    def _alone(self, element: Entity) -> Recognised:
        """Kind of `element`, whatever it belongs to."""
        step_id = element.id()
        if step_id not in self._answers:
            chosen = self._selected.get(step_id)
            self._answers[step_id] = (
                self._unselected(element) if chosen is None else self._closer(element, chosen)
            )
        return self._answers[step_id]

    @cached_property
    def _selected(self) -> Mapping[int, Kind]:
        """Kinds by the settings' queries; a box stands before a fitting, that before conduit."""
        queries = (
            (Kind.SEGMENT, self._select.conduit),
            (Kind.FITTING, self._select.fitting),
            (Kind.BOX, self._select.box),
        )
        if all(query is None for _, query in queries):
            return {}
        from modelcheck.read.selection import selected  # noqa: PLC0415 - loads slowly

        return {
            element.id(): kind
            for kind, query in queries
            if query is not None
            for element in selected(self._file, query)
        }

    def _closer(self, element: Entity, kind: Kind) -> Recognised:
        """Tell a selected fitting that is a cap, a box that is a conduit body or a wireway."""
        said = self._told(element)[1].kind
        if kind == Kind.FITTING and named(element[NAME] or "").kind == "cap":
            said = Kind.CAP  # of any trade
        is_closer = (kind, said) in ((Kind.FITTING, Kind.CAP), (Kind.BOX, Kind.CONDUIT_BODY))
        return Recognised(
            kind=said if is_closer else kind,
            evidence="select",
            is_wireway=(kind, said) == (Kind.BOX, Kind.WIREWAY),
        )

    def _unselected(self, element: Entity) -> Recognised:
        found = self._built_in(element)
        replaced = {
            Kind.SEGMENT: self._select.conduit,
            Kind.FITTING: self._select.fitting,
            Kind.CAP: self._select.fitting,
            Kind.BOX: self._select.box,
            Kind.CONDUIT_BODY: self._select.box,
        }
        if replaced.get(found.kind) is None:
            return found
        is_met = element.is_a("IfcDistributionElement") or element.is_a("IfcBuildingElementProxy")
        return Recognised(kind=Kind.EQUIPMENT if is_met else Kind.OTHER, evidence="select")

    def _built_in(self, element: Entity) -> Recognised:
        if not element.is_a("IfcElement") or element.is_a("IfcFeatureElement"):
            return Recognised(kind=Kind.OTHER, evidence="class")
        claims, found = self._told(element)
        if found.evidence == "none" or found.only_if == "round":
            if self._has_conduit_set(element):
                return kind_by_rules(replace(claims, in_conduit_set=True))
        elif found.kind == Kind.OTHER and claims.family == "assembly":
            return self._by_its_parts(element) or found
        return found

    def _by_its_parts(self, assembly: Entity) -> Recognised | None:
        """Take an assembly for a box if it holds one box and nothing else that conduit meets."""
        parts = [part for part in self._properties.parts_of(assembly) if part.is_a("IfcElement")]
        if any(part.is_a("IfcElementAssembly") for part in parts):
            return None
        kinds = [self._alone(part).kind for part in parts]
        boxes = [kind for kind in kinds if kind in _BOXES]
        if len(boxes) != 1 or any(kind in (*_RACEWAY, Kind.EQUIPMENT) for kind in kinds):
            return None
        return Recognised(
            kind=boxes[0], evidence="part", reason="an assembly of one box and its plates"
        )

    def _has_conduit_set(self, element: Entity) -> bool:
        pattern = any_of(entries("sets")["conduit"])
        return any(
            pattern.search(plain_words(name)) for name in self._properties.set_names(element)
        )

    def _told(self, element: Entity) -> tuple[Claims, Recognised]:
        """What `element` says of itself, and its kind by that; worked once for all that say it."""
        of_type = self._properties.type_of(element)
        _, place = self._class_of(element)
        said = (
            element.is_a(),
            0 if of_type is None else of_type.id(),
            None if place is None else element[place],
            _bare(element[NAME]),
            _bare(element[OBJECT_TYPE]),
            element[DESCRIPTION],
        )
        if said not in self._alike:
            claims = self._claims(element)
            self._alike[said] = (claims, kind_by_rules(claims))
        return self._alike[said]

    def _claims(self, element: Entity) -> Claims:
        own_class, of_type = element.is_a(), self._type_claims(element)
        family, place = self._class_of(element)
        own = None if place is None else element[place]
        predefined = "" if own in (None, "NOTDEFINED") else str(own)
        predefined_from: Evidence = "predefined type" if predefined else "type"
        is_typed = own_class in GENERIC_CLASSES and of_type.occurrence_class not in ("", own_class)
        own_names = [_bare(element[NAME]), _bare(element[OBJECT_TYPE])]
        return Claims(
            own_class=own_class,
            ifc_class=of_type.occurrence_class if is_typed else own_class,
            class_from="type" if is_typed else "class",
            family=family,
            predefined=predefined or of_type.predefined,
            predefined_from=predefined_from,
            names=tuple(dict.fromkeys((*filter(None, own_names), *of_type.names))),
            description=element[DESCRIPTION] or of_type.description,
            among_trays=self._has_trays,
        )

    def _class_of(self, element: Entity) -> tuple[Family, int | None]:
        """Family of the class of `element`, and where its predefined type stands."""
        own_class = element.is_a()
        if own_class not in self._classes:
            self._classes[own_class] = (_family(element), _place_of_predefined(element))
        return self._classes[own_class]

    def _type_claims(self, element: Entity) -> _TypeClaims:
        of_type = self._properties.type_of(element)
        if of_type is None:
            return _TypeClaims()
        if of_type.id() not in self._types:
            self._types[of_type.id()] = _claims_of(of_type)
        return self._types[of_type.id()]

    @cached_property
    def _has_trays(self) -> bool:
        """True if some segment or type of the file is a tray, ladder or trunking."""
        is_old = self._file.schema == "IFC2X3"
        classes = ("IfcCableCarrierSegmentType", *(() if is_old else ("IfcCableCarrierSegment",)))
        return any(
            each.PredefinedType in _TRAYS for name in classes for each in self._file.by_type(name)
        )


def _bare(name: str | None) -> str:
    """A name without what tells one thing from another, so that many say the same."""
    return with_equal_numbers(without_id(name)) if name else ""


def _place_of_predefined(element: Entity) -> int | None:
    """Place of the attribute PredefinedType, or None: in IFC2X3 few occurrences have it."""
    names = [element.attribute_name(place) for place in range(len(element))]
    return names.index("PredefinedType") if "PredefinedType" in names else None


def _claims_of(of_type: Entity) -> _TypeClaims:
    predefined = getattr(of_type, "PredefinedType", None)
    names = [of_type[NAME]]
    if predefined == "USERDEFINED":
        names.append(of_type[_ELEMENT_TYPE])
    ifc_class = of_type.is_a()
    return _TypeClaims(
        occurrence_class=ifc_class.removesuffix("Type") if of_type.is_a("IfcElementType") else "",
        predefined="" if predefined in (None, "NOTDEFINED") else predefined,
        names=tuple(name for name in names if name),
        description=of_type[DESCRIPTION] or "",
    )


def _family(element: Entity) -> Family:
    if element.is_a("IfcDistributionElement"):
        return "distribution"
    if element.is_a("IfcBuildingElementProxy"):
        return "proxy"
    if element.is_a("IfcElementAssembly"):
        return "assembly"
    is_loose = element.is_a() in GENERIC_CLASSES or any(map(element.is_a, _LOOSE))
    return "loose" if is_loose else "other"
