"""One project of a batch, from its files to its results: what a worker does."""

from __future__ import annotations

import json
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from modelcheck import __version__
from modelcheck.errors import ModelcheckError
from modelcheck.model.batch import BatchRow, BatchTask
from modelcheck.pipeline import places
from modelcheck.pipeline.check import check_to
from modelcheck.pipeline.request import Request
from modelcheck.write.output_dir import SUMMARY

Summary = dict[str, Any]


def check_project(task: BatchTask) -> BatchRow:
    """Check a project and write its results, unless that was done; a broken one is told in its row.

    Parameters
    ----------
    task : BatchTask
    """
    with TemporaryDirectory(prefix="modelcheck-") as folder:
        work = Path(folder)
        try:
            _refuse_other_version(task)
            return _checked(task, work)
        except ModelcheckError as error:
            return lost(task, _as_given(str(error), task, work))


def lost(task: BatchTask, why: str) -> BatchRow:
    """Row of a project that could not be checked."""
    return BatchRow(project=task.project, models=_names(task), broken=why)


def _checked(task: BatchTask, work: Path) -> BatchRow:
    request = _request(task, work)
    earlier = _summary(places.read(places.inside(task.out, SUMMARY)))
    if _is_finished(task, earlier, request):
        return _row(task, earlier, is_earlier=True)
    if not places.is_url(task.out):
        check_to(Path(task.out), request)
        return _row(task, _summary(Path(task.out, SUMMARY).read_bytes()))
    results = work / "results"
    check_to(results, request)
    new = _summary((results / SUMMARY).read_bytes())
    outdated = set(_untouched(task, earlier)) - set(new["files"])
    places.store(results, task.out, last=SUMMARY, outdated=sorted(outdated))
    return _row(task, new)


def _refuse_other_version(task: BatchTask) -> None:
    if task.version != __version__:
        raise ModelcheckError(
            f"the worker has modelcheck {__version__} and was asked for {task.version}; "
            "install the same on all machines"
        )


def _request(task: BatchTask, work: Path) -> Request:
    """Ask for the files of a project, those behind URLs as copies."""
    given = [path for path in (*task.models, task.pulls, task.settings) if path]
    local = {place: places.fetched(place, _copies(work, place, task)) for place in given}
    return Request(
        models=[local[place] for place in task.models],
        options=task.options,
        pulls=local.get(task.pulls),
        settings=local.get(task.settings),
        size_all_boxes=task.size_all_boxes,
        wanted=task.wanted,
        on=task.on,
    )


def _copies(work: Path, place: str, task: BatchTask) -> Path:
    """Folder for the copy of a file: settings for all projects may have a name of the project's."""
    return work / ("settings" if place == task.settings else "project")


def _as_given(message: str, task: BatchTask, work: Path) -> str:
    """Name in a message the files as they were given, not their copies."""
    for place in (*task.models, task.pulls, task.settings):
        if places.is_url(place):
            copy = _copies(work, place, task) / places.name_of(place)
            message = message.replace(str(copy), place)
    return message.replace(str(work / "results"), task.out)


def _is_finished(task: BatchTask, summary: Summary, request: Request) -> bool:
    """Whether these results rest on these inputs, options and version, and all are there."""
    digests = [places.digest_of(str(path)) for path in request.inputs]
    if not all(digests):
        return False  # the check says which input is missing
    is_asked = summary.get("asked_sha256") == request.key(digests)
    return is_asked and len(_untouched(task, summary)) == len(summary["files"])


def _untouched(task: BatchTask, summary: Summary) -> list[str]:
    """Names of the files that stand in the folder of results as they were written."""
    return [
        name
        for name, sha256 in summary.get("files", {}).items()
        if places.name_of(name) == name
        if places.digest_of(places.inside(task.out, name)) == sha256
    ]


def _summary(text: bytes | None) -> Summary:
    """Content of a summary of ours; empty if it is none."""
    try:
        content = json.loads(text or b"{}")
        is_ours = isinstance(content["files"], dict) and isinstance(content["counts"], dict)
    except (ValueError, KeyError, TypeError, RecursionError):
        return {}
    return dict(content) if is_ours else {}


def _row(task: BatchTask, summary: Summary, *, is_earlier: bool = False) -> BatchRow:
    counts = list(summary["counts"].values())
    return BatchRow(
        project=task.project,
        models=_names(task),
        passed=sum(each["pass"] for each in counts),
        failed=sum(each["fail"] for each in counts),
        needs_input=sum(each["needs-input"] for each in counts),
        is_strict=summary["settings"]["strict"],
        is_earlier=is_earlier,
    )


def _names(task: BatchTask) -> tuple[str, ...]:
    return tuple(places.name_of(model) for model in task.models)
