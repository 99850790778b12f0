"""All that SETTINGS.toml and the options can set, with its defaults."""

from __future__ import annotations

from dataclasses import dataclass, field

from modelcheck.model.acceptance import Acceptance
from modelcheck.model.element import BoxContents


@dataclass(frozen=True, slots=True, kw_only=True)
class Select:
    """Selector queries; each replaces the built-in recognition."""

    conduit: str | None = None
    fitting: str | None = None
    box: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerances:
    """How far drawn things may be apart."""

    join_m: float = 0.003  # ends that are joined
    enter_m: float = 0.010  # an end from a wall's inner or outer face that it enters through
    near_m: float = 0.050  # a near pair


@dataclass(frozen=True, slots=True, kw_only=True)
class PropertyNames:
    """More names of properties, tried before the built-in ones."""

    trade_size: tuple[str, ...] = ()
    raceway_type: tuple[str, ...] = ()
    cover: tuple[str, ...] = ()
    width: tuple[str, ...] = ()
    height: tuple[str, ...] = ()
    depth: tuple[str, ...] = ()
    marked_for: tuple[str, ...] = ()
    volume: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxSettings:
    """What the settings say of one box, named by GlobalId, Tag or Name."""

    inside_m: tuple[float, float, float] | None = None
    cover: tuple[str, ...] = ()
    marked_for: str = ""
    contents: BoxContents = field(default_factory=BoxContents)


@dataclass(frozen=True, slots=True, kw_only=True)
class ConduitSettings:
    """What the settings say of one conduit, named by GlobalId, Tag or Name."""

    trade_size_in: str = ""
    raceway_type: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleSwitches:
    """Readings of the disputed points that can be switched; the defaults are those of D1 to D17."""

    row: str = "linked"  # D1: "linked", "all-aligned" (no staggered links), see checks
    spacing: str = "edge"  # D2: "edge" or "centre"
    spliced_straight: str = "both"  # D5: "both" or "angle"
    straight_in_row: str = "sum"  # D6: "sum" or "out"
    largest_straight: str = "own"  # D17: "own" or "box"
    bend_allowance_deg: float = 0.0  # for what isn't drawn, per end of a run


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Limits that no code sets."""

    run_length_m: float | None = None
    pull_point_bends_deg: float | None = None  # only where pull points are planned
    telecom_systems: tuple[str, ...] = ()  # system names held to 180 degrees and 30 m


@dataclass(frozen=True, slots=True, kw_only=True)
class Pulling:
    """How conductors are pulled, for the advice on it."""

    friction: float | None = None  # None: the figure of the table
    weights_kg_per_m: tuple[tuple[str, float], ...] = ()  # by size, or by size and insulation
    feed_n: float = 0.0  # tension where the conductors are fed in
    attachment: str = "pulling-eye"  # or basket-grip
    sidewall_n_per_m: float | None = None  # None: the figure of the table


@dataclass(frozen=True, slots=True, kw_only=True)
class Amendment:
    """A local change to a row of the rules."""

    check: str
    code: str
    value: float
    clause: str
    source: str
    adopted_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """What the command line says; None where it says nothing."""

    code: str | None = None
    edition: str | None = None
    basis: str | None = None
    units: str | None = None
    strict: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Everything that can be set."""

    code: str = "cec"
    edition: str = "2024"
    basis: str = "metric"  # metric or inch
    units: str = "mm"  # of the results: mm or in
    strict: bool = False
    select: Select = field(default_factory=Select)
    tolerances: Tolerances = field(default_factory=Tolerances)
    properties: PropertyNames = field(default_factory=PropertyNames)
    boxes: tuple[tuple[str, BoxSettings], ...] = ()
    conduits: tuple[tuple[str, ConduitSettings], ...] = ()
    meant_ends: tuple[str, ...] = ()  # GlobalIds, Tags or Names whose open ends are meant
    exclude_systems: tuple[str, ...] = ()
    rules: RuleSwitches = field(default_factory=RuleSwitches)
    limits: Limits = field(default_factory=Limits)
    pulling: Pulling | None = None  # None: no advice is asked for
    makeup_m: float = 0.0  # of a conductor at each end of its pull
    amendments: tuple[Amendment, ...] = ()
    boxes_at_hand_m: tuple[tuple[float, float, float], ...] = ()  # two sides, depth; inside
    accepted: tuple[Acceptance, ...] = ()
