"""One box as its checks see it: sizes looked up, the cover placed, pulls turned into edges."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import Literal

from modelcheck.checks.pairing import Edge, Group
from modelcheck.checks.pulls import Weight, conductors_in_box, groups_of
from modelcheck.checks.seen_entry import SeenEntry, seen_entries
from modelcheck.model.element import WALLS, ElementRef, Enclosure, axis_of, opposite
from modelcheck.model.pull import BoxCase
from modelcheck.model.settings import RuleSwitches, Settings
from modelcheck.rules.catalogue import RuleBook
from modelcheck.rules.requirement import MEASURING_TOLERANCE_MM
from modelcheck.units import Unit, to_metres

_FLOAT_NOISE_M = 1e-9
TOLERANCE_M = to_metres(MEASURING_TOLERANCE_MM, "mm") + _FLOAT_NOISE_M

Facing = Literal["yes", "no", "maybe"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxView:
    """One box, the rules it is under, and every pairing that is possible in it."""

    case: BoxCase
    book: RuleBook
    settings: Settings
    entries: tuple[SeenEntry, ...]
    groups: tuple[Group, ...]
    covers: tuple[tuple[str, Facing], ...]  # whether the cover lies opposite each wall
    cover_note: str

    @property
    def box(self) -> Enclosure:
        """The box itself."""
        return self.case.enclosure

    @property
    def unit(self) -> Unit:
        """Unit that the multipliers work in."""
        return basis_unit(self.settings.basis)

    @property
    def units(self) -> Unit:
        """Unit of the results."""
        return "in" if self.settings.units == "in" else "mm"

    @property
    def tolerance_m(self) -> float:
        """How far a measured distance may fall short."""
        return TOLERANCE_M

    @property
    def contents_weight(self) -> Weight:
        """How the conductors that properties or settings name compare with 4 AWG."""
        return conductors_in_box(self.box.contents, self.book)

    def leaves_out(self, system: str) -> bool:
        """Whether the settings leave this system out."""
        return bool(system) and system in self.settings.exclude_systems

    @property
    def switches(self) -> RuleSwitches:
        """Readings of the disputed points."""
        return self.settings.rules

    def under(self, rules: RuleSwitches) -> BoxView:
        """The same box under other readings."""
        settings = replace(self.settings, rules=rules)
        groups = groups_of(self.case, self.book, settings, self.entries)
        return replace(self, settings=settings, groups=groups)

    def faces_cover(self, wall: str) -> Facing:
        """Whether the removable cover lies opposite `wall`."""
        return dict(self.covers)[wall]

    def on(self, wall: str) -> tuple[SeenEntry, ...]:
        """Entries of one wall."""
        return tuple(entry for entry in self.entries if entry.wall == wall)

    def inside_m(self, wall: str) -> float | None:
        """Inside distance from `wall` to the wall opposite it."""
        return self.box.inside_m[axis_of(wall)]

    def is_straight(self, pair: Edge) -> bool:
        """Whether the two entries stand in opposite walls."""
        first, second = (self.entries[place].wall for place in pair)
        return second == opposite(first)

    def conduits(self, places: Collection[int]) -> tuple[ElementRef, ...]:
        """Conduits of some entries, each once, by GlobalId."""
        conduits = {self.entries[place].entry.conduit for place in places}
        return tuple(sorted(conduits, key=lambda ref: (ref.guid, ref.key)))

    def labels(self, places: Collection[int]) -> str:
        """Names of entries, for a message."""
        return " and ".join(self.entries[place].label for place in sorted(places))


def basis_unit(basis: str) -> Unit:
    """Unit of the names that a basis works on."""
    return "in" if basis == "inch" else "mm"


def see_box(case: BoxCase, book: RuleBook, settings: Settings) -> BoxView:
    """Look at one box under the rules of `settings`."""
    entries = seen_entries(case, book)
    covers, note = _covers(case)
    return BoxView(
        case=case,
        book=book,
        settings=settings,
        entries=entries,
        groups=groups_of(case, book, settings, entries),
        covers=covers,
        cover_note=note,
    )


def _covers(case: BoxCase) -> tuple[tuple[tuple[str, Facing], ...], str]:
    box = case.enclosure
    if box.cover:
        facing: dict[str, Facing] = {
            wall: "yes" if opposite(wall) in box.cover else "no" for wall in WALLS
        }
        is_door = "door" in box.cover_from.lower()
        return tuple(facing.items()), (
            "the hinged door counts as a removable cover (D8)" if is_door else ""
        )
    shallowest = _shallowest_axes(box)
    if shallowest and all(axis_of(entry.wall) not in shallowest for entry in case.entries):
        names = " or ".join("xyz"[axis] for axis in shallowest)
        return tuple((wall, "no") for wall in WALLS), (
            f"no cover is told: taken to lie on the shallowest dimension, {names}"
        )
    return tuple((wall, "maybe") for wall in WALLS), ""


def _shallowest_axes(box: Enclosure) -> tuple[int, ...]:
    lengths = [length for length in box.inside_m if length is not None]
    if len(lengths) < len(box.inside_m):
        return ()
    return tuple(
        axis for axis, length in enumerate(lengths) if length <= min(lengths) + TOLERANCE_M
    )
