"""Ports of the pieces and boxes, and what connects them."""

from __future__ import annotations

import numpy as np

from tests.builders.pen import Entity
from tests.builders.pieces import Piece
from tests.builders.plant import AtBox, AtPoint
from tests.builders.space import Frame, Point, square_to, tup
from tests.builders.writer import Writer


def connect(writer: Writer, pieces: dict[str, tuple[Piece, ...]]) -> None:
    """Give every end a port and join the ports of ends that meet."""
    owned: dict[str, list[Entity]] = {}
    for route in writer.plant.routes:
        chain = pieces[route.id]
        previous = _closing_port(writer, owned, route.start, f"{route.id} start", chain[0].start)
        for piece in chain:
            first = _port(writer, owned, piece.id, "in", at=piece.start, along=piece.directions[0])
            last = _port(writer, owned, piece.id, "out", at=piece.end, along=piece.directions[1])
            if previous is not None:
                _join(writer, previous, first, piece.id)
            previous = last
        closing = _closing_port(writer, owned, route.end, f"{route.id} end", chain[-1].end)
        if closing is not None and previous is not None:
            _join(writer, previous, closing, f"{route.id} closing")
    if writer.habit.ports == "nested":
        for owner, ports in owned.items():
            writer.root(
                "IfcRelNests",
                f"{owner} nests",
                RelatingObject=writer.by_id[owner],
                RelatedObjects=ports,
            )


def _closing_port(
    writer: Writer, owned: dict[str, list[Entity]], end: AtBox | AtPoint, name: str, at: Point
) -> Entity | None:
    owner = end.box if isinstance(end, AtBox) else end.equipment
    if not owner:
        return None
    direction = (0.0, 0.0, 1.0)
    if isinstance(end, AtBox):
        direction = writer.plant.end_of(end)[1] or direction
    return _port(writer, owned, owner, name, at=at, along=direction)


def _port(
    writer: Writer, owned: dict[str, list[Entity]], owner: str, end: str, *, at: Point, along: Point
) -> Entity:
    """Add a port whose z points as the habit says."""
    pen, habit = writer.pen, writer.habit
    z = {
        "out": np.array(along) * (-1 if end == "in" else 1),
        "flow": np.array(along),
        "across": square_to(np.array(along)),
    }[habit.port_z]
    placement = writer.by_id[owner].ObjectPlacement
    origin = writer.frames[owner]
    axes = pen.frame(origin.inverse @ writer.habit.motion @ Frame.at(at, tup(z)))
    port = writer.root(
        "IfcDistributionPort",
        f"{owner} port {end}",
        Name=f"Port {end}",
        ObjectPlacement=pen.make("IfcLocalPlacement", placement, axes),
        FlowDirection={"in": "SINK", "out": "SOURCE"}.get(end, "SOURCEANDSINK"),
    )
    owned.setdefault(owner, []).append(port)
    if habit.ports == "relation":
        writer.root(
            "IfcRelConnectsPortToElement",
            f"{owner} port {end} owner",
            RelatingPort=port,
            RelatedElement=writer.by_id[owner],
        )
    return port


def _join(writer: Writer, first: Entity, second: Entity, name: str) -> None:
    writer.root("IfcRelConnectsPorts", f"{name} joined", RelatingPort=first, RelatedPort=second)
