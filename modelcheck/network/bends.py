"""Bends of a chain: those of its pieces, and those at joints; and whether the two agree."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import dist

from modelcheck.geometry.vectors import (
    angle_deg,
    corner,
    dot,
    middle,
    minus,
    moved,
    off_line_m,
    reversed_of,
)
from modelcheck.model.element import Bend, Conduit, Point, Role
from modelcheck.network.chains import Chain, Link
from modelcheck.network.paths import NO_BEND_DEG, bends_of, turn_deg

_AGREE_DEG = 1.0
_KINK_DEG = 2.0  # at an elbow whose angle agrees: turned about the run, or set askew
_FULL_TURN_DEG = 360.0
_SLACK_M = 0.05  # off the line, of a piece whose radius isn't known


@dataclass(frozen=True, slots=True)
class Joint:
    """Place where a chain goes from one piece to the next."""

    before: Link
    after: Link

    @property
    def turn_deg(self) -> float:
        """Angle between the directions before and after."""
        after = reversed_of(self.after.entry_end.direction)
        return angle_deg(self.before.exit_end.direction, after)

    @property
    def is_elbows(self) -> bool:
        """True if a bent fitting is at it, whose angle is told by its neighbours."""
        return any(_is_elbow(link) for link in (self.before, self.after))

    @property
    def is_mitre(self) -> bool:
        """True if the two meet at an angle without an elbow."""
        roles = [link.piece.conduit.role for link in (self.before, self.after)]
        least_deg = NO_BEND_DEG if set(roles) == {Role.SEGMENT} else _AGREE_DEG
        return Role.CAP not in roles and not self.is_elbows and self.turn_deg > least_deg

    @property
    def step_m(self) -> float:
        """What the joint adds to the length: a gap, less than nothing where they overlap."""
        one, two = self.before.exit_end, self.after.entry_end
        into = reversed_of(two.direction)
        along = corner(one.point, one.direction, two.point, into) if self.is_mitre else None
        if along is not None:
            return along[0] - along[1]
        return dot(minus(two.point, one.point), one.direction)

    @property
    def corner(self) -> Point:
        """Where the two centre lines meet."""
        one, two = self.before.exit_end, self.after.entry_end
        into = reversed_of(two.direction)
        along = corner(one.point, one.direction, two.point, into)
        if along is None:
            return middle((one.point, two.point))
        return middle((moved(one.point, one.direction, along[0]), moved(two.point, into, along[1])))

    @property
    def bend(self) -> Bend:
        """The mitre as a bend; its element is the same whichever way one goes."""
        refs = [link.piece.conduit.ref for link in (self.before, self.after)]
        element = min(refs, key=lambda ref: (ref.guid, ref.key))
        return Bend(
            angle_deg=self.turn_deg,
            radius_m=None,
            at=self.corner,
            element=element,
            evidence="neighbours",
        )


def joints_of(chain: Chain) -> list[Joint]:
    """Every joint in order; of a ring the closing one too."""
    links = (*chain.links, chain.links[0]) if chain.is_ring else chain.links
    return [Joint(before, after) for before, after in pairwise(links)]


def bends_along(chain: Chain) -> tuple[Bend, ...]:
    """Every bend of a chain in order."""
    joints = joints_of(chain)
    found: list[Bend] = []
    for number, link in enumerate(chain.links):
        found += link.bends
        if number < len(joints) and joints[number].is_mitre:
            found.append(joints[number].bend)
    return tuple(found)


def bend_conflicts(chain: Chain) -> tuple[str, ...]:
    """Tell each elbow whose body says another angle than its neighbours."""
    joints = joints_of(chain)
    told = [_unread(link) or _drawn_otherwise(link) for link in chain.links]
    if chain.is_ring:
        around = list(zip([joints[-1], *joints[:-1]], joints, strict=True))
        elbows = [(into, out) for into, out in around if _is_elbow(out.before)]
    else:
        elbows = [(into, out) for into, out in pairwise(joints) if _is_elbow(out.before)]
    told += [_told_otherwise(into, out) for into, out in elbows]
    if not any(told):
        told = [_kinked(joint) for joint in joints if joint.is_elbows]
    return tuple(dict.fromkeys(text for text in told if text))


def _is_elbow(link: Link) -> bool:
    conduit = link.piece.conduit
    return conduit.role is Role.FITTING and bool(bends_of(conduit))


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
    if not is_long_body and (is_drawn or len(conduit.ends) == 1 or _leads_there(conduit)):
        return ""
    return f"the course of {_name(link)} between its ends isn't known, nor are its bends"


def _leads_there(conduit: Conduit) -> bool:
    """Whether a straight line, or one bend of a fitting, leads from end to end."""
    one, two = conduit.ends
    slack_m = max(end.radius_m or _SLACK_M for end in conduit.ends)
    if not bends_of(conduit):
        return off_line_m(two.point, one.point, one.direction) < slack_m
    along = corner(one.point, one.direction, two.point, two.direction)
    if conduit.role is not Role.FITTING or along is None:
        return conduit.role is Role.FITTING
    at = [moved(e.point, e.direction, a) for e, a in zip(conduit.ends, along, strict=True)]
    return max(along) < slack_m and dist(*at) < slack_m


def _drawn_otherwise(link: Link) -> str:
    """Tell if the arc of a piece with one bend is not the angle between its two ends."""
    own = bends_of(link.piece.conduit)
    if len(own) != 1 or link.piece.stops != (None, None) or len(link.piece.conduit.ends) == 1:
        return ""
    by_ends = turn_deg(link.piece.conduit.ends)
    if abs(_net_deg(own) - by_ends) <= _AGREE_DEG:
        return ""
    return f"the arc of {_name(link)} turns {own[0].angle_deg:.1f} degrees, its ends {by_ends:.1f}"


def _told_otherwise(into: Joint, out: Joint) -> str:
    link = out.before
    own = bends_of(link.piece.conduit)
    drawn = _net_deg(own) if len(own) == 1 else turn_deg(link.piece.conduit.ends)
    told = angle_deg(into.before.exit_end.direction, reversed_of(out.after.entry_end.direction))
    if abs(drawn - told) <= _AGREE_DEG:
        return ""
    return f"the body of {_name(link)} turns {drawn:.1f} degrees, its neighbours {told:.1f}"


def _kinked(joint: Joint) -> str:
    if joint.turn_deg <= _KINK_DEG:
        return ""
    names = sorted((_name(joint.before), _name(joint.after)))
    return f"{names[0]} and {names[1]} meet at a kink of {joint.turn_deg:.1f} degrees"
