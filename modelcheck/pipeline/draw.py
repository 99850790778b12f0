"""Shop drawings of boxes, of a model or described by hand, as they are or as proposed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from modelcheck.checks import check_box
from modelcheck.model.finding import worst
from modelcheck.model.fix import Fix
from modelcheck.model.pull import BoxCase
from modelcheck.pipeline.check import silent
from modelcheck.pipeline.choice import chosen
from modelcheck.pipeline.fixes import is_short, means_of
from modelcheck.pipeline.project import open_project
from modelcheck.pipeline.proposals import proposed_box
from modelcheck.pipeline.request import Progress, Request, Terms
from modelcheck.read.box_toml import read_boxes
from modelcheck.write.drawing_files import drawing_names, write_drawings
from modelcheck.write.drawing_title import BoxDrawing
from modelcheck.write.output_dir import claimed

Wanted = Sequence[tuple[BoxCase, Fix | None]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What was drawn."""

    drawings: tuple[BoxDrawing, ...] = ()
    files: tuple[str, ...] = ()
    without_entries: int = 0  # boxes that have nothing to punch
    not_proposed: tuple[Fix, ...] = ()  # rows that say why

    @property
    def failed(self) -> bool:
        """Whether a box that was drawn fails a check."""
        return any(drawing.outcome == "fail" for drawing in self.drawings)


def draw_models(
    out: Path,
    request: Request,
    *,
    guid: str | None = None,
    change: str = "",
    progress: Progress = silent,
) -> Drawn:
    """Draw the boxes of the models into `out`.

    Parameters
    ----------
    out : Path
        Folder for the drawings.
    request : Request
    guid : str or None
        GlobalId of the box; None: every box with entries.
    change : str
        One of ``SIZE_CHANGES``: each box that doesn't pass is drawn as so proposed, no other;
        empty: boxes as they are.
    progress : callable
        Told what is being done.

    Raises
    ------
    ModelcheckError
        If an input can't be used, no box has this GlobalId, or nothing can be written.
    """
    terms = Terms.of(request)
    project = open_project(request, terms, terms.schedule, progress=progress)
    cases = sorted(project.cases(), key=_place)
    entered = [case for case in cases if case.entries]
    if guid is not None:
        entered = chosen(
            cases,
            guid,
            names=lambda case: {case.enclosure.ref.guid},
            told=lambda case: f"{case.enclosure.ref.guid} ({case.enclosure.ref.name})",
            kind=("box", "boxes"),
            path=request.models[0],
        )
    system_of = {run.name: run.system for run in project.network.runs}
    progress("drawing")
    wanted, not_proposed = _wanted(entered, terms, change, system_of)
    names = {file.model: file.project_name for file in project.files}
    drawings = _drawings(wanted, terms, names)
    return Drawn(
        drawings=drawings,
        files=_written(out, drawings, request.inputs),
        without_entries=0 if guid else len(cases) - len(entered),
        not_proposed=not_proposed,
    )


def draw_by_hand(out: Path, path: Path, request: Request, *, change: str = "") -> Drawn:
    """Draw the boxes that BOX.toml at `path` describes into `out`.

    Parameters
    ----------
    out : Path
        Folder for the drawings.
    path : Path
    request : Request
        Without models.
    change : str
        As in `draw_models`.

    Raises
    ------
    ModelcheckError
        If an input can't be used or nothing can be written.
    """
    terms = Terms.of(request)
    wanted, not_proposed = _wanted(read_boxes(path), terms, change, {})
    drawings = _drawings(wanted, terms, {})
    files = _written(out, drawings, (path, *request.inputs))
    return Drawn(drawings=drawings, files=files, not_proposed=not_proposed)


def _place(case: BoxCase) -> tuple[str, str, int]:
    ref = case.enclosure.ref
    return (ref.model, ref.guid, ref.step_id)


def _wanted(
    cases: Sequence[BoxCase], terms: Terms, change: str, system_of: dict[str, str]
) -> tuple[Wanted, tuple[Fix, ...]]:
    """Boxes to draw with the row that proposes each; and the rows that propose nothing."""
    if not change:
        return [(case, None) for case in cases], ()
    means = means_of(terms.rulebook, terms.settings)
    wanted, told = [], []
    for case in cases:
        if not any(map(is_short, check_box(case, terms.rulebook, terms.settings))):
            continue
        systems = [system_of.get(entry.run, "") for entry in case.entries]
        proposed, fix = proposed_box(case, systems, means, change)
        if proposed is None:
            told.append(fix)
        else:
            wanted.append((proposed, fix))
    return wanted, tuple(told)


def _drawings(wanted: Wanted, terms: Terms, projects: dict[str, str]) -> tuple[BoxDrawing, ...]:
    drawings = []
    for number, (case, fix) in enumerate(wanted, start=1):
        findings = check_box(case, terms.rulebook, terms.settings)
        outcome = worst([finding.outcome for finding in findings])
        drawings.append(
            BoxDrawing(
                case=case,
                settings=terms.settings,
                project=projects.get(case.enclosure.ref.model, ""),
                outcome="none" if outcome is None else outcome.value,
                findings=findings,
                number=number,
                count=len(wanted),
                proposal=fix,
            )
        )
    return tuple(drawings)


def _written(out: Path, drawings: Sequence[BoxDrawing], inputs: Sequence[Path]) -> tuple[str, ...]:
    """Write the drawings, whole or not at all; nothing where there is none."""
    if not drawings:
        return ()
    names = drawing_names(drawings)
    with claimed(out) as claim:
        claim.refuse_inputs(names, inputs)
        write_drawings(drawings, claim.results)
        claim.put_in_place()
    return names
