"""What all commands share: exit status, errors in one sentence, options."""

from __future__ import annotations

import sys
from collections.abc import Callable
from enum import IntEnum
from functools import wraps
from io import TextIOWrapper
from pathlib import Path
from typing import Any, NoReturn

import click

from modelcheck.errors import ModelcheckError
from modelcheck.model.fix import SIZE_CHANGES
from modelcheck.model.settings import Options
from modelcheck.model.wanted import BCF_VERSIONS, Wanted


class Exit(IntEnum):
    """Exit status."""

    CLEAN = 0
    FAILED_CHECKS = 1
    CANNOT_RUN = 2


class OneSentence(click.Group):
    """Commands whose every error is one plain sentence on stderr and exit status 2."""

    def main(self, *args: Any, **kwargs: Any) -> NoReturn:  # noqa: ANN401 - as click has it
        """Run the command that the arguments name, and exit."""
        if isinstance(sys.stdout, TextIOWrapper):
            sys.stdout.reconfigure(errors="replace")  # a name that the terminal has no letters for
        try:
            status = super().main(*args, **{**kwargs, "standalone_mode": False})
        except (ModelcheckError, click.ClickException) as error:
            told = error.format_message() if isinstance(error, click.ClickException) else str(error)
        except MemoryError:
            told = "this needs more memory than there is; check the models in parts: storeys, wings"
        except click.Abort:
            told = "interrupted: nothing was written"
        else:
            sys.exit(status or Exit.CLEAN)
        click.echo(_in_one_line(told), err=True)
        sys.exit(Exit.CANNOT_RUN)


def _in_one_line(text: str) -> str:
    """Make a sentence of `text` that a file name can't break up or steer a terminal with."""
    words = "".join(letter if letter.isprintable() else " " for letter in text).split()
    sentence = " ".join(words)
    return sentence if sentence.endswith((".", "?", "!")) else f"{sentence}."


A_FILE = click.Path(path_type=Path)
MODELS = click.argument("models", nargs=-1, required=True, type=A_FILE, metavar="MODEL.ifc ...")
PROPOSED = click.option(
    "--proposed",
    type=click.Choice([change.replace(" ", "-") for change in SIZE_CHANGES]),
    help="Draw each box that doesn't pass as fixes.csv proposes it, and no other.",
)
SETTINGS = click.option("--settings", type=A_FILE, help="Settings (SETTINGS.toml).")
STRICT = click.option("--strict", is_flag=True, help="Exit 1 also where a check needs input.")
SIZE_ALL = click.option("--size-all", is_flag=True, help="Propose sizes for boxes that pass too.")
ON = click.option(
    "--on",
    type=click.DateTime(["%Y-%m-%d"]),
    metavar="DATE",
    help="Day on which accepted exceptions must hold; today if not given.",
)

WORKERS = click.option(
    "--workers", type=click.IntRange(min=1), help="Processes; as many as cores if not given."
)


def rule_options(command: Callable[..., int]) -> Callable[..., int]:
    """Give a command the options that say which rules hold and how results are written.

    It takes them as one, `options`, and `settings` beside it.
    """

    @wraps(command)
    def told(**given: Any) -> int:  # noqa: ANN401 - what click gives
        names = ("code", "edition", "basis", "units")
        return command(options=Options(**{name: given.pop(name) for name in names}), **given)

    with_options: Callable[..., int] = told
    options = (
        click.option("--code", type=click.Choice(["cec", "nec"]), help="Code; cec if not given."),
        click.option("--edition", metavar="YEAR", help="Edition; 2024 (cec), 2023 (nec)."),
        click.option(
            "--basis",
            type=click.Choice(["metric", "inch"]),
            help="Name of a raceway size that the multipliers work on; metric (cec), inch (nec).",
        ),
        click.option(
            "--units",
            type=click.Choice(["mm", "in"]),
            help="Unit that results are written in; mm (cec), in (nec).",
        ),
        SETTINGS,
    )
    for option in reversed(options):
        with_options = option(with_options)
    return with_options


def results_options(command: Callable[..., int]) -> Callable[..., int]:
    """Give a command the options that say which results are written; it takes them as `wanted`."""

    @wraps(command)
    def told(**given: Any) -> int:  # noqa: ANN401 - what click gives
        names = ("bcf", "bcf_undecided", "pdf")
        return command(wanted=Wanted(**{name: given.pop(name) for name in names}), **given)

    with_options: Callable[..., int] = told
    options = (
        click.option(
            "--bcf",
            type=click.Choice(BCF_VERSIONS),
            default=Wanted().bcf,
            help="Version of findings.bcf; 2.1 if not given.",
        ),
        click.option("--bcf-undecided", is_flag=True, help="Topics in it of what needs input too."),
        click.option("--pdf", is_flag=True, help="Write report.pdf, for the record."),
    )
    for option in reversed(options):
        with_options = option(with_options)
    return with_options
