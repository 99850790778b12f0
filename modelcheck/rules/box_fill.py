"""Volume of a box for the conductors smaller than 4 AWG."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor
from typing import Literal

from modelcheck.rules.conductors import ConductorSize, conductor_size, largest
from modelcheck.rules.tables import CodedRow, read_table
from modelcheck.units import VolumeUnit

AllowanceOf = Literal["itself", "largest conductor", "largest on the device", "largest ground"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FillCount(CodedRow):
    """How many allowances some items of one kind take."""

    item: str  # conductor, clamp, stud, hickey, stud or hickey, device, ground, connector
    first: float  # allowances as soon as there is one
    covers: int  # how many items the first allowance covers
    per: int  # further items count in whole groups of so many
    each: float  # allowances of each such group
    allowance_of: AllowanceOf

    def allowances(self, count: int) -> float:
        """Allowances of `count` items together."""
        if count == 0:
            return 0.0
        return self.first + floor(max(0, count - self.covers) / self.per) * self.each

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"allowances of a {self.item}"


@dataclass(frozen=True, slots=True, kw_only=True)
class FillAllowance(CodedRow):
    """Volume of one allowance."""

    size: str
    volume: float  # [unit]
    unit: VolumeUnit

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"{self.size}: {self.volume:g} {self.unit}"


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedBox(CodedRow):
    """A box that a table lists with its volume."""

    kinds: str  # names of its shape, between slashes
    size: str
    volume: float  # [unit]
    unit: VolumeUnit
    count_14: int | None  # most conductors of one size, where the table prints it
    count_12: int | None
    count_10: int | None
    count_8: int | None
    count_6: int | None

    @property
    def name(self) -> str:
        """As settings and properties name it."""
        return f"{self.size} {self.kinds.split('/')[0]}"

    def count_of(self, size: str) -> int | None:
        """Most conductors of `size` alone, or None where the table doesn't print it."""
        counts = {
            "14 AWG": self.count_14,
            "12 AWG": self.count_12,
            "10 AWG": self.count_10,
            "8 AWG": self.count_8,
            "6 AWG": self.count_6,
        }
        return counts.get(size)

    @property
    def figure(self) -> str:
        """What the row says, in a few words."""
        return f"{self.name}: {self.volume:g} {self.unit}"


@dataclass(frozen=True, slots=True, kw_only=True)
class FillItem:
    """Some items of one kind in a box, and the size whose allowance they take."""

    item: str
    count: int
    size: str  # empty where the largest conductor of the box decides
    depth_cm: float | None = None  # of a device, behind its strap


@dataclass(frozen=True, slots=True, kw_only=True)
class FillTerm:
    """One term of the sum: allowances of one size, or a device by its depth."""

    what: str
    number: float
    size: str
    volume: float  # of one [unit of the rules]
    rows: tuple[CodedRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FillRules:
    """What one edition of one code says about the volume of a box."""

    counts: Mapping[str, FillCount]
    allowances: Mapping[str, FillAllowance]
    listed_boxes: Sequence[ListedBox]
    deep_device_cm: float | None  # a device deeper than this goes by its depth [cm]
    deep_device_volume: float | None  # for each centimetre of depth [unit/cm]
    deep_device_row: CodedRow | None

    @property
    def unit(self) -> VolumeUnit:
        """Unit that this code works in."""
        return next(iter(self.allowances.values())).unit


def fill_counts() -> tuple[FillCount, ...]:
    """Every way of counting, in file order."""
    return read_table("box_fill_counts.csv", FillCount)


def fill_allowances() -> tuple[FillAllowance, ...]:
    """Every allowance, in file order."""
    return read_table("box_fill_allowances.csv", FillAllowance)


def listed_boxes() -> tuple[ListedBox, ...]:
    """Every listed box, in file order."""
    return read_table("listed_boxes.csv", ListedBox)


def fill_terms(items: Sequence[FillItem], rules: FillRules) -> tuple[FillTerm, ...]:
    """Terms of the volume that `items` need; those that the code doesn't count give none.

    Parameters
    ----------
    items : sequence of FillItem
        Conductors first named by their size; what has no size takes the largest of these.
    rules : FillRules

    References
    ----------
    nec-2023 314.16(B); cec-2024 12-3034.
    """
    conductors = [size for item in items if item.item == "conductor" if (size := _size_of(item))]
    default = largest(conductors)
    return tuple(
        term
        for item in _supports_together(items)
        if (term := _term(item, rules, default=default)) is not None
    )


def without_allowance(items: Sequence[FillItem], rules: FillRules) -> tuple[FillItem, ...]:
    """Items that the code counts, but whose size is too large for its allowances."""
    return tuple(
        item
        for item in items
        if (rule := rules.counts.get(item.item)) is not None
        and rule.allowances(item.count)
        and (size := _size_of(item)) is not None
        and _allowance(size, rules) is None
    )


def find_listed_box(name: str, boxes: Sequence[ListedBox]) -> ListedBox | None:
    """Box that `name` means (``4 x 1-1/2 square``; words in any order), or None.

    Of several that it may mean, the one of least volume.
    """
    size, words = _taken_apart(name)
    if not words:
        return None
    fitting = [
        box
        for box in boxes
        for kind in box.kinds.split("/")
        if _taken_apart(box.size)[0] == size and words <= _taken_apart(f"{box.size} {kind}")[1]
    ]
    return min(fitting, key=lambda box: box.volume, default=None)


def _taken_apart(name: str) -> tuple[tuple[str, ...], set[str]]:
    text = name.lower().replace('"', " ").replace("\u00d7", "x")
    numbers = tuple(re.findall(r"\d+(?:-\d+/\d+|/\d+)?", text))
    words = set(re.findall(r"[a-z]+", text)) - {"x", "in", "inch", "box", "deep", "by"}
    return numbers, words


def _supports_together(items: Sequence[FillItem]) -> list[FillItem]:
    supports = sum(item.count for item in items if item.item in ("stud", "hickey"))
    return [*items, FillItem(item="stud or hickey", count=supports, size="")]


def _size_of(item: FillItem) -> ConductorSize | None:
    return conductor_size(item.size) if item.size else None


def _term(item: FillItem, rules: FillRules, *, default: ConductorSize | None) -> FillTerm | None:
    rule = rules.counts.get(item.item)
    if rule is None or not (number := rule.allowances(item.count)):
        return None
    deep = rules.deep_device_cm is not None and (item.depth_cm or 0.0) > rules.deep_device_cm
    if item.item == "device" and deep and rules.deep_device_volume and rules.deep_device_row:
        return FillTerm(
            what=f"{item.count} x device {item.depth_cm:g} cm deep",
            number=item.count * (item.depth_cm or 0.0),
            size="",
            volume=rules.deep_device_volume,
            rows=(rules.deep_device_row,),
        )
    size = _size_of(item) or default
    allowance = None if size is None else _allowance(size, rules)
    if size is None or allowance is None:
        return None
    return FillTerm(
        what=item.item,
        number=number,
        size=size.size,
        volume=allowance.volume,
        rows=(rule, allowance),
    )


def _allowance(size: ConductorSize, rules: FillRules) -> FillAllowance | None:
    """Allowance of this size, or of the smallest tabulated one that is no smaller."""
    fitting = [
        (tabulated.area_kcmil, row)
        for row in rules.allowances.values()
        if (tabulated := conductor_size(row.size)) is not None and size <= tabulated
    ]
    return min(fitting, key=lambda pair: pair[0])[1] if fitting else None
