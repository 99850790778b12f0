"""The file in the making that the drawing functions share."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from tests.builders.habits import Habit
from tests.builders.pen import Entity, Pen
from tests.builders.plant import Plant
from tests.builders.space import Frame


@dataclass(slots=True)
class Writer:
    """One file in the making."""

    plant: Plant
    habit: Habit
    pen: Pen
    context: Entity
    storey: Entity
    storey_frame: Frame
    by_id: dict[str, Entity] = field(default_factory=dict)
    frames: dict[str, Frame] = field(default_factory=dict)  # where each element stands
    types: dict[tuple[str, ...], tuple[Entity, list[Entity]]] = field(default_factory=dict)

    def root(self, ifc_class: str, truth_id: str, **values: object) -> Entity:
        """Add a rooted entity whose GlobalId follows from `truth_id`."""
        return self.pen.root(ifc_class, truth_id, **values)

    def place(self, truth_id: str, frame: Frame) -> tuple[Entity, Pen]:
        """Placement of an element that stands at `frame`, and a pen for its body."""
        stands = Frame.turned()
        parent, parent_frame = None, stands
        if self.habit.placement != "world":
            stands = self.habit.motion @ frame
            parent, parent_frame = self.storey.ObjectPlacement, self.storey_frame
        self.frames[truth_id] = stands
        axes = self.pen.frame(parent_frame.inverse @ stands)
        placement = self.pen.make("IfcLocalPlacement", parent, axes)
        return placement, replace(self.pen, base=stands.inverse @ self.habit.motion)

    def body(self, items: list[Entity], kind: str) -> Entity:
        """Product shape of one body."""
        representation = self.pen.make("IfcShapeRepresentation", self.context, "Body", kind, items)
        return self.pen.make("IfcProductDefinitionShape", None, None, [representation])
