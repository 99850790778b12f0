"""What an element says of itself, and what it was taken for."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal


class Kind(StrEnum):
    """What an element is to a conduit system."""

    SEGMENT = "segment"
    FITTING = "fitting"
    CAP = "cap"
    BOX = "box"
    CONDUIT_BODY = "conduit-body"
    WIREWAY = "wireway"  # a box only if the settings select it
    CABLE = "cable"
    EQUIPMENT = "equipment"  # any other distribution element or proxy
    PART = "part"  # of a box in parts
    NOT_CONDUIT = "not-conduit"  # tray, trunking, ladder, pipe, duct: an end may meet it
    OTHER = "other"  # walls, slabs, openings, covers, supports: nothing meets it


Evidence = Literal["select", "part", "class", "predefined type", "type", "name", "set", "none"]
Condition = Literal["", "round", "entered", "joined"]
Family = Literal["distribution", "proxy", "assembly", "loose", "other"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Recognised:
    """What an element was taken for.

    `only_if` leaves the last word to its shape or its neighbours: a ``round`` body, being
    ``entered`` by a conduit, being ``joined`` to one. Where that doesn't hold it is `otherwise`.
    """

    kind: Kind
    evidence: Evidence
    reason: str = ""  # a sentence, where something was overruled or could not be told
    remedy: str = ""
    only_if: Condition = ""
    otherwise: Kind = Kind.EQUIPMENT
    is_wireway: bool = False  # of a box that the settings select


@dataclass(frozen=True, slots=True, kw_only=True)
class Claims:
    """What an element says of itself."""

    own_class: str
    ifc_class: str  # its type's, where its own says nothing of the trade
    class_from: Evidence = "class"  # or "type"
    family: Family = "distribution"
    predefined: str = ""  # empty if not given or NOTDEFINED
    predefined_from: Evidence = "predefined type"  # or "type"
    names: tuple[str, ...] = ()  # of the occurrence, of its type
    description: str = ""
    in_conduit_set: bool = False  # it has a property set of raceway
    among_trays: bool = False  # its file has cable trays
