"""What a check came to, on the terminal: the worst first, each verdict by shape and word."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from pathlib import Path

from rich.console import Console
from rich.table import Table
from rich.text import Text

from modelcheck.model.element import RacewaySize
from modelcheck.model.finding import BOX_CHECKS, Finding, Outcome, governing
from modelcheck.model.report import Report, RunRow
from modelcheck.model.run import RunEnd
from modelcheck.write import words
from modelcheck.write.changes_table import print_changes
from modelcheck.write.csv_tables import BOXES, FINDINGS, RUNS, number
from modelcheck.write.finding_text import accepted_text
from modelcheck.write.plan_tables import plan_lines
from modelcheck.write.terminal import (
    MOST_ROWS,
    RANKS,
    amount,
    cut,
    long_text,
    named,
    natural,
    new_table,
    say,
    short_text,
    verdict,
)

_MOST_REASONS = 3


def print_report(console: Console, report: Report, *, folder: Path, files: Sequence[str]) -> None:
    """Print what a check came to, the worst first.

    Parameters
    ----------
    console : Console
    report : Report
    folder : Path
        Where the results are.
    files : sequence of str
        Their names.
    """
    _print_head(console, report)
    if report.nothing_to_check:
        say(console, words.NOTHING_TO_CHECK)
    if report.boxes:
        console.print(_boxes_table(console, report))
    if report.runs:
        console.print(_runs_table(console, report))
    _print_open_rows(console, report.findings)
    if report.findings:
        console.print(_counts_table(report))
    _print_acceptances(console, report)
    if report.changes:
        print_changes(console, report.changes)
    for line in plan_lines(report.plans):
        say(console, line)
    _print_foot(console, report)
    listed = ", ".join(files)
    say(console, words.WRITTEN.format(folder=long_text(str(folder)), files=long_text(listed)))


def _print_head(console: Console, report: Report) -> None:
    settings = report.settings
    head = words.HEAD.format(
        code=words.CODE_NAMES[settings.code],
        edition=settings.edition,
        basis=words.BASIS_NAMES[settings.basis],
        units=words.UNIT_NAMES[settings.units],
    )
    say(console, head, style="bold")
    for each in report.inputs:
        say(console, words.INPUT.format(model=short_text(each.model), schema=each.schema))


def _print_foot(console: Console, report: Report) -> None:
    if report.not_understood:
        reasons = Counter(
            f"{short_text(each.ref.ifc_class)}: {long_text(each.reason)}"
            for each in report.not_understood
        )
        told = [f"{count} x {reason}" for reason, count in reasons.most_common(_MOST_REASONS)]
        told += ["..."] * (len(reasons) > _MOST_REASONS)
        line = words.NOT_UNDERSTOOD.format(
            count=len(report.not_understood), reasons="; ".join(told)
        )
        say(console, line)
    for note in report.notes:
        say(console, long_text(note))
    if report.unchecked_figures:
        say(console, words.UNCHECKED_TITLE)
        for figure in report.unchecked_figures:
            say(console, long_text(figure), indent=2)
    for caution in words.CAUTIONS:
        say(console, caution)


def _boxes_table(console: Console, report: Report) -> Table:
    by_box: dict[tuple[str, int], list[Finding]] = defaultdict(list)
    for finding in report.findings:
        if finding.check in BOX_CHECKS:
            by_box[finding.subject.key].append(finding)
    table = new_table(words.BOXES_TITLE, words.BOX_COLUMNS)
    rows = sorted(
        report.boxes,
        key=lambda row: (RANKS.index(row.outcome), natural(row.enclosure.ref.name)),
    )
    for row in rows[:MOST_ROWS]:
        own = governing(by_box[row.enclosure.ref.key])
        table.add_row(
            verdict(console, row.outcome),
            named(row.enclosure.ref),
            str(row.entry_count),
            *(_deciding(own) if own else ("", "", "", long_text(row.message))),
        )
    return cut(table, len(rows), file=BOXES)


def _deciding(finding: Finding) -> tuple[str, str, str, str]:
    """Check, needed and present amount, and the working with its clause."""
    needs, has = amount(finding.required, finding.unit), amount(finding.provided, finding.unit)
    worked = f"{finding.working} ({finding.clause})" if finding.working else ""
    return finding.check, needs, has, long_text(worked)


def _runs_table(console: Console, report: Report) -> Table:
    bends = {
        (finding.subject.key, finding.elements): finding
        for finding in report.findings
        if finding.check == "bends-between-pull-points"
    }
    table = new_table(words.RUNS_TITLE, words.RUN_COLUMNS)
    rows = sorted(report.runs, key=lambda row: (RANKS.index(row.outcome), natural(row.run.name)))
    for row in rows[:MOST_ROWS]:
        own = bends.get((row.run.elements[0].key, row.run.elements))
        table.add_row(
            verdict(console, row.outcome),
            *_run_cells(row),
            *(_deciding(own)[1:] if own else ("", amount(row.bend_total_deg, "deg"), "")),
        )
    return cut(table, len(rows), file=RUNS)


def _run_place(row: RunRow) -> tuple[object, ...]:
    """Worst first, then by the names of the ends."""
    ends = (natural(_end(end)) for end in (row.run.start, row.run.end))
    return (RANKS.index(row.outcome), *ends, row.run.name)


def _run_cells(row: RunRow) -> tuple[str, str, str, str, str]:
    """Name of a run, its two ends, its raceway and length, as a person reads them."""
    run = row.run
    length = f"{number(run.length_m, 2)} m"
    return short_text(run.name), _end(run.start), _end(run.end), _size(run.size), length


def _end(end: RunEnd) -> str:
    return named(end.ref) if end.ref else end.kind


def _size(size: RacewaySize) -> str:
    if not size.known:
        return size.raceway_type or "?"
    return f"{size.raceway_type} {size.metric_designator} ({size.trade_size_in})".strip()


def _print_open_rows(console: Console, findings: Sequence[Finding]) -> None:
    """Print what to do about every row that doesn't pass."""
    rows = [finding for finding in findings if finding.outcome is not Outcome.PASS]
    if not rows:
        return
    say(console, words.OPEN_ROWS_TITLE, style="italic")
    rows.sort(key=lambda each: (-each.outcome.rank, natural(each.subject.name)))
    for each in rows[:MOST_ROWS]:
        head = Text.assemble("  ", verdict(console, each.outcome), f"  {named(each.subject)}, ")
        console.print(Text.assemble(head, f"{each.check}: {long_text(each.message)}"))
        if each.accepted:
            say(console, long_text(accepted_text(each.accepted)), indent=4)
    if len(rows) > MOST_ROWS:
        say(console, words.MORE_ROWS.format(count=len(rows) - MOST_ROWS, file=FINDINGS), indent=2)
    console.print()


