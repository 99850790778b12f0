"""The sample models: each building of the scenario in the habit of another exporter."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from tests.builders import observatory
from tests.builders.habits import Habit
from tests.builders.observatory import DOME_SITE, SHED_SITE, SITE
from tests.builders.plant import Plant
from tests.builders.write_ifc import write


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """One model, and how it is checked."""

    file: str
    plant: Callable[[], Plant]
    habit: Habit
    pulls: str = ""


SAMPLES = (
    Sample(
        file="yard.ifc",
        plant=observatory.yard,
        habit=Habit(
            schema="IFC4X3",
            unit="m",
            box_class="chamber",
            elbow_body="disk",
            box_body="polygons",
            cover="plate",
            placement="nested",
            motion=SITE,
            size="md",
        ),
    ),
    Sample(
        file="control-house.ifc",
        plant=observatory.control_house,
        habit=Habit(
            schema="IFC2X3",
            unit="ft",
            angle="degree",
            element_class="flow",
            box_class="flow-fitting",
            box_body="brep",
            placement="nested",
            motion=SITE,
            ports="relation",
            port_z="flow",
            size="type",
            says_elevation=True,
            circuit_class="IfcElectricalCircuit",
        ),
    ),
    Sample(
        file="dome.ifc",
        plant=observatory.dome,
        habit=Habit(
            segment_body="hollow",
            elbow_body="revolve-hollow",
            cover="property",
            placement="nested",
            motion=DOME_SITE,
            size="length",
            says_elevation=True,
            circuit_class="IfcSystem",
        ),
    ),
    Sample(
        file="generator-shed.ifc",
        plant=observatory.generator_shed,
        habit=Habit(
            element_class="carrier-typed",
            segment_body="disk",
            elbow_body="disk",
            box_body="knockouts",
            cover="open",
            placement="nested",
            motion=SHED_SITE,
            ports="none",
            grouping="space",
            circuit_class="IfcDistributionCircuit",
        ),
        pulls="PULLS.csv",
    ),
)


def make_samples(folder: Path) -> None:
    """Write every sample model into a folder."""
    for sample in SAMPLES:
        write(sample.plant(), sample.habit, folder / sample.file)
