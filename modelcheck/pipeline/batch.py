"""Many projects, one folder of results each; what is finished is not done again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

from modelcheck import __version__
from modelcheck.errors import InputFileError, ModelcheckError, OutputError
from modelcheck.model.batch import BatchRow, BatchTask
from modelcheck.model.settings import Options
from modelcheck.model.wanted import Wanted
from modelcheck.pipeline import places
from modelcheck.pipeline.batch_workers import run_here
from modelcheck.pipeline.request import Request, Terms
from modelcheck.write.batch_table import BATCH, batch_text
from modelcheck.write.terminal import natural

PULLS, SETTINGS, MODELS = "PULLS.csv", "SETTINGS.toml", (".ifc", ".ifczip")
Counted = Callable[[int, int], None]  # told how many of how many projects are done


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchRequest:
    """What is to be checked, where the results go, and by whom."""

    folder: str  # path or URL
    out: str
    options: Options = field(default_factory=Options)
    settings: Path | None = None  # of projects that have none of their own
    size_all_boxes: bool = False
    wanted: Wanted = field(default_factory=Wanted)
    on: date | None = None  # on which acceptances are asked to hold; None: today
    workers: int = 1
    scheduler: str = ""  # address; empty: processes of this machine


def check_batch(request: BatchRequest, *, counted: Counted) -> tuple[BatchRow, ...]:
    """Check every project of a folder and write ``batch.csv``; a broken one is told in its row.

    Parameters
    ----------
    request : BatchRequest
    counted : callable
        Told how many of how many projects are done.

    Returns
    -------
    tuple of BatchRow
        By name of the project.

    Raises
    ------
    ModelcheckError
        If the batch can't be begun, or its table can't be written.
    """
    _refuse_wrong_options(request)
    if request.scheduler:
        request = _from_everywhere(request)
    tasks = projects_of(request)
    rows = []
    counted(0, len(tasks))
    with places.held(request.out):
        for row in _run(request, sorted(tasks, key=_largest_first)):
            rows.append(row)
            counted(len(rows), len(tasks))
        rows.sort(key=lambda row: (natural(row.project), row.project))
        text = batch_text(rows).encode("utf-8", errors="replace")
        places.write_whole(places.inside(request.out, BATCH), text)
    return tuple(rows)


def _largest_first(task: BatchTask) -> tuple[int, str]:
    return -task.model_bytes, task.project


def _refuse_wrong_options(request: BatchRequest) -> None:
    """Refuse at once what would break every project."""
    Terms.of(Request(models=(), options=request.options, settings=request.settings))


def _from_everywhere(request: BatchRequest) -> BatchRequest:
    """Name files so that workers that stand elsewhere find them."""
    return replace(
        request,
        folder=places.absolute(request.folder),
        out=places.absolute(request.out),
        settings=request.settings and request.settings.absolute(),
    )


def _run(request: BatchRequest, tasks: Sequence[BatchTask]) -> Iterator[BatchRow]:
    if not request.scheduler:
        return run_here(tasks, workers=request.workers)
    try:
        from modelcheck.pipeline.cluster import run_on_cluster  # noqa: PLC0415 - an extra
    except ModuleNotFoundError:
        raise ModelcheckError(
            "a scheduler needs the extra modelcheck[cluster]; run pip install '.[cluster]' where "
            "this program was installed from"
        ) from None
    return run_on_cluster(tasks, scheduler=request.scheduler)


def projects_of(request: BatchRequest) -> tuple[BatchTask, ...]:
    """Find the projects of a folder: each model in it, and each folder in it that holds models.

    Parameters
    ----------
    request : BatchRequest

    Raises
    ------
    ModelcheckError
        If the folder can't be listed, holds no project, or is that of the results.
    """
    if _is_same(request.folder, request.out):
        raise OutputError(f"{request.out}: the models are there; choose another folder with --out")
    found = places.entries(request.folder)
    tasks = [
        *_single_models(request, found),
        *(
            task
            for each in found
            if each.is_folder and not each.name.startswith(".")
            if (task := _folder_task(request, each.name))
        ),
    ]
    if not tasks:
        raise InputFileError(
            f"no model ({', '.join(MODELS)}) is there, nor a folder with one", path=request.folder
        )
    return tuple(tasks)


def _single_models(request: BatchRequest, found: Sequence[places.Entry]) -> Iterator[BatchTask]:
    """Give projects of one model, called by it without its ending unless another is called so."""
    models = [each for each in found if _is_model(each)]
    stems = {each.name: Path(each.name).stem for each in models}
    folders = [each.name for each in found if each.is_folder]
    taken = Counter(name.casefold() for name in (*stems, *stems.values(), *folders))
    for each in models:
        stem = stems[each.name]
        name = stem if taken[stem.casefold()] == 1 else each.name
        yield _task(request, name, request.folder, [each])


def _folder_task(request: BatchRequest, name: str) -> BatchTask | None:
    """Project of a folder; None if it holds no model, or the results."""
    folder = places.inside(request.folder, name)
    if _is_same(folder, request.out):
        return None
    found = places.entries(folder)
    models = [each for each in found if _is_model(each)]
    beside = {each.name: places.inside(folder, each.name) for each in found if not each.is_folder}
    return _task(request, name, folder, models, beside) if models else None


def _task(
    request: BatchRequest,
    name: str,
    folder: str,
    models: Sequence[places.Entry],
    beside: dict[str, str] | None = None,
) -> BatchTask:
    beside = beside or {}
    return BatchTask(
        project=name,
        models=tuple(places.inside(folder, each.name) for each in models),
        out=places.inside(request.out, name),
        version=__version__,
        pulls=beside.get(PULLS, ""),
        settings=beside.get(SETTINGS, str(request.settings or "")),
        options=request.options,
        size_all_boxes=request.size_all_boxes,
        wanted=request.wanted,
        on=Request(models=(), on=request.on).day,  # the same for all workers
        model_bytes=sum(each.size_bytes for each in models),
    )


def _is_model(entry: places.Entry) -> bool:
    is_named = entry.name.lower().endswith(MODELS) and not entry.name.startswith(".")
    return is_named and not entry.is_folder


def _is_same(one: str, other: str) -> bool:
    if places.is_url(one) or places.is_url(other):
        return one.rstrip("/") == other.rstrip("/")
    return Path(one).resolve() == Path(other).resolve()
