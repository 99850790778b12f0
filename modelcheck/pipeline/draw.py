"""Shop drawings of boxes, of a model or described by hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from modelcheck.checks import check_box
from modelcheck.errors import InputFileError
from modelcheck.model.finding import worst
from modelcheck.model.pull import BoxCase
from modelcheck.pipeline.check import silent
from modelcheck.pipeline.project import Progress, open_project
from modelcheck.pipeline.request import Request, Terms
from modelcheck.read.box_toml import read_boxes
from modelcheck.write.drawing_files import drawing_names, write_drawings
from modelcheck.write.drawing_title import BoxDrawing
from modelcheck.write.output_dir import claimed

_TOLD = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What was drawn."""

    drawings: tuple[BoxDrawing, ...] = ()
    files: tuple[str, ...] = ()
    without_entries: int = 0  # boxes that have nothing to punch

    @property
    def failed(self) -> bool:
        """Whether a box that was drawn fails a check."""
        return any(drawing.outcome == "fail" for drawing in self.drawings)


def draw_models(
    out: Path, request: Request, *, guid: str | None = None, progress: Progress = silent
) -> Drawn:
    """Draw the boxes of the models into `out`.

    Parameters
    ----------
    out : Path
        Folder for the drawings.
    request : Request
    guid : str or None
        GlobalId of the box; None: every box with entries.
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
    chosen = _chosen(cases, guid, request.models)
    names = {file.model: file.project_name for file in project.files}
    drawings = _drawings(chosen, terms, names)
    progress("drawing")
    return Drawn(
        drawings=drawings,
        files=_written(out, drawings, request.inputs),
        without_entries=0 if guid else len(cases) - len(chosen),
    )


def draw_by_hand(out: Path, path: Path, request: Request) -> Drawn:
    """Draw the boxes that BOX.toml at `path` describes into `out`.

    Parameters
    ----------
    out : Path
        Folder for the drawings.
    path : Path
    request : Request
        Without models.

    Raises
    ------
    ModelcheckError
        If an input can't be used or nothing can be written.
    """
    terms = Terms.of(request)
    drawings = _drawings(read_boxes(path), terms, {})
    return Drawn(drawings=drawings, files=_written(out, drawings, (path, *request.inputs)))


def _place(case: BoxCase) -> tuple[str, str, int]:
    ref = case.enclosure.ref
    return (ref.model, ref.guid, ref.step_id)


def _chosen(cases: Sequence[BoxCase], guid: str | None, models: Sequence[Path]) -> list[BoxCase]:
    if guid is None:
        return [case for case in cases if case.entries]
    chosen = [case for case in cases if case.enclosure.ref.guid == guid]
    if not chosen:
        known = [f"{case.enclosure.ref.guid} ({case.enclosure.ref.name})" for case in cases]
        some = ", ".join(known[:_TOLD]) + (", ..." if len(known) > _TOLD else "")
        there = f"the boxes are {some}" if known else "there is no box in it"
        raise InputFileError(f"no box has the GlobalId {guid!r}: {there}", path=models[0])
    return chosen


def _drawings(
    cases: Sequence[BoxCase], terms: Terms, projects: dict[str, str]
) -> tuple[BoxDrawing, ...]:
    drawings = []
    for number, case in enumerate(cases, start=1):
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
                count=len(cases),
            )
        )
    return tuple(drawings)


def _written(out: Path, drawings: Sequence[BoxDrawing], inputs: Sequence[Path]) -> tuple[str, ...]:
    """Write the drawings, whole or not at all; nothing where there is none."""
    if not drawings:
        return ()
    names = drawing_names([drawing.ref for drawing in drawings])
    with claimed(out) as claim:
        claim.refuse_inputs(names, inputs)
        write_drawings(drawings, claim.results)
        claim.put_in_place()
    return names
