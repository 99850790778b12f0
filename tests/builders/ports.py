"""Ports of the pieces and boxes, and what connects them."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from tests.builders.pen import Entity
from tests.builders.pieces import Laid, Piece
from tests.builders.plant import AtBox, AtPoint
from tests.builders.space import Frame, Point, square_to, tup
from tests.builders.writer import Writer

_FLOW = {"in": "SINK", "out": "SOURCE"}


@dataclass(slots=True)
class Ports:
    """Ports drawn so far, by owner."""

    writer: Writer
    owned: dict[str, list[Entity]] = field(default_factory=dict)
    links: int = 0

    def add(self, owner: str, end: str, at: Point, along: Point) -> Entity:
        """Add a port whose z points as the habit says."""
        writer, habit = self.writer, self.writer.habit
        aside = square_to(np.array(along))
        z = {
            "out": np.array(along) * (-1 if end == "in" else 1),
            "flow": np.array(along),
            "across": aside,
            "any": np.array((0.3, -0.5, 0.8)),
        }[habit.port_z]
        point = tup(np.array(at) + aside * habit.port_off_m)
        local = writer.frames[owner].inverse @ habit.motion @ Frame.at(point, tup(z))
        placement = None
        if habit.ports != "unplaced":
            parent = writer.by_id[owner].ObjectPlacement
            placement = writer.pen.make("IfcLocalPlacement", parent, writer.pen.frame(local))
        port = writer.root(
            "IfcDistributionPort",
            f"{owner} port {end}",
            Name=f"Port {end}",
            ObjectPlacement=placement,
            FlowDirection=_FLOW.get(end, "SOURCEANDSINK"),
        )
        self.owned.setdefault(owner, []).append(port)
        return port

    def join(self, first: Entity | None, second: Entity | None) -> None:
        """Connect two ports, if there are two."""
        links = self.writer.habit.port_links
        if first is None or second is None or links == "missing":
            return
        for _ in range(2 if links == "doubled" else 1):
            self.links += 1
            ends = {"RelatingPort": first, "RelatedPort": second}
            self.writer.root("IfcRelConnectsPorts", f"link {self.links}", **ends)


def connect(writer: Writer, laid: Laid) -> None:
    """Give ends their ports and join those of ends that meet, as the habit does."""
    ports = Ports(writer)
    drawn: dict[str, tuple[Entity | None, Entity | None]] = {}
    for route in writer.plant.routes:
        chain = laid[route.id]
        last = _closing_port(ports, route.start, f"{route.id} start", chain[0].start)
        for piece in chain:
            if piece.id not in drawn:
                drawn[piece.id] = _piece_ports(ports, piece)
            ports.join(last, drawn[piece.id][0])
            last = drawn[piece.id][1]
        ports.join(last, _closing_port(ports, route.end, f"{route.id} end", chain[-1].end))
    if writer.habit.port_links == "phantom":
        _phantoms(ports, laid, drawn)
    _own(writer, ports.owned)


def _piece_ports(ports: Ports, piece: Piece) -> tuple[Entity | None, Entity | None]:
    which = ports.writer.habit.ports
    if which == "segments" and piece.role != "segment":
        return None, None
    first = ports.add(piece.id, "in", piece.start, piece.directions[0])
    if which == "single":
        return first, None
    return first, ports.add(piece.id, "out", piece.end, piece.directions[1])


def _closing_port(ports: Ports, end: AtBox | AtPoint, name: str, at: Point) -> Entity | None:
    owner = end.box if isinstance(end, AtBox) else end.meets
    if not owner or ports.writer.habit.ports == "segments":
        return None
    direction = ports.writer.plant.end_of(end)[1] or (0.0, 0.0, 1.0)
    return ports.add(owner, name, at, direction)


def _phantoms(
    ports: Ports, laid: Laid, drawn: dict[str, tuple[Entity | None, Entity | None]]
) -> None:
    """Join what does not meet: over an element, and from one route to another."""
    routes = list(laid.values())
    for chain in routes:
        for before, after in zip(chain, chain[2:], strict=False):
            ports.join(drawn[before.id][1], drawn[after.id][0])
    for chain, other in pairwise(routes):
        ports.join(drawn[chain[-1].id][1], drawn[other[0].id][0])


def _own(writer: Writer, owned: dict[str, list[Entity]]) -> None:
    by_relation = writer.habit.ports == "relation" or writer.habit.schema == "IFC2X3"
    for owner, ports in owned.items():
        element = writer.by_id[owner]
        if not by_relation:
            link = {"RelatingObject": element, "RelatedObjects": ports}
            writer.root("IfcRelNests", f"{owner} nests", **link)
            continue
        for number, port in enumerate(ports):
            link = {"RelatingPort": port, "RelatedElement": element}
            writer.root("IfcRelConnectsPortToElement", f"{owner} owns {number}", **link)
