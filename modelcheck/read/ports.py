"""Ports of the elements of one file: where they are, and what they say they connect."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import ifcopenshell
import numpy as np

from modelcheck.geometry.frames import Array
from modelcheck.read.curves import DAMAGED, UnreadableError
from modelcheck.read.placements import Placements
from modelcheck.read.property_values import Entity
from modelcheck.read.relations import Misfits, related

_ENDS = (4, 5)  # places of the two sides of a relation, in every schema
_APART_M = 1e-3  # ports nearer than this are placed at the element, not at its ends


@dataclass(frozen=True, slots=True)
class Port:
    """One port of an element."""

    point: Array  # shape (3,) [m]
    axis: Array  # its z axis, in whatever sense the exporter gives it


class Ports:
    """Index of ports by their element; ports of types are nobody's."""

    def __init__(self, file: ifcopenshell.file, placements: Placements, misfits: Misfits) -> None:
        self._placements = placements
        self._own: dict[int, list[Entity]] = defaultdict(list)
        owner: dict[int, int] = {}
        for ports, elements in related(file, "IfcRelConnectsPortToElement", *_ENDS, misfits):
            self._take(owner, ports, elements)
        for elements, nested in related(file, "IfcRelNests", *_ENDS, misfits):
            self._take(owner, nested, elements)
        self._beside: dict[int, set[int]] = defaultdict(set)
        self._linked: set[int] = set()  # ports that are connected to one of another element
        for first, second in related(file, "IfcRelConnectsPorts", *_ENDS, misfits):
            ends = [owner.get(port.id()) for port in (*first, *second)]
            if len(ends) == 2 and None not in ends and ends[0] != ends[1]:  # noqa: PLR2004 - two ports
                self._beside[ends[0]].add(ends[1])  # type: ignore[index,arg-type]
                self._beside[ends[1]].add(ends[0])  # type: ignore[index,arg-type]
                self._linked.update(port.id() for port in (*first, *second))

        for port, why in list(misfits.why.items()):
            if port in owner:
                misfits.why.setdefault(owner[port], why)

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

    def tell_ends(self, element: Entity) -> bool:
        """Whether ports tell of two ends of `element` or more, and each where it is."""
        own = self._own.get(element.id(), ())
        if len(own) < 2:  # noqa: PLR2004 - the two ends of a raceway
            return False
        if all(port.id() in self._linked for port in own):
            return True
        points = [port.point for port in self.of(element)]
        return len(points) == len(own) and float(np.ptp(points, axis=0).max()) > _APART_M

    def beside(self, element: Entity) -> tuple[int, ...]:
        """Instance numbers of the elements that the ports of `element` connect to."""
        return tuple(sorted(self._beside.get(element.id(), ())))
