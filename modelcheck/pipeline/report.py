"""From a traced project to the whole report, its rows in the order of the tables."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from modelcheck.checks import (
    bend_limit_deg,
    check_box,
    check_loose_ends,
    check_run,
    why_no_row,
)
from modelcheck.model.finding import BOX_CHECKS, Finding, Outcome, governing
from modelcheck.model.pull import BoxCase
from modelcheck.model.report import BoxRow, EntryRow, InputFile, Report, RunRow
from modelcheck.model.run import Run
from modelcheck.model.settings import Settings
from modelcheck.pipeline.alike import Alike
from modelcheck.pipeline.precision import with_precision
from modelcheck.pipeline.project import Project
from modelcheck.read.precision import precision_m
from modelcheck.rules.bends import bend_total_deg
from modelcheck.rules.catalogue import RuleBook
from modelcheck.rules.tables import UNCHECKED


def report_of(project: Project, rulebook: RuleBook, *, workers: int = 1) -> Report:
    """Check every box, run and loose end of `project`; processes share the boxes."""
    settings, network = project.settings, project.network
    cases = sorted(project.cases(), key=_box_place)
    boxes = Alike(lambda case, _: check_box(case, rulebook, settings))
    rows = boxes.rows([(case, ()) for case in cases], workers=workers)
    of_boxes = {case.enclosure.ref.key: own for case, own in zip(cases, rows, strict=True)}
    of_runs = {
        run.name: check_run(run, project.pulls_of(run), rulebook, settings) for run in network.runs
    }
    of_ends = check_loose_ends(network.loose_ends, rulebook, settings)
    groups = (*of_boxes.values(), *of_runs.values(), of_ends)
    numbers = numbered([each for group in groups for each in group], _in_two_files(project))
    drawn_to = {file.model: precision_m(file.handle) for file in project.files}
    findings = tuple(with_precision(each, drawn_to[each.subject.model]) for each in numbers)
    return Report(
        inputs=tuple(
            InputFile(
                model=each.model,
                path=str(each.path.absolute()),
                sha256=each.sha256,
                schema=each.schema,
                project=each.project_name,
                dated=each.dated,
                project_guid=each.project_guid,
            )
            for each in project.files
        ),
        settings=settings,
        findings=findings,
        runs=_run_rows(network.runs, of_runs, rulebook, settings),
        boxes=_box_rows(cases, of_boxes, settings),
        cases=tuple(cases),
        entries=_entry_rows(project),
        not_understood=tuple(
            sorted(
                project.elements.not_understood,
                key=lambda each: (each.ref.model, each.ref.guid, each.ref.step_id, each.reason),
            )
        ),
        unchecked_figures=_unchecked(findings),
        notes=_notes(project),
    )


def numbered(findings: Iterable[Finding], in_two_files: set[str]) -> tuple[Finding, ...]:
    """Sort `findings` as the table wants it and give each an id of its own.

    Parameters
    ----------
    findings : iterable of Finding
    in_two_files : set of str
        GlobalIds that occur in more than one file.
    """
    ordered = []
    seen: Counter[str] = Counter()
    for finding in sorted(findings, key=_place):
        told = finding
        if not in_two_files.isdisjoint((finding.subject.guid, *finding.element_guids)):
            told = replace(finding, file=finding.subject.model)
        own_id = told.id
        seen[own_id] += 1
        serial = seen[own_id]
        ordered.append(told if serial == told.serial else replace(told, serial=serial))
    return tuple(ordered)


def _place(finding: Finding) -> tuple[object, ...]:
    """Model, check, subject, elements; then what doesn't hang on the order of the file."""
    return (
        finding.subject.model,
        finding.check,
        finding.subject.guid,
        ";".join(finding.element_guids),
        finding.at,
        finding.working,
        finding.message,
    )


def _in_two_files(project: Project) -> set[str]:
    models: dict[str, set[str]] = defaultdict(set)
    elements = project.elements
    conduits = (conduit.ref for conduit in elements.conduits)
    for ref in (*conduits, *(box.ref for box in elements.enclosures)):
        models[ref.guid].add(ref.model)
    return {guid for guid, own in models.items() if len(own) > 1}


def run_row(
    run: Run, findings: Sequence[Finding], rulebook: RuleBook, settings: Settings
) -> RunRow:
    """Row of one run; its outcome is that of its bends."""
    bends = [each for each in findings if each.check == "bends-between-pull-points"]
    return RunRow(
        run=run,
        limit_deg=bend_limit_deg(run, rulebook, settings),
        bend_total_deg=bend_total_deg(run, allowance_deg=settings.rules.bend_allowance_deg),
        outcome=str(bends[0].outcome) if bends else "none",
    )


def _run_rows(
    runs: Sequence[Run],
    findings: Mapping[str, Sequence[Finding]],
    rulebook: RuleBook,
    settings: Settings,
) -> tuple[RunRow, ...]:
    rows = [run_row(run, findings[run.name], rulebook, settings) for run in runs]
    return tuple(
        sorted(
            rows,
            key=lambda row: (row.run.elements[0].model, *(ref.guid for ref in row.run.elements)),
        )
    )


def _box_rows(
    cases: Sequence[BoxCase],
    findings: Mapping[tuple[str, int], Sequence[Finding]],
    settings: Settings,
) -> tuple[BoxRow, ...]:
    rows = []
    for case in cases:
        own = [each for each in findings[case.enclosure.ref.key] if each.check in BOX_CHECKS]
        worst = governing(own)
        message = why_no_row(case, settings) if worst is None else worst.message
        rows.append(
            BoxRow(
                enclosure=case.enclosure,
                entry_count=len(case.entries),
                outcome="none" if worst is None else str(worst.outcome),
                message="" if worst and worst.outcome is Outcome.PASS else message,
            )
        )
    return tuple(rows)


def _box_place(case: BoxCase) -> tuple[object, ...]:
    box = case.enclosure
    return (box.ref.model, box.ref.guid, box.origin)


def _entry_rows(project: Project) -> tuple[EntryRow, ...]:
    rows = [
        EntryRow(entry=entry, carries=project.carried.entry_pulls.get(number, ()))
        for number, entry in enumerate(project.network.entries)
    ]
    return tuple(
        sorted(
            rows,
            key=lambda row: (
                row.entry.box.model,
                row.entry.box.guid,
                row.entry.conduit.guid,
                row.entry.wall,
                row.entry.at,
            ),
        )
    )


def _unchecked(findings: Iterable[Finding]) -> tuple[str, ...]:
    """Figures of the assumptions that were not read in a source."""
    told = {text for each in findings for text in each.assumptions if text.startswith(UNCHECKED)}
    return tuple(sorted(text.removeprefix(UNCHECKED).lstrip(": ") for text in told))


def _notes(project: Project) -> tuple[str, ...]:
    notes = [*project.elements.notes, *project.network.assumptions]
    if project.schedule and project.schedule.unread_columns:
        columns = ", ".join(project.schedule.unread_columns)
        notes.append(f"{project.schedule.path.name}: nothing reads the columns {columns}")
    return tuple(notes)
