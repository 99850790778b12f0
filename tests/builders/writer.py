"""The file in the making that the drawing functions share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from tests.builders.guids import guid_of
from tests.builders.habits import Habit
from tests.builders.pen import Entity, Pen
from tests.builders.plant import Plant
from tests.builders.space import IDENTITY, ORIGIN, Frame, Point

Draw = Callable[[Pen], tuple[list[Entity], str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """A storey of the file, where it stands, and how high in the plant."""

    entity: Entity
    frame: Frame
    level_m: float


@dataclass(slots=True, kw_only=True)
class Writer:
    """One file in the making."""

    plant: Plant
    habit: Habit
    pen: Pen
    levels: tuple[Level, ...]  # from below
    by_id: dict[str, Entity] = field(default_factory=dict)
    frames: dict[str, Frame] = field(default_factory=dict)  # where each element stands
    origins: dict[str, Point] = field(default_factory=dict)  # and where in the plant
    types: dict[tuple[str, ...], list[Entity]] = field(default_factory=dict)  # and what has it

    @property
    def storey(self) -> Entity:
        """The lowest storey."""
        return self.levels[0].entity

    def level_at(self, point: Point) -> Level:
        """Give the highest storey that is not above a point of the plant, else the lowest."""
        under = [level for level in self.levels if level.level_m <= point[2]]
        return under[-1] if under else self.levels[0]

    def root(self, ifc_class: str, own_id: str, **values: object) -> Entity:
        """Add a rooted entity that is no part of the plant."""
        return self.pen.root(ifc_class, own_id, **values)

    def place(self, truth_id: str, frame: Frame) -> tuple[Entity, Pen]:
        """Placement of an element that stands at `frame`, and a pen that draws it there."""
        stands = IDENTITY
        parent, parent_frame = None, IDENTITY
        if self.habit.placement != "world":
            stands = self.habit.motion @ frame
            level = self.level_at(frame.point(ORIGIN))
            parent, parent_frame = level.entity.ObjectPlacement, level.frame
        self.frames[truth_id], self.origins[truth_id] = stands, frame.point(ORIGIN)
        axes = self.pen.frame(parent_frame.inverse @ stands)
        placement = self.pen.make("IfcLocalPlacement", parent, axes)
        return placement, replace(self.pen, base=stands.inverse @ self.habit.motion)

    def shape(self, *drawn: tuple[list[Entity], str]) -> Entity:
        """Product shape of representations, each given by its items and their kind."""
        shapes = []
        for items, kind in drawn:
            named = {"Curve3D": "Axis", "BoundingBox": "Box"}.get(kind, "Body")
            context = self.pen.contexts[named]
            shapes.append(self.pen.make("IfcShapeRepresentation", context, named, kind, items))
        return self.pen.make("IfcProductDefinitionShape", None, None, shapes)

    def add(self, ifc_class: str, truth_id: str, name: str, frame: Frame, *draw: Draw) -> Entity:
        """Add an element that stands at `frame`; each `draw` makes a representation."""
        placement, pen = self.place(truth_id, frame)
        shape = self.shape(*(each(pen) for each in draw)) if draw else None
        values = {"Name": name, "ObjectPlacement": placement, "Representation": shape}
        guid = guid_of(truth_id)
        entity = self.pen.make(ifc_class, guid, self.pen.history, Tag=truth_id, **values)
        self.by_id[truth_id] = entity
        return entity

    def typed(self, entity: Entity, ifc_class: str, predefined: str, name: str) -> None:
        """Note that an element is of a type; types are written at the end."""
        self.types.setdefault((ifc_class, predefined, name), []).append(entity)
