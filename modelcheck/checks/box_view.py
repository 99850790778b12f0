"""One box as its checks see it: sizes looked up, the cover placed, pulls turned into edges."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from modelcheck.checks.marking import Marked, marking_of
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
Inside = tuple[float | None, float | None, float | None]  # size of a box [m]


@dataclass(frozen=True, kw_only=True)
class BoxView:
    """One box, the rules it is under, and every pairing that is possible in it."""

    case: BoxCase
    book: RuleBook
    settings: Settings
    entries: tuple[SeenEntry, ...]
    groups: tuple[Group, ...]
    covers: Mapping[str, Facing]  # whether the cover lies opposite each wall
    cover_note: str
    marked: Marked | None  # what its marking says of the conductors in it
    by_wall: Mapping[str, Sequence[SeenEntry]]
    turning: Sequence[Edge]  # that bend in it, or are spliced, in their order

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
        turning = _turning(groups, self.entries)
        return replace(self, settings=settings, groups=groups, turning=turning)

    def sized(self, inside_m: Inside) -> BoxView:
        """The same box so large inside, its entries where they are from the middle of a wall."""
        box = replace(self.box, inside_m=inside_m)
        covers, note = _covers(box, inside_m, self.entries)
        case = replace(self.case, enclosure=box)
        return replace(self, case=case, covers=covers, cover_note=note)

    def keeps_covers(self, inside_m: Inside) -> bool:
        """Whether the cover lies opposite the same walls if it is so large."""
        return bool(self.box.cover) or _covers(self.box, inside_m, self.entries)[0] == self.covers

    def faces_cover(self, wall: str) -> Facing:
        """Whether the removable cover lies opposite `wall`."""
        return self.covers[wall]

    def on(self, wall: str) -> Sequence[SeenEntry]:
        """Entries of one wall."""
        return self.by_wall.get(wall, ())

    def inside_m(self, wall: str) -> float | None:
        """Inside distance from `wall` to the wall opposite it."""
        return self.box.inside_m[axis_of(wall)]

    @cached_property
    def only_straight(self) -> tuple[frozenset[int], frozenset[int]]:
        """Entries with straight pulls only, by what is certain and by all that is possible."""
        certain = frozenset(pair for group in self.groups for pair in group.certain)
        possible = frozenset(pair for group in self.groups for pair in group.edges)
        return self._only_straight(certain), self._only_straight(possible)

    def _only_straight(self, pairs: Collection[Edge]) -> frozenset[int]:
        turned = {place for pair in pairs if _turns(pair, self.entries) for place in pair}
        return frozenset(place for pair in pairs for place in pair if place not in turned)

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
    covers, note = _covers(case.enclosure, case.enclosure.inside_m, entries)
    groups = groups_of(case, book, settings, entries)
    by_wall: dict[str, list[SeenEntry]] = {}
    for entry in entries:
        by_wall.setdefault(entry.wall, []).append(entry)
    return BoxView(
        case=case,
        book=book,
        settings=settings,
        entries=entries,
        groups=groups,
        covers=covers,
        cover_note=note,
        marked=marking_of(case),
        by_wall=by_wall,
        turning=_turning(groups, entries),
    )


def _turning(groups: Sequence[Group], entries: Sequence[SeenEntry]) -> list[Edge]:
    pairs = frozenset[Edge]().union(*(group.edges for group in groups))
    return sorted(pair for pair in pairs if _turns(pair, entries))


def _turns(pair: Edge, entries: Sequence[SeenEntry]) -> bool:
    first, second = pair
    return first == second or entries[second].wall != opposite(entries[first].wall)


def _covers(
    box: Enclosure, inside_m: Inside, entries: Sequence[SeenEntry]
) -> tuple[dict[str, Facing], str]:
    if box.cover:
        is_door = "door" in box.cover_from.lower()
        return (
            {wall: "yes" if opposite(wall) in box.cover else "no" for wall in WALLS},
            "the hinged door counts as a removable cover (D8)" if is_door else "",
        )
    shallowest = _shallowest_axes(inside_m)
    if shallowest and all(axis_of(entry.wall) not in shallowest for entry in entries):
        names = " or ".join("xyz"[axis] for axis in shallowest)
        return dict.fromkeys(WALLS, "no"), (
            f"no cover is told: taken to lie on the shallowest dimension, {names}"
        )
    return dict.fromkeys(WALLS, "maybe"), ""


def _shallowest_axes(inside_m: Inside) -> tuple[int, ...]:
    lengths = [length for length in inside_m if length is not None]
    if len(lengths) < len(inside_m):
        return ()
    return tuple(
        axis for axis, length in enumerate(lengths) if length <= min(lengths) + TOLERANCE_M
    )
