"""Texts of sound models that are damaged: small ones in many habits, samples, open models."""

from __future__ import annotations

from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

from tests.builders.habits import TIDY
from tests.builders.pairwise import read_matrix
from tests.builders.plant import AtBox, AtPoint, Plant, Route
from tests.builders.scenes import between, facing_boxes
from tests.builders.write_ifc import write
from tests.shared_models import MODELS

SAMPLES = Path(__file__).parents[2] / "sample_models"
_HABITS, _SMALL_SHARE = 60, 0.85

SMALL = Plant(
    name="Small",
    boxes=facing_boxes(),
    routes=(
        between(),
        Route(
            id="R2",
            trade_size_in="1-1/2",
            start=AtBox("PB-1", "+y", 0.1, 0.05),
            corners=((0.1, 1.5, 0.05), (2.0, 1.5, 0.05)),
            end=AtPoint((2.0, 3.0, 0.05)),
        ),
        Route(
            id="R3",
            trade_size_in="1",
            start=AtBox("PB-2", "-z", 0.1, 0.05),
            end=AtPoint((4.1, 0.05, -2.0), cap=True),
        ),
    ),
)

Text = tuple[str, bytes]  # name of a model and its text


def small_models() -> list[Text]:
    """The small plant in the tidy habit and in the first ones of the matrix."""
    found = []
    with TemporaryDirectory() as folder:
        for habit in (TIDY, *read_matrix()[:_HABITS]):
            path = Path(folder, "small.ifc")
            write(SMALL, habit, path)
            found.append((habit.name, path.read_bytes()))
    return found


def large_models() -> list[Text]:
    """The samples, and the open models where they lie beside the project.

    One that is refused for its schema comes as the released schema too.
    """
    paths = [*sorted(SAMPLES.glob("*.ifc")), *sorted(MODELS.glob("*.ifc"))]
    found = [(path.name, path.read_bytes()) for path in paths]
    found += [
        (f"{name} as IFC4X3", text.replace(b"IFC4X3_RC3", b"IFC4X3_ADD2"))
        for name, text in found
        if b"IFC4X3_RC3" in text
    ]
    return found


class Models:
    """All of them, to draw from by lot."""

    def __init__(self) -> None:
        self._small, self._large = small_models(), large_models()

    def drawn(self, lot: Random) -> Text:
        """Name and text of one."""
        return lot.choice(self._small if lot.random() < _SMALL_SHARE else self._large)
