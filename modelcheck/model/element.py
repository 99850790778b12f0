"""What was read from a model: conduits, boxes and what else a conduit can meet."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

Point = tuple[float, float, float]
Vector = tuple[float, float, float]
Triangle = tuple[Point, Point, Point]

WALLS = ("-x", "+x", "-y", "+y", "-z", "+z")
_AXES = {wall: "xyz".index(wall[1]) for wall in WALLS}
RACEWAY_TYPES = ("EMT", "IMC", "RMC", "PVC40", "PVC80", "FMC", "LFMC", "LFNC", "ENT", "HDPE")


def axis_of(wall: str) -> int:
    """Number of the axis (0, 1, 2) that `wall` is square to."""
    return _AXES[wall]


def opposite(wall: str) -> str:
    """Name the wall across the box from `wall`."""
    return ("-" if wall[0] == "+" else "+") + wall[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class ElementRef:
    """Name of one element; two federated files may share a GlobalId, so the file belongs to it."""

    model: str  # as the tables show it; unique among the inputs
    guid: str  # GlobalId, or "#123" for an element without one
    name: str = ""
    ifc_class: str = ""
    tag: str = ""
    step_id: int = 0  # instance number in its file

    @property
    def key(self) -> tuple[str, int]:
        """What tells it from every other element of the project."""
        return (self.model, self.step_id)


@dataclass(frozen=True, slots=True, kw_only=True)
class RacewaySize:
    """Size and make of a raceway with what they rest on; empty where not known."""

    raceway_type: str = ""  # EMT, IMC, RMC, PVC40 … of contract.md
    trade_size_in: str = ""  # a name such as 1-1/4, never a length
    metric_designator: int | None = None
    size_from: str = ""  # property, name, type, schedule, diameter, body, settings
    outside_diameter_m: float | None = None  # of the body as drawn
    assumptions: tuple[str, ...] = ()
    conflict: str = ""  # a sentence, where two pieces of evidence contradict each other
    drawn: str = (
        ""  # outside or nominal: the diameter that its body is drawn with, where it is sure
    )
    if_drawn: tuple[tuple[str, RacewaySize], ...] = ()  # what it is if its file draws raceway so

    @property
    def known(self) -> bool:
        """True if the nominal size is known."""
        return bool(self.trade_size_in)


class Role(StrEnum):
    """What a piece of raceway is to a run."""

    SEGMENT = "segment"
    FITTING = "fitting"  # elbow, coupling, connector, tee …: its ends and bends say which
    CAP = "cap"  # closes an end


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """One open end of a piece of raceway."""

    point: Point  # where the centre line meets the end face [m]
    direction: Vector  # unit, along the centre line, out of the piece
    evidence: str = "body"  # body, axis or port
    radius_m: float | None = None  # of the mouth as drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class Bend:
    """One arc, elbow or mitre."""

    angle_deg: float  # as measured, 0 is straight on
    radius_m: float | None  # of the centre line; None where it isn't drawn (a mitre)
    at: Point  # middle of the arc, or the corner
    element: ElementRef
    evidence: str = "body"
    trade_size_in: str = ""  # of its own raceway; empty: that of the run
    arc: tuple[Point, Point] | None = None  # its two ends, either first; None: not drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class Conduit:
    """One piece of raceway: segment, fitting or cap.

    With two ends `centreline` goes from ``ends[0]`` to ``ends[1]``; `bends` are in that order.
    """

    ref: ElementRef
    role: Role
    size: RacewaySize
    ends: tuple[End, ...]
    centreline: tuple[Point, ...] = ()  # arcs as chords, for drawing only
    bends: tuple[Bend, ...] = ()
    length_m: float = 0.0  # along the true centre line, arcs as arcs
    system: str = ""
    is_cable: bool = False
    ported_to: tuple[tuple[str, int], ...] = ()  # keys of the elements its ports connect to
    bend_conflict: str = ""  # a sentence, where its bends can't be told
    damage: str = ""  # what of it can't be read, or leads nowhere: then nothing of it passes
    body: tuple[Triangle, ...] = ()  # only where its ends can't be told: what touches it tells them
    assumptions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxContents:
    """What stands in a box besides the conductors of a schedule; None: no input names it."""

    volume_cm3: float | None = None  # marked on the box or set
    standard_box: str = ""  # name of a listed box, such as 4 x 1-1/2 square
    extension_volume_cm3: float | None = None  # listed extension rings, barriers already taken off
    barrier_volume_cm3: float | None = None
    conductors: tuple[tuple[str, int], ...] = ()  # size (such as 12 AWG) and count
    grounds: tuple[tuple[str, int], ...] = ()
    clamps: int | None = None
    studs: int | None = None
    hickeys: int | None = None
    devices: tuple[tuple[str, float | None], ...] = ()  # largest conductor on it, depth [cm]
    connectors: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Enclosure:
    """A pull box, junction box or conduit body, measured inside along its own axes."""

    ref: ElementRef
    origin: Point = (0.0, 0.0, 0.0)  # middle of the inside, project coordinates [m]
    axes: tuple[Vector, Vector, Vector] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    inside_m: tuple[float | None, float | None, float | None] = (None, None, None)
    outside_low_m: Vector = (0.0, 0.0, 0.0)  # outer faces in the box's axes from `origin`
    outside_high_m: Vector = (0.0, 0.0, 0.0)
    size_from: str = ""
    size_conflict: str = ""  # a sentence, where size properties and body contradict each other
    cover: tuple[str, ...] = ()  # walls; empty: unknown
    cover_from: str = ""
    is_conduit_body: bool = False
    is_wireway: bool = False
    marked_for: str = ""  # greatest number and size of conductors it is listed and marked for
    contents: BoxContents = field(default_factory=BoxContents)
    system: str = ""
    ported_to: tuple[tuple[str, int], ...] = ()
    triangles: tuple[Triangle, ...] = ()  # only of a body that is not like a box
    has_flat_walls: bool = False  # though: hubs or flanges stand out of it, or holes are in it
    only_if_entered: bool = False  # a box only if a conduit meets it
    damage: str = ""  # as of a conduit, and of its parts
    missing_entry: str = ""  # what is connected to it but can't be read: then no row of it passes
    assumptions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Equipment:
    """Any other element that an end may meet, as the triangles of its body."""

    ref: ElementRef
    triangles: tuple[Triangle, ...] = ()
    ported_to: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class NotUnderstood:
    """An element that looked like raceway or box but could not be used."""

    ref: ElementRef
    reason: str
    remedy: str = ""
