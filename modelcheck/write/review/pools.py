"""Things that many rows share, told once and referred to by their place."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any, Generic, TypeVar

from modelcheck.model.element import ElementRef

T = TypeVar("T", bound=Hashable)


class Pool(Generic[T]):
    """Values in the order in which they were first asked for."""

    def __init__(self) -> None:
        self._places: dict[T, int] = {}

    def place(self, value: T) -> int:
        """Place of `value`; it gets one if it has none."""
        return self._places.setdefault(value, len(self._places))

    @property
    def values(self) -> list[T]:
        """All of them."""
        return list(self._places)


class Elements:
    """Every element that the page names."""

    def __init__(self) -> None:
        self._places: dict[tuple[str, int], int] = {}
        self._refs: list[ElementRef] = []

    def place(self, ref: ElementRef) -> int:
        """Place of `ref`; it gets one if it has none."""
        key = (ref.model, ref.step_id)
        place = self._places.get(key)
        if place is None:
            place = self._places[key] = len(self._refs)
            self._refs.append(ref)
        return place

    def columns(self) -> dict[str, Any]:
        """Names of all elements, one list for each kind of name."""
        classes, models = Pool[str](), Pool[str]()
        return {
            "guid": [ref.guid for ref in self._refs],
            "name": [ref.name for ref in self._refs],
            "tag": [ref.tag for ref in self._refs],
            "class": [classes.place(ref.ifc_class) for ref in self._refs],
            "model": [models.place(ref.model) for ref in self._refs],
            "classes": classes.values,
            "models": models.values,
        }
