"""The XML files of a BCF file, as the schemas of buildingSMART have them.

References: BCF-XML 2.1 and 3.0, buildingSMART International: markup.xsd, visinfo.xsd, project.xsd,
version.xsd, extensions.xsd and the documentation beside them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from modelcheck.model.element import ElementRef, Point, Vector
from modelcheck.model.wanted import BCF_VERSIONS
from modelcheck.write.bcf_camera import ASPECT, FIELD_DEG, Camera
from modelcheck.write.bcf_text import AUTHOR, CLOSED, ISSUE, OPEN, REQUEST
from modelcheck.write.topics import is_guid
from modelcheck.write.xml_text import Lines, branch, leaf, xml_file

BCF_2_1, BCF_3_0 = BCF_VERSIONS
EXTENSIONS = {BCF_2_1: "extensions.xsd", BCF_3_0: "extensions.xml"}
_XS = "http://www.w3.org/2001/XMLSchema"
_DECIMALS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class HeaderFile:
    """A model that a topic is about."""

    name: str
    date: str  # empty: it bears none
    project_guid: str  # GlobalId of its project


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """One comment."""

    guid: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Markup:
    """All that the markup file of a topic says."""

    guid: str
    kind: str
    status: str
    title: str
    labels: Sequence[str]
    date: str
    description: str
    files: Sequence[HeaderFile]
    remarks: Sequence[Remark]
    viewpoint_guid: str
    viewpoint: str  # name of its file
    snapshot: str


def version_xml(version: str) -> bytes:
    """``bcf.version``."""
    detailed = [leaf("DetailedVersion", version)] if version == BCF_2_1 else []
    return xml_file(branch("Version", *detailed, VersionId=version))


def project_xml(version: str, *, project_id: str, name: str) -> bytes:
    """``project.bcfp``."""
    named = [leaf("Name", name)] if name.strip() else []
    project = branch("Project", *named, ProjectId=project_id)
    if version == BCF_2_1:
        schema = leaf("ExtensionSchema", EXTENSIONS[version])
        return xml_file(branch("ProjectExtension", project, schema))
    return xml_file(branch("ProjectInfo", project))


def extensions_xml(version: str, labels: Sequence[str]) -> bytes:
    """Types, statuses, labels and users that the topics of a file have.

    Parameters
    ----------
    version : str
    labels : sequence of str
    """
    values = {
        ("TopicTypes", "TopicType"): (ISSUE, REQUEST),
        ("TopicStatuses", "TopicStatus"): (OPEN, CLOSED),
        ("TopicLabels", "TopicLabel"): labels,
        ("Users", "User"): (AUTHOR,),
    }
    if version == BCF_2_1:
        return _redefinition({one: listed for (_, one), listed in values.items()})
    groups = (
        branch(several, *(leaf(one, value) for value in listed))
        for (several, one), listed in values.items()
    )
    return xml_file(branch("Extensions", *groups))


def _redefinition(values: dict[str, Sequence[str]]) -> bytes:
    """Narrow the open lists of the published schema, as BCF 2.1 has it."""
    simple = []
    for name, listed in values.items():
        kind = "UserIdType" if name == "User" else name
        if listed:
            words = (leaf("xs:enumeration", value=value) for value in listed)
            restriction = branch("xs:restriction", *words, base=kind)
            simple.append(branch("xs:simpleType", restriction, name=kind))
    redefined = branch("xs:redefine", *simple, schemaLocation="markup.xsd")
    return xml_file(branch("xs:schema", redefined, **{"xmlns:xs": _XS}))


def markup_xml(version: str, markup: Markup) -> bytes:
    """``markup.bcf`` of one topic."""
    is_old = version == BCF_2_1
    labels = [leaf("Labels" if is_old else "Label", each) for each in markup.labels]
    comments = [_comment(markup, remark) for remark in markup.remarks]
    view = branch(
        "Viewpoints" if is_old else "ViewPoint",
        leaf("Viewpoint", markup.viewpoint),
        leaf("Snapshot", markup.snapshot),
        Guid=markup.viewpoint_guid,
    )
    topic = branch(
        "Topic",
        leaf("Title", markup.title),
        *(labels if is_old else [branch("Labels", *labels)]),
        leaf("CreationDate", markup.date),
        leaf("CreationAuthor", AUTHOR),
        leaf("Description", markup.description),
        *([] if is_old else [branch("Comments", *comments), branch("Viewpoints", view)]),
        Guid=markup.guid,
        TopicType=markup.kind,
        TopicStatus=markup.status,
    )
    files = [_file(each, is_old=is_old) for each in markup.files]
    header = branch("Header", *(files if is_old else [branch("Files", *files)]))
    return xml_file(branch("Markup", header, topic, *([*comments, view] if is_old else [])))


def _comment(markup: Markup, remark: Remark) -> Lines:
    return branch(
        "Comment",
        leaf("Date", markup.date),
        leaf("Author", AUTHOR),
        leaf("Comment", remark.text),
        leaf("Viewpoint", Guid=markup.viewpoint_guid),
        Guid=remark.guid,
    )


def _file(file: HeaderFile, *, is_old: bool) -> Lines:
    project = {"IfcProject": file.project_guid} if is_guid(file.project_guid) else {}
    dated = [leaf("Date", file.date)] if file.date else []
    place = {"isExternal" if is_old else "IsExternal": "true"}
    return branch("File", leaf("Filename", file.name), *dated, **project, **place)


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """What a viewpoint shows: what is selected, and where to stand."""

    components: Lines
    places: Sequence[Lines]  # of the camera


def view_of(camera: Camera, elements: Iterable[ElementRef]) -> View:
    """What a viewpoint shows.

    Parameters
    ----------
    camera : Camera
    elements : iterable of ElementRef
        Those without a GlobalId that BCF can hold are left out.
    """
    guids = dict.fromkeys(ref.guid for ref in elements if is_guid(ref.guid))
    selected = [leaf("Component", IfcGuid=each) for each in guids]
    return View(
        components=branch(
            "Components",
            *([branch("Selection", *selected)] if selected else []),
            leaf("Visibility", DefaultVisibility="true"),
        ),
        places=(
            _place("CameraViewPoint", camera.eye),
            _place("CameraDirection", camera.direction),
            _place("CameraUpVector", camera.up),
        ),
    )


def visinfo_xml(version: str, guid: str, view: View) -> bytes:
    """Viewpoint file of a view.

    Parameters
    ----------
    version : str
    guid : str
        Of the viewpoint.
    view : View
    """
    ratio = [] if version == BCF_2_1 else [leaf("AspectRatio", f"{ASPECT:.{_DECIMALS}f}")]
    field = leaf("FieldOfView", f"{FIELD_DEG:g}")
    camera = branch("PerspectiveCamera", *view.places, field, *ratio)
    return xml_file(branch("VisualizationInfo", view.components, camera, Guid=guid))


def _place(name: str, place: Point | Vector) -> Lines:
    axes = zip("XYZ", place, strict=True)
    told = (leaf(axis, f"{round(value, _DECIMALS) + 0.0:.{_DECIMALS}f}") for axis, value in axes)
    return branch(name, *told)
