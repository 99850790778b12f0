"""findings.bcf: what doesn't pass, as topics that any BCF reader takes up.

The same check gives the same bytes, and a later check of the same box or run the same GUIDs, so
that a team's tool renews its topics instead of doubling them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import datetime
from hashlib import sha256
from itertools import chain
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from modelcheck.model.report import InputFile, Report
from modelcheck.write.bcf_camera import Camera, corners, cover_side, looking_at
from modelcheck.write.bcf_picture import picture
from modelcheck.write.bcf_text import (
    comment,
    description,
    labels,
    title,
    topic_status,
    topic_type,
)
from modelcheck.write.bcf_xml import (
    BCF_3_0,
    EXTENSIONS,
    HeaderFile,
    Markup,
    Remark,
    extensions_xml,
    markup_xml,
    project_xml,
    version_xml,
    view_of,
    visinfo_xml,
)
from modelcheck.write.model_date import NO_DATE, dated_utc, newest
from modelcheck.write.topics import Topic, guid_of, topics_of

BCF = "findings.bcf"
_VIEW, _SNAPSHOT = "viewpoint.bcfv", "snapshot.png"
_ZIP_DATE = (1980, 1, 1, 0, 0, 0)  # the first that a ZIP file can hold
_FOLDER, _FILE = 0o40755, 0o100644

_Files = list[tuple[str, bytes]]  # names and contents
Each = Callable[[Callable[[Topic], _Files], Sequence[Topic]], Sequence[_Files]]


def one_by_one(work: Callable[[Topic], _Files], topics: Sequence[Topic]) -> list[_Files]:
    """Files of each topic, made in turn."""
    return [work(topic) for topic in topics]


def write_bcf(
    report: Report,
    folder: Path,
    *,
    version: str,
    with_undecided: bool,
    each: Each = one_by_one,
) -> None:
    """Write ``findings.bcf`` of `report` into `folder`.

    Parameters
    ----------
    report : Report
    folder : Path
    version : str
        One of `BCF_VERSIONS`.
    with_undecided : bool
        Rows that need input too, not only those that fail.
    each : callable
        Makes the files of each topic, in their order; pictures take long.
    """
    topics = topics_of(report, with_undecided=with_undecided)
    ordered = sorted(topics, key=lambda topic: topic.guid)
    inputs = {file.model: file for file in report.inputs}

    def files_of(topic: Topic) -> _Files:
        date = dated_utc(inputs[topic.subject.model].dated) or newest(report.inputs)
        guid = topic.guid
        files = _topic_files(topic, guid, version, inputs, date)
        return [(f"{guid}/{name}", content) for name, content in files]

    with ZipFile(folder / BCF, "w") as archive:
        shared = _project_files(report, version, labels(topics))
        for name, content in chain(shared, *each(files_of, ordered)):
            _add(archive, name, content)


def _project_files(
    report: Report, version: str, used_labels: Sequence[str]
) -> Iterator[tuple[str, bytes]]:
    """Files that all topics share, by name."""
    names = [each.project for each in report.inputs if each.project.strip()]
    yield "bcf.version", version_xml(version)
    yield EXTENSIONS[version], extensions_xml(version, used_labels)
    yield (
        "project.bcfp",
        project_xml(
            version,
            project_id=guid_of("project", *sorted(each.project_guid for each in report.inputs)),
            name=names[0] if names else "",
        ),
    )


def _topic_files(
    topic: Topic, guid: str, version: str, inputs: Mapping[str, InputFile], date: datetime | None
) -> Iterator[tuple[str, bytes]]:
    """A topic's folder and its files; a viewpoint that differs has another GUID, as BCF asks."""
    camera, elements = _camera(topic), topic.elements
    snapshot = picture(topic, camera)
    view = view_of(camera, elements)
    shown = sha256(visinfo_xml(BCF_3_0, "", view) + snapshot).hexdigest()
    view_guid = guid_of("viewpoint", topic.key, shown)
    models = dict.fromkeys(ref.model for ref in elements)
    markup = Markup(
        guid=guid,
        kind=topic_type(topic),
        status=topic_status(topic),
        title=title(topic),
        labels=labels([topic]),
        date=_spelled(date or NO_DATE),
        description=description(topic, is_dated=date is not None),
        files=[_header_file(inputs[model]) for model in models],
        remarks=[
            Remark(guid=guid_of("finding", each.id), text=comment(each)) for each in topic.findings
        ],
        viewpoint_guid=view_guid,
        viewpoint=_VIEW,
        snapshot=_SNAPSHOT,
    )
    yield "", b""
    yield "markup.bcf", markup_xml(version, markup)
    yield _SNAPSHOT, snapshot
    yield _VIEW, visinfo_xml(version, view_guid, view)


def _camera(topic: Topic) -> Camera:
    """Where the whole box is seen from its cover side, or the whole run from above."""
    if topic.box is not None and (points := corners(topic.box.enclosure)):
        return looking_at(points, cover_side(topic.box.enclosure))
    return looking_at(topic.points)


def _header_file(file: InputFile) -> HeaderFile:
    """Model by the name of its file: what a team has it under, whatever its header says."""
    date = dated_utc(file.dated)
    return HeaderFile(
        name=file.model.rsplit("/", 1)[-1],
        date=_spelled(date) if date else "",
        project_guid=file.project_guid,
    )


def _spelled(date: datetime) -> str:
    return f"{date.replace(tzinfo=None).isoformat()}Z"


def _add(archive: ZipFile, name: str, content: bytes) -> None:
    """Add a file, or a folder, so that its bytes don't hang on the day or the system."""
    entry = ZipInfo(name, _ZIP_DATE)
    entry.create_system = 3
    entry.external_attr = (_FOLDER if name.endswith("/") else _FILE) << 16
    entry.compress_type = ZIP_STORED if name.endswith(".png") else ZIP_DEFLATED
    archive.writestr(entry, content)
