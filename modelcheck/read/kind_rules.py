"""Which kind an element is, from its class, predefined type and names alone.

The order: class and predefined type of the occurrence, those of its type, then names.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import replace

from modelcheck.read.recognised import Claims, Condition, Evidence, Kind, Recognised
from modelcheck.read.words import Named, box_tag, merged, named

# Classes that say nothing of the trade: the class of the type says it, else names.
GENERIC_CLASSES = frozenset(
    {
        "IfcBuildingElementProxy",
        "IfcDistributionElement",
        "IfcDistributionFlowElement",
        "IfcElectricalElement",
        "IfcEnergyConversionDevice",
        "IfcEquipmentElement",
        "IfcFlowController",
        "IfcFlowFitting",
        "IfcFlowMovingDevice",
        "IfcFlowSegment",
        "IfcFlowStorageDevice",
        "IfcFlowTerminal",
        "IfcFlowTreatmentDevice",
    }
)
_REMEDY = (
    "give it the type IfcCableCarrierSegmentType CONDUITSEGMENT, IfcCableCarrierFittingType or "
    "IfcJunctionBoxType, or name it by [select] in the settings"
)
_WORD_KINDS: Mapping[str, Kind] = {
    "segment": Kind.SEGMENT,
    "fitting": Kind.FITTING,
    "cap": Kind.CAP,
    "box": Kind.BOX,
    "manhole": Kind.BOX,
    "body": Kind.CONDUIT_BODY,
    "wireway": Kind.WIREWAY,
    "tray": Kind.NOT_CONDUIT,
    "cover": Kind.OTHER,
    "other": Kind.OTHER,
}
_UNDER_COVER = ("FORMEDDUCT", "TRENCH", "SUMP", "VALVECHAMBER")  # chambers that hold no pull point


def kind_by_rules(claims: Claims) -> Recognised:
    """Kind of an element that says `claims` of itself."""
    if claims.ifc_class == "IfcCableCarrierSegment" and claims.predefined == "CONDUITSEGMENT":
        by: Evidence = claims.predefined_from if claims.class_from == "class" else "type"
        return Recognised(kind=Kind.SEGMENT, evidence=by)  # whatever its name
    said = _said(claims)
    rule = _RULES.get(claims.ifc_class)
    if rule is not None:
        return rule(claims, said)
    if claims.family == "other":
        return _building_element(claims, said)
    if claims.family == "assembly":
        boxes = ("box", "body", "manhole")
        return _by_name(said, boxes) or Recognised(kind=Kind.OTHER, evidence="class")
    if claims.ifc_class in GENERIC_CLASSES or claims.family == "loose":
        return _generic(claims, said)
    return _by_name(said, ("box",)) or Recognised(kind=Kind.EQUIPMENT, evidence="class")


def _said(claims: Claims) -> Named:
    """What the names say together; the description only if they call it nothing."""
    said = merged([named(name) for name in claims.names])
    if said.kind or not claims.description:
        return said
    return merged([said, named(claims.description)])


def _by_name(
    said: Named, words: Collection[str] = _WORD_KINDS, *, reason: str = ""
) -> Recognised | None:
    if said.kind not in words:
        return None
    is_weak = said.kind == "manhole"  # most belong to drainage
    return Recognised(
        kind=_WORD_KINDS[said.kind],
        evidence="name",
        reason=reason,
        only_if="entered" if is_weak else "",
    )


def _carrier_segment(claims: Claims, said: Named) -> Recognised:
    by: Evidence = claims.predefined_from if claims.class_from == "class" else "type"
    if claims.predefined not in ("", "USERDEFINED"):
        return _other_carrier(claims, said, by=by)
    if said.is_tray and not said.is_conduit:
        return Recognised(kind=Kind.NOT_CONDUIT, evidence="name")
    if by_name := _by_name(said):
        return by_name
    return Recognised(
        kind=Kind.SEGMENT,
        evidence="set" if claims.in_conduit_set else claims.class_from,
        only_if="" if claims.in_conduit_set else "round",
        otherwise=Kind.NOT_CONDUIT,
        reason="no predefined type or name says which kind of cable carrier it is",
        remedy="set its predefined type to CONDUITSEGMENT",
    )


def _other_carrier(claims: Claims, said: Named, *, by: Evidence) -> Recognised:
    """Tray, ladder, trunking and the like; a wireway is told by its name."""
    if claims.predefined in ("CABLEBRACKET", "CATENARYWIRE", "DROPPER"):
        return Recognised(kind=Kind.OTHER, evidence=by)
    if said.kind == "wireway":
        return Recognised(kind=Kind.WIREWAY, evidence="name")
    if said.is_tray or not said.is_conduit:
        return Recognised(kind=Kind.NOT_CONDUIT, evidence=by)
    return Recognised(
        kind=Kind.NOT_CONDUIT,
        evidence=by,
        reason=f"its predefined type is {claims.predefined}, though its name says {said.term}",
        remedy="set its predefined type to what it is",
    )


def _carrier_fitting(claims: Claims, said: Named) -> Recognised:
    if said.is_tray and not said.is_conduit:
        return Recognised(kind=Kind.NOT_CONDUIT, evidence="name")
    if said.has_code and said.kind in ("", "segment", "fitting"):
        return Recognised(kind=Kind.CONDUIT_BODY, evidence="name")
    if said.kind not in ("segment", "fitting") and (by_name := _by_name(said)):
        return by_name
    is_sure = said.is_conduit or claims.in_conduit_set or not claims.among_trays
    return Recognised(
        kind=Kind.FITTING,
        evidence=claims.class_from,
        only_if="" if is_sure else "joined",
        otherwise=Kind.NOT_CONDUIT,
    )


def _junction_box(claims: Claims, said: Named) -> Recognised:
    if said.kind == "body" or said.has_code:
        return Recognised(kind=Kind.CONDUIT_BODY, evidence="name")
    overruled = f"a junction box by class, but its name says {said.term}"
    # taken for a pull point these would hide bends
    if by_name := _by_name(said, ("fitting", "cap"), reason=overruled):
        return by_name
    if said.kind in ("cover", "other"):
        return Recognised(
            kind=Kind.BOX,
            evidence=claims.class_from,
            reason=overruled,
            only_if="entered",
            otherwise=Kind.OTHER,
        )
    return Recognised(kind=Kind.BOX, evidence=claims.class_from)


def _cable_segment(claims: Claims, said: Named) -> Recognised:
    if claims.predefined == "BUSBARSEGMENT":
        return Recognised(kind=Kind.NOT_CONDUIT, evidence=claims.predefined_from)
    if claims.predefined not in ("", "USERDEFINED", "CABLESEGMENT", "OPTICALCABLESEGMENT"):
        return Recognised(kind=Kind.OTHER, evidence=claims.predefined_from)
    is_conduit = claims.predefined != "CABLESEGMENT" and said.is_conduit
    by_name = _by_name(said, ("segment", "fitting") if is_conduit else ())
    return by_name or Recognised(kind=Kind.CABLE, evidence=claims.class_from)


def _cable_fitting(claims: Claims, said: Named) -> Recognised:
    fitting = Recognised(kind=Kind.FITTING, evidence=claims.class_from)
    return _by_name(said, ("box", "body", "cap")) or fitting


def _chamber(claims: Claims, said: Named) -> Recognised:
    if by_name := _by_name(said, ("box", "cover")):
        return by_name
    if claims.predefined in _UNDER_COVER:
        return Recognised(kind=Kind.EQUIPMENT, evidence=claims.predefined_from)
    return Recognised(kind=Kind.BOX, evidence=claims.class_from, only_if="entered")


def _pipe(claims: Claims, said: Named) -> Recognised:
    words = ("segment", "fitting", "cap", "box", "body", "other", "cover")
    is_ours = said.is_conduit and not said.is_fluid
    reason = "a pipe by class, but its name says conduit"
    by_name = _by_name(said, words if is_ours else (), reason=reason)
    return by_name or Recognised(kind=Kind.NOT_CONDUIT, evidence=claims.class_from)


def _duct(claims: Claims, _: Named) -> Recognised:
    return Recognised(kind=Kind.NOT_CONDUIT, evidence=claims.class_from)


def _board(claims: Claims, _: Named) -> Recognised:
    return Recognised(kind=Kind.EQUIPMENT, evidence=claims.class_from)


def _generic(claims: Claims, said: Named) -> Recognised:
    """Take an element whose class says nothing by its name or its property sets."""
    is_fitting = claims.own_class == "IfcFlowFitting"
    if said.is_tray and not said.is_conduit:
        return Recognised(kind=Kind.NOT_CONDUIT, evidence="name")
    if is_fitting and said.has_code and said.kind in ("", "fitting"):
        return Recognised(kind=Kind.CONDUIT_BODY, evidence="name")
    is_ours = said.is_conduit or claims.in_conduit_set or said.kind in ("wireway", "manhole")
    if is_ours and (by_name := _by_name(said)):
        is_of = is_fitting and by_name.kind == Kind.SEGMENT
        # "EMT 53" says what a fitting is of, its class what it is
        return replace(by_name, kind=Kind.FITTING) if is_of else by_name
    if claims.own_class != "IfcFlowSegment" and any(map(box_tag, claims.names)):
        return Recognised(kind=Kind.BOX, evidence="name", only_if="entered")
    if claims.in_conduit_set:
        kind = Kind.FITTING if is_fitting else Kind.SEGMENT
        only_round: Condition = "round" if claims.own_class != "IfcFlowSegment" else ""
        return Recognised(kind=kind, evidence="set", only_if="" if is_fitting else only_round)
    return _unnamed(claims, said)


def _unnamed(claims: Claims, said: Named) -> Recognised:
    """Leave open what no word places in our trade."""
    if claims.family == "loose":
        return Recognised(kind=Kind.OTHER, evidence="none")
    if claims.own_class not in ("IfcFlowSegment", "IfcFlowFitting"):
        return Recognised(kind=Kind.EQUIPMENT, evidence="none")
    if said.is_pipe or said.is_fluid:
        return Recognised(kind=Kind.NOT_CONDUIT, evidence="name")
    reason = "neither its class, its type nor its name says whether it is conduit, pipe or duct"
    if claims.own_class == "IfcFlowSegment":
        return Recognised(kind=Kind.NOT_CONDUIT, evidence="none", reason=reason, remedy=_REMEDY)
    return Recognised(
        kind=Kind.FITTING, evidence="none", reason=reason, remedy=_REMEDY, only_if="joined"
    )


def _building_element(claims: Claims, said: Named) -> Recognised:
    if said.kind in ("box", "body") or (said.kind == "segment" and not said.is_fluid):
        return Recognised(
            kind=Kind.OTHER,
            evidence="class",
            reason=f"its name says {said.term}, but its class is {claims.own_class}",
            remedy=_REMEDY,
        )
    return Recognised(kind=Kind.OTHER, evidence="class")


_RULES: Mapping[str, Callable[[Claims, Named], Recognised]] = {
    "IfcCableCarrierSegment": _carrier_segment,
    "IfcCableCarrierFitting": _carrier_fitting,
    "IfcJunctionBox": _junction_box,
    "IfcCableSegment": _cable_segment,
    "IfcCableFitting": _cable_fitting,
    "IfcDistributionChamberElement": _chamber,
    "IfcPipeSegment": _pipe,
    "IfcPipeFitting": _pipe,
    "IfcDuctSegment": _duct,
    "IfcDuctFitting": _duct,
    "IfcConveyorSegment": _duct,
    "IfcElectricDistributionBoard": _board,
    "IfcDistributionBoard": _board,
    "IfcElectricDistributionPoint": _board,
}
