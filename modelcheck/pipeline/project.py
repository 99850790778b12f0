"""Everything that was read and traced of one project, before it is checked."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

from modelcheck.model.pull import BoxCase, RunPull
from modelcheck.model.run import Network, Run
from modelcheck.model.settings import Settings
from modelcheck.network.doubts import doubted_entries
from modelcheck.network.entries import entered
from modelcheck.network.routes import Carried, box_entries, carry
from modelcheck.network.runs import trace
from modelcheck.pipeline.request import Progress, Request, Terms
from modelcheck.read.elements import Elements, read_elements
from modelcheck.read.equipment import equipment_at
from modelcheck.read.ifc_file import ModelFile, open_models
from modelcheck.read.pulls import Schedule


@dataclass(frozen=True, slots=True, kw_only=True)
class Project:
    """Models, their elements and the network that these make."""

    settings: Settings
    files: tuple[ModelFile, ...]
    elements: Elements
    network: Network
    carried: Carried
    schedule: Schedule | None

    def cases(self) -> tuple[BoxCase, ...]:
        """Every box with its entries and pulls."""
        numbers = box_entries(self.network)
        doubts = doubted_entries(self.network)
        return tuple(
            BoxCase(
                enclosure=box,
                entries=tuple(self.network.entries[each] for each in numbers.get(box.ref.key, ())),
                pulls=self.carried.box_pulls.get(box.ref.key),
                doubt=doubts.get(box.ref.key, ""),
            )
            for box in self.elements.enclosures
        )

    def pulls_of(self, run: Run) -> tuple[RunPull, ...] | None:
        """Pulls that go through `run`; None without a schedule."""
        return None if self.schedule is None else self.carried.run_pulls.get(run.name, ())


def open_project(
    request: Request, terms: Terms, schedule: Schedule | None, *, progress: Progress
) -> Project:
    """Open the models of `request`, read them and trace them.

    Raises
    ------
    InputFileError
        If a model or the schedule can't be used.
    """
    progress("opening models")
    files = open_models(request.models)
    return read_project(files, terms.settings, schedule, workers=request.workers, progress=progress)


def read_project(
    files: tuple[ModelFile, ...],
    settings: Settings,
    schedule: Schedule | None,
    *,
    workers: int = 1,
    progress: Progress,
) -> Project:
    """Read the elements of opened models, trace them, and lead the pulls through them.

    Raises
    ------
    InputFileError
        If a model or the schedule can't be used.
    """
    progress("reading conduits and boxes")
    elements = read_elements(files, settings, workers=workers)
    progress("tracing runs")
    network = trace(
        elements.conduits,
        elements.enclosures,
        partial(equipment_at, elements, files),
        settings,
    )
    elements = replace(elements, enclosures=entered(elements.enclosures, network))
    carried = Carried()
    if schedule is not None:
        carried = carry(
            schedule.rows, schedule.path, network, elements.conduits, elements.enclosures
        )
    return Project(
        settings=settings,
        files=files,
        elements=elements,
        network=network,
        carried=carried,
        schedule=schedule,
    )
