"""Bays as stencils: drawn once, their ids, GlobalIds, names and places left open.

No two bays are equal to the last bit, as nothing is that people draw: places and lengths of conduit
differ by hairs, far below what any rule or tolerance sees.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import IO

import ifcopenshell
import numpy as np

from tests.builders.big_bays import BAY_M, ORDER, Bay, add_other_trades
from tests.builders.space import IDENTITY
from tests.builders.write_ifc import draw

BAYS_ALONG, BAYS_A_STOREY = 16, 256
_SHARED = ("IfcProject", "IfcTypeObject", "IfcRepresentationMap", "IfcDirection",
           "IfcAxis2Placement2D")  # fmt: skip
GUID_KEPT = 13  # characters of a GlobalId that all copies of an element share; the bay follows
_LETTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_$"
_HAIR_MM = 0.004
_LINE = re.compile(r"^#(\d+)=(.*);$", re.MULTILINE)
_STRING_OR_ID = re.compile(r"'(?:[^']|'')*'|#(\d+)")


@dataclass(slots=True)
class Out:
    """A file that is being written, its next id and what is related at its end."""

    file: IO[str]
    next_id: int = 1
    shared: dict[str, int] = field(default_factory=dict)  # ids of what stands once, by its text
    of_type: dict[int, list[str]] = field(default_factory=lambda: defaultdict(list))

    def once(self, text: str) -> int:
        """Write an instance unless the same stands there already, and give its id."""
        if text not in self.shared:
            self.shared[text] = self.write(text)
        return self.shared[text]

    def write(self, text: str) -> int:
        """Write an instance and give its id."""
        own, self.next_id = self.next_id, self.next_id + 1
        self.file.write(f"#{own}={text};\n")
        return own


@dataclass(frozen=True, slots=True, kw_only=True)
class Stencil:
    """The text of a kind of bay with places for numbers: ids, coordinates, lengths."""

    text: str
    numbers: np.ndarray  # shape (n,); ids from 0 on, places in the bay and lengths
    ids: np.ndarray  # which numbers are ids of the bay
    parents: np.ndarray  # which are the id of the storey's placement
    xs: np.ndarray
    ys: np.ndarray
    varied: np.ndarray  # which are places and lengths: no bay has them alike
    size: int  # ids that it takes
    elements: tuple[int, ...]  # ids of the elements
    space: int
    of_type: tuple[tuple[int, tuple[int, ...]], ...]  # id of each type, and of what has it

    def filled(self, bay: int, *, base: int, parent: int) -> str:
        """Text of one bay, whose ids begin at `base`."""
        x, y = _place(bay)
        numbers = self.numbers.copy()
        numbers[self.ids] += base
        numbers[self.parents] = parent
        numbers[self.xs] += x
        numbers[self.ys] += y
        numbers[self.varied] += _HAIR_MM * np.random.default_rng(bay).random(self.varied.size)
        text = self.text % tuple(numbers.tolist())
        return text.replace("@", name_of(bay)).replace("\x01", code_of(bay))


def stencil_of(bay: Bay, out: Out) -> Stencil:
    """Draw a bay, write what all bays share to `out`, and make a stencil of the rest."""
    file = _drawn(bay)
    texts = {int(number): text for number, text in _LINE.findall(file.to_string())}
    (storey,) = file.by_type("IfcBuildingStorey")
    dropped = {each.id() for each in _outside_bays(file)}
    shared = _closure(file, _SHARED)
    own = [number for number in texts if number not in dropped | shared]
    numbers = {number: place for place, number in enumerate(own)}
    final = _Shared(texts, out)
    for number in sorted(shared):
        final.id_of(number)
    pen = _Stenciller(numbers=numbers, shared=final, storey=storey.ObjectPlacement.id())
    moved = {
        each.RelativePlacement.Location.id()
        for each in file.by_type("IfcLocalPlacement")
        if each.id() in numbers and each.PlacementRelTo == storey.ObjectPlacement
    }
    (space,) = file.by_type("IfcSpace")
    hung = {
        each.RelativePlacement.Location.id()
        for each in file.by_type("IfcLocalPlacement")
        if each.id() in numbers and each.PlacementRelTo == space.ObjectPlacement
    }
    rods = {
        each.id()
        for each in file.by_type("IfcExtrudedAreaSolid")
        if each.SweptArea.is_a("IfcCircleProfileDef")
    }
    rooted = {each.id() for each in file.by_type("IfcRoot")}
    for number in own:
        if number in moved | hung:
            pen.add_place(texts[number], is_moved=number in moved)
        else:
            pen.add(texts[number], is_rod=number in rods, is_rooted=number in rooted)
    (contained,) = file.by_type("IfcRelContainedInSpatialStructure")
    return pen.stencil(
        elements=tuple(numbers[each.id()] for each in contained.RelatedElements),
        space=numbers[space.id()],
        of_type=tuple(
            (final.id_of(rel.RelatingType.id()), tuple(numbers[e.id()] for e in rel.RelatedObjects))
            for rel in file.by_type("IfcRelDefinesByType")
        ),
    )


def _drawn(bay: Bay) -> ifcopenshell.file:
    writer = draw(bay.plant, bay.habit, more=add_other_trades)
    file, pen = writer.pen.file, writer.pen
    storey = writer.storey.ObjectPlacement
    in_storey = [
        each for each in file.by_type("IfcLocalPlacement") if each.PlacementRelTo == storey
    ]
    room = pen.make("IfcLocalPlacement", storey, pen.frame(IDENTITY))
    if bay.in_room:
        for each in in_storey:
            each.PlacementRelTo = room
    name = {"Name": "Room @", "ObjectPlacement": room, "CompositionType": "ELEMENT"}
    block = replace(pen, base=IDENTITY).block((0.0, 0.0, 0.0), (*BAY_M, 3.5))
    writer.root("IfcSpace", "room", Representation=writer.shape(([block], "SweptSolid")), **name)
    return file


def _outside_bays(file: ifcopenshell.file) -> Iterator[ifcopenshell.entity_instance]:
    """Give what is written once a file, not once a bay."""
    (storey,) = file.by_type("IfcBuildingStorey")
    yield from file.by_type("IfcRelContainedInSpatialStructure")
    yield from file.by_type("IfcRelDefinesByType")
    placement = storey.ObjectPlacement
    yield from file.traverse(placement)
    for ifc_class in ("IfcSite", "IfcBuilding", "IfcBuildingStorey"):
        for each in file.by_type(ifc_class):
            yield each
            yield from file.traverse(each.ObjectPlacement)
            yield from each.Decomposes


def _closure(file: ifcopenshell.file, classes: Sequence[str]) -> set[int]:
    return {
        each.id()
        for ifc_class in classes
        for entity in file.by_type(ifc_class)
        for each in file.traverse(entity)
        if each.id()  # a value within an instance has none
    }


@dataclass(slots=True)
class _Shared:
    """Instances that all bays share, each written once however many habits draw it."""

    texts: dict[int, str]
    out: Out
    ids: dict[int, int] = field(default_factory=dict)

    def id_of(self, number: int) -> int:
        """Id in the large file of an instance of the bay's."""
        if number not in self.ids:
            text = _STRING_OR_ID.sub(self._final, self.texts[number])
            self.ids[number] = self.out.once(text)
        return self.ids[number]

    def _final(self, match: re.Match[str]) -> str:
        return f"#{self.id_of(int(match[1]))}" if match[1] else match[0]


