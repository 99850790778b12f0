"""How an exporter draws a plant: each field is one axis that the answer must not hang on."""

from __future__ import annotations

from dataclasses import dataclass, field

from tests.builders.pieces import Cut
from tests.builders.space import IDENTITY, Frame


@dataclass(frozen=True, slots=True, kw_only=True)
class Habit:
    """One way to export a plant."""

    name: str
    schema: str = "IFC4"  # IFC2X3, IFC4, IFC4X3
    unit: str = "mm"  # mm, m, ft, in
    angle: str = "radian"  # radian, degree, missing, inverted
    # what an element is called: carrier, carrier-typed, flow, flow-untyped, proxy
    element_class: str = "carrier"
    box_class: str = "junction-box"  # junction-box, flow-fitting, flow-controller, chamber
    # extrusion, hollow, across, disk, brep, mesh, polygons, mapped, clipped, axis, bounds
    segment_body: str = "extrusion"
    elbow_body: str = "revolve"  # revolve, disk, disk-composite, chords, mesh, brep
    box_body: str = "boolean"  # boolean, brep, plates, block, mesh
    cover: str = "open"  # open, plate, property, none
    placement: str = "local"  # local, world, nested
    motion: Frame = field(default=IDENTITY)  # pose of the plant in the world
    ports: str = "nested"  # none, nested, relation
    port_z: str = "out"  # out, flow, across
    size: str = "text"  # text, length, name, type, diameter
    cut: Cut = field(default=Cut())
    reverse: bool = False  # write the instances in the opposite order


TIDY = Habit(name="tidy-ifc4")
SOLID = Habit(name="solid-ifc4", box_body="block", cover="property")
OLD_TYPED = Habit(
    name="typed-ifc2x3",
    schema="IFC2X3",
    unit="m",
    angle="degree",
    element_class="flow",
    box_class="flow-fitting",
    box_body="brep",
    ports="relation",
    port_z="flow",
    size="length",
)
