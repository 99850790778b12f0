"""The likeliest pairing of a project as a pull schedule that its own check accepts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from modelcheck.errors import AmbiguousReferenceError
from modelcheck.layout.draft_pulls import DraftPull, draft_pulls
from modelcheck.model.element import ElementRef
from modelcheck.model.pull import Conductors, ScheduleRow
from modelcheck.model.run import Run
from modelcheck.network.references import References
from modelcheck.network.routes import carry
from modelcheck.pipeline.project import Project, open_project
from modelcheck.pipeline.request import Progress, Request, Terms
from modelcheck.write.pulls_draft import write_draft


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """Rows of a schedule with the reason of each, and what could not be put into one."""

    rows: tuple[tuple[ScheduleRow, str], ...]
    left_out: tuple[str, ...] = ()


def draft_to(out: Path, request: Request, *, progress: Progress) -> Draft:
    """Draft the pull schedule of the models and write it to `out`, unless it has no row.

    Raises
    ------
    ModelcheckError
        If an input can't be used or the draft can't be written.
    """
    terms = Terms.of(request)
    project = open_project(request, terms, None, progress=progress)
    progress("pairing entries")
    draft = draft_of(project)
    if draft.rows:
        write_draft(draft.rows, out)
    return draft


def draft_of(project: Project) -> Draft:
    """Draft the pull schedule of `project`; a route that would not be understood is left out."""
    names = _Names(project)
    rows: list[tuple[ScheduleRow, str]] = []
    left_out: list[str] = []
    for number, pull in enumerate(draft_pulls(project.cases(), project.network.runs), start=1):
        row = names.row(pull, name=f"P{number:03d}", line=len(rows) + 2)
        problem = names.problem(row)
        if problem:
            left_out.append(f"{row.pull} ({';'.join(row.route)}): {problem}")
        else:
            rows.append((row, "; ".join(pull.because)))
    return Draft(rows=tuple(rows), left_out=tuple(left_out))


class _Names:
    """Texts that name the runs and boxes of a project in a route."""

    def __init__(self, project: Project) -> None:
        elements = project.elements
        self._project = project
        self._references = References(
            project.network, elements.conduits, elements.enclosures, path="draft"
        )

    def row(self, pull: DraftPull, *, name: str, line: int) -> ScheduleRow:
        """Row of one pull, its conductors left open."""
        route = [self._run(pull.runs[0])]
        for box, run in zip(pull.boxes, pull.runs[1:], strict=True):
            route += [self._best([box]), self._run(run)]
        return ScheduleRow(
            line=line, pull=name, conductors=Conductors(), route=tuple(route), system=pull.system
        )

    def problem(self, row: ScheduleRow) -> str:
        """Why the check would refuse `row`; empty if it wouldn't."""
        elements = self._project.elements
        try:
            carry([row], "draft", self._project.network, elements.conduits, elements.enclosures)
        except AmbiguousReferenceError as error:
            return str(error)
        return ""

    def _run(self, run: Run) -> str:
        return self._best([*_own_elements(run, self._project.network.runs), *run.elements])

    def _best(self, refs: Sequence[ElementRef]) -> str:
        """Return the first GlobalId, else Tag or Name, that names just one of `refs`."""
        for ref in refs:
            for text in (ref.guid, ref.tag.strip(), ref.name.strip()):
                found = self._references.found(text) if text and ";" not in text else {}
                if list(found) == [ref.key]:
                    return text
        return refs[0].guid


def _own_elements(run: Run, runs: Sequence[Run]) -> list[ElementRef]:
    """Elements of `run` that no other run has."""
    others = {ref.key for each in runs if each.name != run.name for ref in each.elements}
    return [ref for ref in run.elements if ref.key not in others]