@dataclass(slots=True, kw_only=True)
class _Stenciller:
    """A stencil in the making, instance by instance."""

    numbers: dict[int, int]  # ids of the bay from 0 on, by those of its own file
    shared: _Shared
    storey: int
    lines: list[str] = field(default_factory=list)
    values: list[tuple[str, float]] = field(default_factory=list)  # what each number is

    def add_place(self, text: str, *, is_moved: bool) -> None:
        """Take up a point at which something is placed, in the storey (`is_moved`) or a room."""
        self.values.append(("id", float(len(self.lines))))
        coordinates = re.fullmatch(r"\w+\(\((.*)\)\)", text)[1].split(",")
        kinds = ("x", "y", "varied") if is_moved else ("varied",) * 3
        self.values += zip(kinds, map(float, coordinates), strict=True)
        self.lines.append("#%d=IFCCARTESIANPOINT((%.7f,%.7f,%.7f));\n")

    def add(self, text: str, *, is_rod: bool, is_rooted: bool) -> None:
        """Take up one instance; the length of a rod stays open."""
        self.values.append(("id", float(len(self.lines))))
        if is_rooted:
            head, guid, rest = re.fullmatch(r"(\w+\(')(.{22})(.*)", text).groups()
            text = f"{head}{guid[:GUID_KEPT]}\x01{rest}"
        text, length = text.rsplit(",", 1) if is_rod else (text, "")
        text = _STRING_OR_ID.sub(self._open, text.replace("%", "%%"))
        if is_rod:
            self.values.append(("varied", float(length.removesuffix(")"))))
            text += ",%.7f)"
        self.lines.append(f"#%d={text};\n")

    def _open(self, match: re.Match[str]) -> str:
        if match[1] is None:
            return match[0]
        number = int(match[1])
        if number == self.storey:
            self.values.append(("parent", 0.0))
        elif number in self.numbers:
            self.values.append(("id", float(self.numbers[number])))
        else:
            return f"#{self.shared.id_of(number)}"
        return "#%d"

    def stencil(
        self,
        *,
        elements: tuple[int, ...],
        space: int,
        of_type: tuple[tuple[int, tuple[int, ...]], ...],
    ) -> Stencil:
        """Give it, finished."""
        kinds = np.array([kind for kind, _ in self.values])
        places = {
            kind: np.flatnonzero(kinds == kind) for kind in ("id", "parent", "x", "y", "varied")
        }
        return Stencil(
            text="".join(self.lines),
            numbers=np.array([value for _, value in self.values]),
            ids=places["id"],
            parents=places["parent"],
            xs=places["x"],
            ys=places["y"],
            varied=np.sort(np.concatenate([places[kind] for kind in ("x", "y", "varied")])),
            size=len(self.lines),
            elements=elements,
            space=space,
            of_type=of_type,
        )


def _place(bay: int) -> tuple[float, float]:
    """Where a bay stands in its storey. [mm]"""
    row, column = divmod(bay % BAYS_A_STOREY, BAYS_ALONG)
    return 1000 * BAY_M[0] * column, 1000 * BAY_M[1] * row


def kind_of(bay: int) -> int:
    return ORDER[bay % len(ORDER)]


def name_of(bay: int) -> str:
    return f"B{bay:05d}"


def code_of(bay: int) -> str:
    """End of the GlobalIds of a bay."""
    letters = []
    for _ in range(22 - GUID_KEPT):
        bay, letter = divmod(bay, len(_LETTERS))
        letters.append(_LETTERS[letter])
    return "".join(reversed(letters))
