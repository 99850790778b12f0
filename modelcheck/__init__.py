"""Checks conduit runs and pull boxes of IFC models against the minimums of the electrical codes.

The command does no more than these two, which is what a notebook or a script calls::

    report = modelcheck.check("plant.ifc", code="nec", pulls="PULLS.csv")
    modelcheck.write_results(report, "results")

It aids a review: the adopted local code and the authority having jurisdiction govern, and a
licensed person decides.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from os import PathLike
from pathlib import Path
from typing import Literal

from modelcheck.errors import ModelcheckError
from modelcheck.model.report import Report
from modelcheck.model.settings import Options
from modelcheck.model.wanted import Wanted

__version__ = "0.1.0"
__all__ = ["ModelcheckError", "Report", "check", "write_results"]

AnyPath = str | PathLike[str]


def check(
    models: AnyPath | Iterable[AnyPath],
    *,
    code: Literal["cec", "nec"] | None = None,
    edition: str | int | None = None,
    basis: Literal["metric", "inch"] | None = None,
    units: Literal["mm", "in"] | None = None,
    pulls: AnyPath | None = None,
    settings: AnyPath | None = None,
    size_all_boxes: bool = False,
    since: AnyPath | None = None,
    on: date | None = None,
) -> Report:
    """Check the conduit runs and boxes of models that are one project; nothing is written.

    Parameters
    ----------
    models : path or iterable of paths
        IFC models; a run may cross from one into another.
    code, edition, basis, units : optional
        As the options of the command; what isn't given the settings say, else the code's defaults.
    pulls : path, optional
        Pull schedule.
    settings : path, optional
        Everything else that can be set.
    size_all_boxes : bool
        Propose sizes for boxes that pass too.
    since : path, optional
        Folder of earlier results, to say what changed.
    on : date, optional
        Day on which accepted exceptions are asked to hold; today if not given.

    Returns
    -------
    Report
        Plain records, lengths in metres; no model is kept open.

    Raises
    ------
    ModelcheckError
        In one sentence, if an input can't be used.
    """
    from modelcheck.pipeline import check as pipeline  # noqa: PLC0415 - ifcopenshell loads slowly
    from modelcheck.pipeline.request import Request  # noqa: PLC0415

    paths = [models] if isinstance(models, str | PathLike) else models
    request = Request(
        models=[Path(path) for path in paths],
        options=Options(
            code=code,
            edition=None if edition is None else str(edition),
            basis=basis,
            units=units,
        ),
        pulls=None if pulls is None else Path(pulls),
        settings=None if settings is None else Path(settings),
        size_all_boxes=size_all_boxes,
        since=None if since is None else Path(since),
        on=on,
    )
    return pipeline.check(request)


def write_results(
    report: Report,
    out: AnyPath,
    *,
    bcf: Literal["2.1", "3.0"] = "2.1",
    bcf_undecided: bool = False,
    pdf: bool = False,
) -> tuple[Path, ...]:
    """Write everything that the command writes of a check to a folder, whole or not at all.

    Parameters
    ----------
    report : Report
        Of `check`; its models must lie where they were, unchanged.
    out : path
        Folder for the results; other files in it stay.
    bcf : {"2.1", "3.0"}
        Version of ``findings.bcf``.
    bcf_undecided : bool
        Topics in it of what needs input too.
    pdf : bool
        Write ``report.pdf`` too.

    Returns
    -------
    tuple of Path
        The files.

    Raises
    ------
    ModelcheckError
        In one sentence, if a model was changed or the results can't be written.
    """
    from modelcheck.pipeline import check as pipeline  # noqa: PLC0415 - ifcopenshell loads slowly

    wanted = Wanted(bcf=bcf, bcf_undecided=bcf_undecided, pdf=pdf)
    names = pipeline.write_report(report, Path(out), wanted=wanted)
    return tuple(Path(out) / name for name in names)
