"""Two boxes in a row, as one week's model and the next's, checked into folders."""

from __future__ import annotations

import csv
import uuid
from dataclasses import dataclass
from pathlib import Path

import ifcopenshell
import ifcopenshell.guid

from tests.builders.habits import TIDY, Habit
from tests.builders.plant import AtBox, AtPoint, Box, Plant, Route
from tests.builders.space import Frame
from tests.builders.write_ifc import write
from tests.run_program import check


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One issue of the model, and how it is checked; what isn't said is as in the first."""

    pb2_x_m: float = 0.3  # of the box that is too short for its angle pull of trade size 2
    pb2_grows_to: float = 0.0  # where its middle goes along x then [m]
    pb2_at: tuple[float, float] = (4.0, 0.0)
    r3_u_m: float = 0.0  # where the conduit leaves PB-2 by +y
    r1_size: str = "2"
    r3_corner: bool = False
    r3_capped: bool = True
    without: tuple[str, ...] = ()
    third_box: bool = False
    habit: Habit = TIDY
    new_guids: bool = False
    name: str = "plant.ifc"
    options: tuple[str, ...] = ()
    settings: str = ""
    pulls: str = ""


FIRST = Stage()


def plant(stage: Stage) -> Plant:
    """Build PB-1 with a straight pull and PB-2 with an angle pull that lacks 18 mm."""
    x, y = stage.pb2_at
    boxes = [
        Box(id="PB-1", inside_m=(0.6, 0.45, 0.2), frame=Frame.turned((0.0, 0.0, 2.0))),
        Box(
            id="PB-2",
            inside_m=(stage.pb2_x_m, 0.45, 0.2),
            frame=Frame.turned((x + stage.pb2_grows_to, y, 2.0)),
        ),
    ]
    top = (x + stage.pb2_grows_to + stage.r3_u_m, y + 3.0, 2.0)
    routes = [
        Route(
            id="R1",
            trade_size_in=stage.r1_size,
            start=AtPoint((-3.0, 0.0, 2.0), cap=True),
            end=AtBox("PB-1", "-x"),
        ),
        Route(
            id="R2",
            trade_size_in="2",
            start=AtBox("PB-1", "+x"),
            end=AtBox("PB-2", "-x", -y, 0.0),
        ),
        Route(
            id="R3",
            trade_size_in="2",
            start=AtBox("PB-2", "+y", stage.r3_u_m, 0.0),
            corners=(top,) if stage.r3_corner else (),
            end=AtPoint(
                (top[0] + 2.0, top[1], 2.0) if stage.r3_corner else top, cap=stage.r3_capped
            ),
        ),
    ]
    if stage.third_box:
        boxes.append(Box(id="PB-3", inside_m=(0.3, 0.3, 0.2), frame=Frame.turned((0.0, 9.0, 2.0))))
        routes += [
            Route(
                id=f"R{number}",
                trade_size_in="2",
                start=AtBox("PB-3", wall),
                end=AtPoint(end, cap=True),
            )
            for number, wall, end in ((8, "-x", (-3.0, 9.0, 2.0)), (9, "+y", (0.0, 12.0, 2.0)))
        ]
    kept = [box for box in boxes if box.id not in stage.without]
    return Plant(
        name="staged",
        boxes=tuple(kept),
        routes=tuple(route for route in routes if route.id not in stage.without),
    )


def issue(stage: Stage, folder: Path) -> Path:
    """Draw a stage and check it; gives the folder of its results."""
    folder.mkdir()
    drawn, model, out = folder / "plant.ifc", folder / stage.name, folder / "results"
    write(plant(stage), stage.habit, drawn)
    drawn.rename(model)
    if stage.new_guids:
        exported_anew(model)
    options = list(stage.options)
    for text, name, option in (
        (stage.settings, "SETTINGS.toml", "--settings"),
        (stage.pulls, "PULLS.csv", "--pulls"),
    ):
        if text:
            (folder / name).write_text(text, encoding="utf-8")
            options += [option, str(folder / name)]
    check([model], out, *options)
    return out


def exported_anew(model: Path) -> None:
    """Give every element another GlobalId."""
    file = ifcopenshell.open(str(model))
    for root in file.by_type("IfcRoot"):
        other = uuid.uuid5(uuid.NAMESPACE_URL, root.GlobalId)
        root.GlobalId = ifcopenshell.guid.compress(other.hex)
    file.write(str(model))


def rows_of(folder: Path, name: str = "findings.csv") -> list[dict[str, str]]:
    """Read one table."""
    with (folder / name).open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))
