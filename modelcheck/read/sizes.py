"""Trade size and type of a raceway, with what they rest on.

The order of the evidence: settings, size property, name of the occurrence, name of the type, name
of the profile, outside diameter as a property or as drawn. What contradicts is said, never dropped.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from modelcheck.model.element import RacewaySize
from modelcheck.model.settings import ConduitSettings, Settings
from modelcheck.read.mapping import ranked, without_id
from modelcheck.read.properties import NAME, OBJECT_TYPE, Properties, setting_of
from modelcheck.read.property_values import Entity, PropertyValue
from modelcheck.read.raceway_types import raceway_types_in
from modelcheck.read.recognised import Kind
from modelcheck.read.size_lengths import (
    CALLED,
    FITTING_WIDEST,
    SEGMENT_WIDEST,
    Alternatives,
    both_drawn,
    could_be_drawn,
    size_drawn,
    sizes_drawn,
    sizes_of_length,
    sizes_of_number,
)
from modelcheck.read.size_texts import each_once, sizes_in_name, sizes_in_value
from modelcheck.rules.raceways import Designation, by_trade_size
from modelcheck.units import from_metres, to_metres

_SETTINGS = "the settings"
_NOTHING_SET = ConduitSettings()


@dataclass(frozen=True, slots=True)
class _Name:
    """What a text that may name a size says."""

    types: tuple[str, ...]  # of raceway
    sizes: tuple[Alternatives, ...]
    said_by: str
    size_from: str  # what `size_from` is then


@dataclass(frozen=True, slots=True, kw_only=True)
class _Evidence:
    """All that size and type of one piece hang on."""

    setting: ConduitSettings
    kind: Kind
    names: tuple[_Name, ...]
    type_values: tuple[PropertyValue, ...]
    size_values: tuple[PropertyValue, ...]
    diameter_values: tuple[PropertyValue, ...]
    materials: tuple[str, ...]
    drawn_diameter_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Claim:
    """What one piece of evidence says of the size; several sizes are those of a reducer."""

    said_by: str
    size_from: str
    sizes: tuple[Alternatives, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Decision:
    size: Designation | None
    size_from: str = ""
    said_by: str = ""
    notes: tuple[str, ...] = ()
    is_as_drawn: bool = False  # by nothing but the diameter of the body; its last note says so


class RacewaySizes:
    """Reads the sizes of the raceways of one file."""

    def __init__(self, properties: Properties, settings: Settings) -> None:
        self._properties = properties
        self._set = dict(settings.conduits)
        self._trade_size = ranked("trade_size", settings.properties.trade_size)
        self._raceway_type = ranked("raceway_type", settings.properties.raceway_type)
        self._outside_diameter = ranked("outside_diameter")
        self._known: dict[_Evidence, RacewaySize] = {}
        self._found: dict[RacewaySize, RacewaySize] = {}  # equal ones are one

    def of(
        self,
        element: Entity,
        *,
        kind: Kind,
        drawn_diameter_m: float | None,
        profile_name: str = "",
    ) -> RacewaySize:
        """Size and type of one piece of raceway.

        Parameters
        ----------
        element : entity
        kind : Kind
            A fitting may have two sizes, a segment may not.
        drawn_diameter_m : float or None
            Outside diameter of the body; None where it isn't round or has none. [m]
        profile_name : str
            Name of the profile that the body is made of.
        """
        evidence = _Evidence(
            setting=setting_of(element, self._set) or _NOTHING_SET,
            kind=kind,
            names=self._names(element, profile_name),
            type_values=tuple(self._properties.find(element, self._raceway_type)),
            size_values=tuple(self._properties.find(element, self._trade_size)),
            diameter_values=tuple(self._properties.find(element, self._outside_diameter)),
            materials=self._properties.materials_of(element),
            drawn_diameter_m=drawn_diameter_m,
        )
        known = self._known.get(evidence)
        if known is None:
            found = self._size_by(evidence)
            known = self._known[evidence] = self._found.setdefault(found, found)
        return known

    def _names(self, element: Entity, profile_name: str) -> tuple[_Name, ...]:
        """What the texts say that may name a size; nothing of one that is empty."""
        of_type = self._properties.type_of(element)
        named = (
            (without_id(element[NAME] or ""), "the name", "name"),
            (without_id(element[OBJECT_TYPE] or ""), "the object type", "type"),
            ("" if of_type is None else of_type[NAME] or "", "the type's name", "type"),
            (profile_name, "the profile's name", "name"),
        )
        return tuple(
            [
                _Name(raceway_types_in(text), sizes_in_name(text), said_by, size_from)
                for text, said_by, size_from in named
                if text
            ]
        )

    def _size_by(self, evidence: _Evidence) -> RacewaySize:
        raceway_type, type_notes = _type_by(evidence)
        decision = self._decided(evidence, raceway_type)
        if decision.size is None:
            decision = self._by_diameter(evidence, raceway_type, decision.notes)
        found = RacewaySize(
            raceway_type=raceway_type,
            size_from=decision.size_from,
            outside_diameter_m=evidence.drawn_diameter_m,
            assumptions=(*type_notes, *decision.notes),
            conflict=_conflict(decision, evidence, raceway_type),
        )
        return _drawn(_of_size(found, decision.size), decision, evidence)

    def _decided(self, evidence: _Evidence, raceway_type: str) -> _Decision:
        """What the settings, else the properties and names come to."""
        if evidence.setting.trade_size_in:
            size = by_trade_size(evidence.setting.trade_size_in)
            return _Decision(size=size, size_from="settings", said_by=_SETTINGS)
        read = [(value, self._sizes_in(value, raceway_type)) for value in evidence.size_values]
        claims = [
            *(
                _Claim(said_by=value.label, size_from="property", sizes=sizes)
                for value, sizes in read
                if sizes
            ),
            *(
                _Claim(said_by=each.said_by, size_from=each.size_from, sizes=each.sizes)
                for each in evidence.names
                if each.sizes
            ),
        ]
        decision = _weighed(claims, may_reduce=evidence.kind != Kind.SEGMENT)
        if decision.size is not None:
            return decision
        unread = (
            f"{value.label} says {_shown(value)}, which names no size"
            for value, sizes in read
            if not sizes
        )
        return replace(decision, notes=(*decision.notes, *unread))

    def _sizes_in(self, value: PropertyValue, raceway_type: str) -> tuple[Alternatives, ...]:
        """Sizes that a property says, several of a list; those without meaning left out."""
        if value.kind == "text":
            return each_once(size for text in value.texts for size in sizes_in_value(text))
        if value.kind == "length":
            lengths = value.numbers
            return each_once(sizes_of_length(each, raceway_type=raceway_type) for each in lengths)
        unit_m = self._properties.length_unit_m
        numbers = value.numbers if value.kind == "number" else ()
        return each_once(
            sizes_of_number(each, unit_m=unit_m, raceway_type=raceway_type) for each in numbers
        )

    def _by_diameter(
        self, evidence: _Evidence, raceway_type: str, notes: tuple[str, ...]
    ) -> _Decision:
        """Size by the outside diameter that a property says, else by the drawn one."""
        for value in evidence.diameter_values:
            for diameter_m in self._diameters_m(value):
                size, _ = size_drawn(diameter_m, raceway_type=raceway_type)
                if size is not None:
                    told = f"size taken from {value.label}, {from_metres(diameter_m, 'mm'):.1f} mm"
                    return _Decision(
                        size=size, size_from="diameter", said_by=value.label, notes=(*notes, told)
                    )
        if evidence.drawn_diameter_m is None:
            return _Decision(size=None, notes=notes)
        size, told = size_drawn(evidence.drawn_diameter_m, raceway_type=raceway_type)
        size_from = "diameter" if size else ""
        return _Decision(size=size, size_from=size_from, notes=(*notes, told), is_as_drawn=True)

    def _diameters_m(self, value: PropertyValue) -> Iterable[float]:
        """Lengths that a property of a diameter may mean; a plain number in any likely unit."""
        if value.kind == "length":
            return value.numbers
        if value.kind != "number":
            return ()
        units_m = (self._properties.length_unit_m, to_metres(1, "mm"), to_metres(1, "in"))
        return (each * unit_m for each in value.numbers for unit_m in units_m)


def _of_size(found: RacewaySize, size: Designation | None) -> RacewaySize:
    if size is None:
        return found
    designator = size.metric_designator
    return replace(found, trade_size_in=size.trade_size_in, metric_designator=designator)


def _drawn(found: RacewaySize, decision: _Decision, evidence: _Evidence) -> RacewaySize:
    """`found` with how its body is drawn, or what it is as its file draws others."""
    if evidence.drawn_diameter_m is None:
        return found
    sizes = sizes_drawn(evidence.drawn_diameter_m, raceway_type=found.raceway_type)
    if decision.is_as_drawn and len(set(sizes.values())) > 1:
        return replace(found, if_drawn=tuple(_if_drawn(found, sizes, evidence.drawn_diameter_m)))
    ways = [drawn for drawn, size in sizes.items() if size == decision.size]
    return replace(found, drawn=ways[0]) if len(ways) == 1 else found


def _if_drawn(
    found: RacewaySize, sizes: Mapping[str, Designation], diameter_m: float
) -> Iterator[tuple[str, RacewaySize]]:
    told = both_drawn(diameter_m, sizes)
    for drawn, size in sizes.items():
        taken = f"{told}; taken for the {CALLED[drawn]}, as the file draws other raceway"
        notes = (*found.assumptions[:-1], taken)
        of_size = _of_size(found, size)
        yield drawn, replace(of_size, size_from="diameter", assumptions=notes)


def _type_by(evidence: _Evidence) -> tuple[str, tuple[str, ...]]:
    """Raceway type, and the words where two pieces of evidence differ."""
    if evidence.setting.raceway_type:
        return evidence.setting.raceway_type, ()
    best, best_from = "", ""
    for types, said_by in _types_said(evidence):
        if len(types) == 1 and not best:
            best, best_from = types[0], said_by
        elif best and types and best not in types:
            return best, (
                f"raceway type: {best_from} says {best}, {said_by} says {types[0]}; "
                "the first stands",
            )
    return best, ()


def _types_said(evidence: _Evidence) -> Iterator[tuple[tuple[str, ...], str]]:
    for value in evidence.type_values:
        for text in value.texts:
            yield raceway_types_in(text), value.label
    for each in evidence.names:
        yield each.types, each.said_by
    for material in evidence.materials:
        yield raceway_types_in(material), "the material"


def _weighed(claims: list[_Claim], *, may_reduce: bool) -> _Decision:
    """Size of the first claim that can be told, with what speaks against it."""
    notes: list[str] = []
    for place, claim in enumerate(claims):
        sizes = [alternatives[0] for alternatives in claim.sizes]
        told = " and ".join(size.label("in") for size in sizes)
        if len(sizes) > 1 and not may_reduce:
            notes.append(f"{claim.said_by} tells several sizes, {told}, and none was taken")
            continue
        size = max(sizes, key=lambda each: each.inches)
        if len(sizes) > 1:
            notes.append(f"{claim.said_by} tells {told}: the larger was taken")
        notes += _other_readings(claim, size)
        notes += [note for other in claims[place + 1 :] if (note := _against(claim, size, other))]
        return _Decision(
            size=size, size_from=claim.size_from, said_by=claim.said_by, notes=tuple(notes)
        )
    return _Decision(size=None, notes=tuple(notes))


def _other_readings(claim: _Claim, size: Designation) -> list[str]:
    others = [each for alternatives in claim.sizes if size in alternatives for each in alternatives]
    return [
        f"{claim.said_by} was read as nominal size {size.label('in')}; as an outside diameter it "
        f"is that of {other.label('in')}"
        for other in others
        if other != size
    ]


def _against(claim: _Claim, size: Designation, other: _Claim) -> str:
    """Say that `other` tells another size; empty if it may mean the same."""
    if any(size in alternatives for alternatives in other.sizes):
        return ""
    told = " and ".join(alternatives[0].label("in") for alternatives in other.sizes)
    return (
        f"size: {claim.said_by} says {size.label('in')}, {other.said_by} says {told}; "
        "the first stands"
    )


def _conflict(decision: _Decision, evidence: _Evidence, raceway_type: str) -> str:
    """Say that a size which the model tells can't be that of the drawn body."""
    size, drawn_m = decision.size, evidence.drawn_diameter_m
    if size is None or drawn_m is None or decision.said_by in ("", _SETTINGS):
        return ""
    widest = SEGMENT_WIDEST if evidence.kind == Kind.SEGMENT else FITTING_WIDEST
    if could_be_drawn(drawn_m, size, widest=widest):
        return ""
    drawn, _ = size_drawn(drawn_m, raceway_type=raceway_type)
    of_size = f", that of {drawn.label('in')}" if drawn else ""
    return (
        f"{decision.said_by} says {size.label('in')}, but the body is drawn "
        f"{from_metres(drawn_m, 'mm'):.1f} mm in diameter{of_size}"
    )


def _shown(value: PropertyValue) -> str:
    if value.kind == "length":
        return " and ".join(f"{from_metres(each, 'mm'):.1f} mm" for each in value.numbers)
    return " and ".join(
        f"{each:g}" if isinstance(each, float) else str(each) for each in value.values
    )
