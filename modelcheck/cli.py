"""The commands: parse, call, exit status; nothing else."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import click

from modelcheck import __version__
from modelcheck.command import (
    A_FILE,
    MODELS,
    ON,
    PROPOSED,
    SETTINGS,
    SIZE_ALL,
    STRICT,
    WORKERS,
    Exit,
    OneSentence,
    results_options,
    rule_options,
)
from modelcheck.model.settings import Options
from modelcheck.model.wanted import Wanted


@click.group(cls=OneSentence, invoke_without_command=True)
@click.version_option(__version__, message="modelcheck %(version)s")
@click.pass_context
def main(context: click.Context) -> None:
    """Check conduit runs and pull boxes of IFC models against the minimums of the codes.

    An aid to review: the adopted local code and the authority having jurisdiction govern, and a
    licensed person decides.
    """
    if context.invoked_subcommand is None:
        click.echo(context.get_help())


@main.command()
@MODELS
@click.option("--out", required=True, type=A_FILE, help="Folder for the results.")
@rule_options
@click.option("--pulls", type=A_FILE, help="Pull schedule (PULLS.csv).")
@STRICT
@SIZE_ALL
@results_options
@click.option("--since", type=A_FILE, metavar="OLD_DIR", help="Say what changed since then.")
@ON
@WORKERS
def check(
    *,
    models: Sequence[Path],
    out: Path,
    options: Options,
    strict: bool,
    size_all: bool,
    wanted: Wanted,
    pulls: Path | None,
    settings: Path | None,
    since: Path | None,
    on: datetime | None,
    workers: int | None,
) -> Exit:
    """Check every box and run of the models and write the results to a folder.

    Exit status: 0 every check passed or needs input, 1 at least one failed (with --strict: or
    needs input), 2 it could not run.
    """
    from modelcheck.pipeline.check import check_to  # ifcopenshell loads slowly: not for --help
    from modelcheck.pipeline.request import Request
    from modelcheck.write.progress import progress_on

    request = Request(
        models=models,
        options=replace(options, strict=strict),
        pulls=pulls,
        settings=settings,
        size_all_boxes=size_all,
        wanted=wanted,
        since=since,
        on=on.date() if on else None,
        workers=workers or os.cpu_count() or 1,
    )
    with progress_on(sys.stderr) as progress:
        report, names = check_to(out, request, progress=progress)
    from modelcheck.write.console import print_report
    from modelcheck.write.terminal import console_on

    print_report(console_on(sys.stdout), report, folder=out, files=names)
    outcomes = {str(finding.outcome) for finding in report.findings}
    bad = {"fail", "needs-input"} if report.settings.strict else {"fail"}
    return Exit.FAILED_CHECKS if outcomes & bad else Exit.CLEAN


@main.command()
@click.argument("old", type=A_FILE, metavar="OLD_DIR")
@click.argument("new", type=A_FILE, metavar="NEW_DIR")
@click.option("--out", type=A_FILE, help="Folder for changes.csv.")
def compare(old: Path, new: Path, *, out: Path | None) -> Exit:
    """Compare the results of two checks: what is new, gone, still open, and why.

    Exit status: 1 if something fails that didn't fail before.
    """
    from modelcheck.pipeline.compare import compare_folders
    from modelcheck.write.changes_table import CHANGES, print_changes
    from modelcheck.write.terminal import console_on, long_text, say
    from modelcheck.write.words import WRITTEN

    changes = compare_folders(old, new, out)
    console = console_on(sys.stdout)
    print_changes(console, changes)
    if out is not None:
        say(console, WRITTEN.format(folder=long_text(str(out)), files=CHANGES))
    return Exit.FAILED_CHECKS if changes.new_fails else Exit.CLEAN


@main.command()
@click.argument("folder")
@click.option("--out", required=True, help="Folder for the results; like FOLDER also a URL.")
@rule_options
@STRICT
@SIZE_ALL
@results_options
@ON
@WORKERS
@click.option("--scheduler", metavar="ADDRESS", help="Dask scheduler that has its own workers.")
def batch(
    *,
    folder: str,
    out: str,
    options: Options,
    settings: Path | None,
    strict: bool,
    size_all: bool,
    wanted: Wanted,
    on: datetime | None,
    workers: int | None,
    scheduler: str | None,
) -> Exit:
    """Check every model in a folder, and every folder in it as one project.

    What an earlier batch finished is not done again. Exit status: 1 also if a project could not
    be checked.
    """
    from modelcheck.pipeline.batch import BatchRequest, check_batch
    from modelcheck.write.batch_table import print_batch
    from modelcheck.write.progress import counting_on
    from modelcheck.write.terminal import console_on

    if workers and scheduler:
        raise click.UsageError("give either --workers or --scheduler, which has its own")
    request = BatchRequest(
        folder=folder,
        out=out,
        options=replace(options, strict=strict),
        settings=settings,
        size_all_boxes=size_all,
        wanted=wanted,
        on=on.date() if on else None,
        workers=workers or os.cpu_count() or 1,
        scheduler=scheduler or "",
    )
    try:
        with counting_on(sys.stderr, "projects") as counted:
            rows = check_batch(request, counted=counted)
    except KeyboardInterrupt:
        raise click.ClickException("interrupted: what was finished stays, run it again") from None
    print_batch(console_on(sys.stdout), rows, out=out)
    return Exit.CLEAN if all(row.is_sound for row in rows) else Exit.FAILED_CHECKS


@main.command()
@MODELS
@SETTINGS
@WORKERS
def runs(models: Sequence[Path], settings: Path | None, workers: int | None) -> Exit:
    """Print the runs that the models hold, as a table."""
    from modelcheck.pipeline.check import traced_runs
    from modelcheck.pipeline.request import Request
    from modelcheck.write.console import print_runs
    from modelcheck.write.progress import progress_on
    from modelcheck.write.terminal import console_on

    request = Request(models=models, settings=settings, workers=workers or os.cpu_count() or 1)
    with progress_on(sys.stderr) as progress:
        rows = traced_runs(request, progress=progress)
    print_runs(console_on(sys.stdout), rows)
    return Exit.CLEAN


@main.command()
@MODELS
@SETTINGS
@click.option("--out", type=A_FILE, help="Folder for elements.csv, every element one row.")
@WORKERS
def read(
    models: Sequence[Path], settings: Path | None, out: Path | None, workers: int | None
) -> Exit:
    """Print what the elements of the models were taken for, and what was not understood."""
    from modelcheck.pipeline.recognition import read_models, read_models_to
    from modelcheck.pipeline.request import Request
    from modelcheck.write.progress import progress_on
    from modelcheck.write.recognition_text import print_elements
    from modelcheck.write.terminal import console_on

    request = Request(models=models, settings=settings, workers=workers or os.cpu_count() or 1)
    with progress_on(sys.stderr) as progress:
        if out is None:
            rows = read_models(request, progress=progress)
        else:
            rows = read_models_to(out, request, progress=progress)
    print_elements(console_on(sys.stdout), rows, folder=out)
    return Exit.CLEAN


@main.command()
@MODELS
@SETTINGS
@click.option("--out", required=True, type=A_FILE, help="File to write (PULLS.csv).")
def pulls(models: Sequence[Path], settings: Path | None, out: Path) -> Exit:
    """Draft a pull schedule: the likeliest pairing, for a person to correct and feed back."""
    from modelcheck.pipeline.drafts import draft_to
    from modelcheck.pipeline.request import Request
    from modelcheck.write.progress import progress_on
    from modelcheck.write.pulls_draft import print_draft
    from modelcheck.write.terminal import console_on

    with progress_on(sys.stderr) as progress:
        draft = draft_to(out, Request(models=models, settings=settings), progress=progress)
    print_draft(console_on(sys.stdout), len(draft.rows), draft.left_out, out)
    return Exit.CLEAN


@main.command()
@click.argument("box", type=A_FILE, metavar="BOX.toml")
@rule_options
@click.option("--json", "as_json", is_flag=True, help="Print the rows as JSON.")
@click.option("--draw", type=A_FILE, metavar="DIR", help="Draw the boxes into this folder.")
@PROPOSED
def size(
    *,
    box: Path,
    options: Options,
    settings: Path | None,
    as_json: bool,
    draw: Path | None,
    proposed: str | None,
) -> Exit:
    """Work boxes that are described by hand, with the steps shown."""
    from modelcheck.pipeline.by_hand import sized_boxes
    from modelcheck.pipeline.request import Request
    from modelcheck.write.size_text import boxes_json, print_boxes
    from modelcheck.write.terminal import console_on

    if proposed and draw is None:
        raise click.UsageError("--proposed needs --draw with a folder")
    request = Request(models=(), options=options, settings=settings)
    boxes = sized_boxes(box, request)
    if draw is not None:
        from modelcheck.pipeline.draw import draw_by_hand
        from modelcheck.write.drawing_text import print_not_proposed

        drawn = draw_by_hand(draw, box, request, change=(proposed or "").replace("-", " "))
        print_not_proposed(console_on(sys.stderr), drawn.not_proposed)
    if as_json:
        click.echo(boxes_json(boxes))
    else:
        print_boxes(console_on(sys.stdout), boxes)
    return Exit.FAILED_CHECKS if any(each.outcome == "fail" for each in boxes) else Exit.CLEAN


@main.command()
@MODELS
@click.option("--box", metavar="GUID", help="GlobalId of the box to draw.")
@click.option("--all", "of_all", is_flag=True, help="Draw every box that has entries.")
@click.option("--out", required=True, type=A_FILE, help="Folder for the drawings.")
@rule_options
@click.option("--pulls", type=A_FILE, help="Pull schedule (PULLS.csv).")
@PROPOSED
def draw(
    *,
    models: Sequence[Path],
    box: str | None,
    of_all: bool,
    out: Path,
    options: Options,
    settings: Path | None,
    pulls: Path | None,
    proposed: str | None,
) -> Exit:
    """Draw boxes for the shop, each wall seen from outside, as SVG, PDF, DXF and a cut list.

    Exit status: 1 if a box that was drawn fails a check.
    """
    from modelcheck.pipeline.draw import draw_models
    from modelcheck.pipeline.request import Request
    from modelcheck.write.drawing_text import print_drawn
    from modelcheck.write.progress import progress_on
    from modelcheck.write.terminal import console_on

    if of_all == (box is not None):
        raise click.UsageError("give either --box with a GlobalId or --all")
    request = Request(models=models, options=options, pulls=pulls, settings=settings)
    with progress_on(sys.stderr) as progress:
        change = (proposed or "").replace("-", " ")
        drawn = draw_models(out, request, guid=box, change=change, progress=progress)
    print_drawn(
        console_on(sys.stdout),
        drawn.drawings,
        drawn.files,
        out,
        skipped=drawn.without_entries,
        not_proposed=drawn.not_proposed,
    )
    return Exit.FAILED_CHECKS if drawn.failed else Exit.CLEAN


@main.command()
@MODELS
@click.option("--run", metavar="RUN", help="Name of the run, or the GlobalId of a part of it.")
@click.option("--all", "of_all", is_flag=True, help="A sheet for every run.")
@click.option("--out", required=True, type=A_FILE, help="Folder for the sheets.")
@SETTINGS
def bends(
    models: Sequence[Path],
    *,
    run: str | None,
    of_all: bool,
    out: Path,
    settings: Path | None,
) -> Exit:
    """Write how the pieces of runs are cut and bent, as tables and drawn sheets."""
    from modelcheck.pipeline.bends import bend_models
    from modelcheck.pipeline.request import Request
    from modelcheck.write.bend_text import print_bent
    from modelcheck.write.progress import progress_on
    from modelcheck.write.terminal import console_on

    if of_all == (run is not None):
        raise click.UsageError("give either --run with a name or --all")
    request = Request(models=models, settings=settings)
    with progress_on(sys.stderr) as progress:
        bent = bend_models(out, request, run=run, progress=progress)
    print_bent(console_on(sys.stdout), bent.sheets, bent.files, out)
    return Exit.CLEAN


@main.command()
@click.option("--seed", required=True, type=int, help="The same number gives the same boxes.")
@click.option("--count", required=True, type=click.IntRange(1, 200), help="How many boxes.")
@click.option("--out", required=True, type=A_FILE, help="Folder for the sheets.")
@rule_options
def practice(*, seed: int, count: int, out: Path, options: Options, settings: Path | None) -> Exit:
    """Write boxes to practise on, easy to hard, and their worked answers apart."""
    from modelcheck.pipeline.practice import make_practice
    from modelcheck.pipeline.request import Request
    from modelcheck.write.terminal import console_on, long_text, say
    from modelcheck.write.words import CAUTIONS, WRITTEN

    request = Request(models=(), options=options, settings=settings)
    files = make_practice(out, request, seed=seed, count=count)
    console = console_on(sys.stdout)
    for text in (WRITTEN.format(folder=long_text(str(out)), files=", ".join(files)), *CAUTIONS):
        say(console, text)
    return Exit.CLEAN


@main.command()
@click.argument("check_name", required=False, metavar="[CHECK]")
def rules(check_name: str | None) -> Exit:
    """Explain every check, or one: its clause, its edition, its source."""
    from modelcheck.checks import check_names, explain
    from modelcheck.write.rules_text import print_check, print_checks
    from modelcheck.write.terminal import console_on

    if check_name:
        print_check(console_on(sys.stdout), explain(check_name))
    else:
        print_checks(console_on(sys.stdout), [explain(name) for name in check_names()])
    return Exit.CLEAN


@main.command()
@click.option("--out", required=True, type=A_FILE, help="File to write (IDS 1.0).")
def requirements(out: Path) -> Exit:
    """Write what a model must contain for this check, as an IDS file for any IDS checker."""
    from modelcheck.write.requirements_file import write_requirements
    from modelcheck.write.terminal import console_on, long_text, say
    from modelcheck.write.words import REQUIREMENTS_WRITTEN

    write_requirements(out)
    say(console_on(sys.stdout), REQUIREMENTS_WRITTEN.format(file=long_text(str(out))))
    return Exit.CLEAN