def _print_acceptances(console: Console, report: Report) -> None:
    if report.accepted:
        say(console, words.ACCEPTED.format(count=len(report.accepted)))
    if report.stale_acceptances:
        say(console, words.STALE_TITLE)
        for text in report.stale_acceptances:
            say(console, long_text(text), indent=2)


def _counts_table(report: Report) -> Table:
    counts = Counter((finding.check, finding.outcome) for finding in report.findings)
    table = new_table(words.COUNTS_TITLE, words.COUNTS_COLUMNS)
    for check in sorted({check for check, _ in counts}):
        outcomes = (Outcome.FAIL, Outcome.NEEDS_INPUT, Outcome.PASS)
        table.add_row(check, *(str(counts[check, outcome]) for outcome in outcomes))
    return table


def print_runs(console: Console, rows: Sequence[RunRow]) -> None:
    """Print the traced runs, all of them."""
    if not rows:
        say(console, words.NO_RUNS)
        return
    table = new_table(words.RUNS_TITLE, words.TRACED_COLUMNS)
    for row in sorted(rows, key=lambda row: _run_place(row)[1:]):
        bends = f"{len(row.run.bends)}: {amount(row.bend_total_deg, 'deg')}"
        model = short_text(row.run.elements[0].model)
        table.add_row(*_run_cells(row), bends, str(len(row.run.elements)), model)
    console.print(table)
