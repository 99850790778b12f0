"""Whether the bends that the pieces of a chain show agree with those that their neighbours tell."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import dist

from modelcheck.geometry.vectors import angle_deg, corner, moved, off_line_m, reversed_of
from modelcheck.model.element import Bend, Role
from modelcheck.network.chains import AGREE_DEG, Chain, Joint, Link
from modelcheck.network.paths import turn_deg
from modelcheck.network.pieces import Piece

_KINK_DEG = 2.0  # at an elbow whose angle agrees: turned about the run, or set askew
_FULL_TURN_DEG = 360.0
_SLACK_M = 0.05  # off the line, of a piece whose radius isn't known


def bend_conflicts(chain: Chain) -> tuple[str, ...]:
    """Tell each elbow whose body says another angle than its neighbours."""
    joints = chain.joints
    told = [_unread(link) or _drawn_otherwise(link) for link in chain.links]
    if chain.is_ring:
        around = list(zip([joints[-1], *joints[:-1]], joints, strict=True))
        elbows = [(into, out) for into, out in around if out.before.piece.is_elbow]
    else:
        elbows = [(into, out) for into, out in pairwise(joints) if out.before.piece.is_elbow]
    told += [_told_otherwise(into, out) for into, out in elbows]
    if not any(told):
        told = [_kinked(joint) for joint in joints if joint.is_elbows]
    return tuple(dict.fromkeys(text for text in told if text))


def _name(link: Link) -> str:
    ref = link.piece.conduit.ref
    return ref.name or ref.guid


def _net_deg(bends: Sequence[Bend]) -> float:
    """Angle between the two directions of one bend."""
    turned = bends[0].angle_deg % _FULL_TURN_DEG
    return min(turned, _FULL_TURN_DEG - turned)


def _unread(link: Link) -> str:
    """Tell of a piece that must bend between its ends, but shows no bend that leads there."""
    conduit = link.piece.conduit
    is_drawn = any(bend.evidence != "neighbours" for bend in conduit.bends)
    is_long_body = bool(conduit.body) and conduit.role is Role.SEGMENT
    if not is_long_body and (is_drawn or len(conduit.ends) == 1 or _leads_there(link.piece)):
        return ""
    return f"the course of {_name(link)} between its ends isn't known, nor are its bends"


def _leads_there(piece: Piece) -> bool:
    """Whether a straight line, or one bend of a fitting, leads from end to end of a conduit."""
    conduit = piece.conduit
    one, two = conduit.ends
    slack_m = max(one.radius_m or _SLACK_M, two.radius_m or _SLACK_M)
    if not piece.bends_of_all:
        return off_line_m(two.point, one.point, one.direction) < slack_m
    along = corner(one.point, one.direction, two.point, two.direction)
    if conduit.role is not Role.FITTING or along is None:
        return conduit.role is Role.FITTING
    at = [moved(e.point, e.direction, a) for e, a in zip(conduit.ends, along, strict=True)]
    return max(along) < slack_m and dist(*at) < slack_m


def _drawn_otherwise(link: Link) -> str:
    """Tell if the arc of a piece with one bend is not the angle between its two ends."""
    own = link.piece.bends_of_all
    if len(own) != 1 or link.piece.stops != (None, None) or len(link.piece.conduit.ends) == 1:
        return ""
    by_ends = turn_deg(link.piece.conduit.ends)
    if abs(_net_deg(own) - by_ends) <= AGREE_DEG:
        return ""
    return f"the arc of {_name(link)} turns {own[0].angle_deg:.1f} degrees, its ends {by_ends:.1f}"


def _told_otherwise(into: Joint, out: Joint) -> str:
    link = out.before
    own = link.piece.bends_of_all
    drawn = _net_deg(own) if len(own) == 1 else turn_deg(link.piece.conduit.ends)
    told = angle_deg(into.before.exit_end.direction, reversed_of(out.after.entry_end.direction))
    if abs(drawn - told) <= AGREE_DEG:
        return ""
    return f"the body of {_name(link)} turns {drawn:.1f} degrees, its neighbours {told:.1f}"


def _kinked(joint: Joint) -> str:
    if joint.turn_deg <= _KINK_DEG:
        return ""
    names = sorted((_name(joint.before), _name(joint.after)))
    return f"{names[0]} and {names[1]} meet at a kink of {joint.turn_deg:.1f} degrees"
