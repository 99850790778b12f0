"""Ports of the elements of one file: where they are, and what they say they connect."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import ifcopenshell

from modelcheck.geometry.frames import Array
from modelcheck.read.curves import DAMAGED, UnreadableError
from modelcheck.read.placements import Placements
from modelcheck.read.property_values import Entity
from modelcheck.read.relations import related

_ENDS = (4, 5)  # places of the two sides of a relation, in every schema


@dataclass(frozen=True, slots=True)
class Port:
    """One port of an element."""

    point: Array  # shape (3,) [m]
    axis: Array  # its z axis, in whatever sense the exporter gives it


class Ports:
    """Index of ports by their element; ports of types are nobody's."""

    def __init__(self, file: ifcopenshell.file, placements: Placements) -> None:
        self._placements = placements
        self._own: dict[int, list[Entity]] = defaultdict(list)
        owner: dict[int, int] = {}
        for ports, elements in related(file, "IfcRelConnectsPortToElement", *_ENDS):
            self._take(owner, ports, elements)
        for elements, nested in related(file, "IfcRelNests", *_ENDS):
            self._take(owner, nested, elements)
        self._beside: dict[int, set[int]] = defaultdict(set)
        for first, second in related(file, "IfcRelConnectsPorts", *_ENDS):
            ends = [owner.get(port.id()) for port in (*first, *second)]
            if len(ends) == 2 and None not in ends and ends[0] != ends[1]:  # noqa: PLR2004 - two ports
                self._beside[ends[0]].add(ends[1])  # type: ignore[index,arg-type]
                self._beside[ends[1]].add(ends[0])  # type: ignore[index,arg-type]

    def _take(
        self, owner: dict[int, int], ports: Sequence[Entity], elements: Sequence[Entity]
    ) -> None:
        for element in elements:
            for port in ports if element.is_a("IfcElement") else ():
                if port.is_a("IfcPort") and port.id() not in owner:
                    owner[port.id()] = element.id()
                    self._own[element.id()].append(port)

    def of(self, element: Entity) -> tuple[Port, ...]:
        """Ports of `element` that have a place."""
        found = []
        for port in self._own.get(element.id(), ()):
            if port.ObjectPlacement is None:
                continue
            try:
                matrix = self._placements.of(port.ObjectPlacement)
            except (UnreadableError, *DAMAGED):
                continue
            found.append(Port(matrix[:3, 3], matrix[:3, 2]))
        return tuple(found)

    def beside(self, element: Entity) -> tuple[int, ...]:
        """Instance numbers of the elements that the ports of `element` connect to."""
        return tuple(sorted(self._beside.get(element.id(), ())))
