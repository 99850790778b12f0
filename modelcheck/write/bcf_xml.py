"""The XML files of a BCF file, as the schemas of buildingSMART have them.

References: BCF-XML 2.1 and 3.0, buildingSMART International: markup.xsd, visinfo.xsd, project.xsd,
version.xsd, extensions.xsd and the documentation beside them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from modelcheck.model.element import ElementRef, Point, Vector
from modelcheck.model.wanted import BCF_VERSIONS
from modelcheck.write.bcf_camera import ASPECT, FIELD_DEG, Camera
from modelcheck.write.bcf_text import AUTHOR, CLOSED, ISSUE, OPEN, REQUEST
from modelcheck.write.topics import is_guid
from modelcheck.write.xml_text import for_xml

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
    root = Element("Version", VersionId=version)
    if version == BCF_2_1:
        _add(root, "DetailedVersion", version)
    return _text(root)


def project_xml(version: str, *, project_id: str, name: str) -> bytes:
    """``project.bcfp``."""
    root = Element("ProjectExtension" if version == BCF_2_1 else "ProjectInfo")
    project = SubElement(root, "Project", ProjectId=project_id)
    if name.strip():
        _add(project, "Name", name)
    if version == BCF_2_1:
        _add(root, "ExtensionSchema", EXTENSIONS[version])
    return _text(root)


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
    root = Element("Extensions")
    for (several, one), listed in values.items():
        group = SubElement(root, several)
        for value in listed:
            _add(group, one, value)
    return _text(root)


def _redefinition(values: dict[str, Sequence[str]]) -> bytes:
    """Narrow the open lists of the published schema, as BCF 2.1 has it."""
    root = Element("xs:schema", {"xmlns:xs": _XS})
    redefined = SubElement(root, "xs:redefine", schemaLocation="markup.xsd")
    for name, listed in values.items():
        kind = "UserIdType" if name == "User" else name
        if not listed:
            continue
        simple = SubElement(redefined, "xs:simpleType", name=kind)
        restriction = SubElement(simple, "xs:restriction", base=kind)
        for value in listed:
            SubElement(restriction, "xs:enumeration", value=value)
    return _text(root)


def markup_xml(version: str, markup: Markup) -> bytes:
    """``markup.bcf`` of one topic."""
    is_old = version == BCF_2_1
    root = Element("Markup")
    _header(root, markup.files, is_old=is_old)
    topic = SubElement(
        root, "Topic", Guid=markup.guid, TopicType=markup.kind, TopicStatus=markup.status
    )
    _add(topic, "Title", markup.title)
    labels = topic if is_old else SubElement(topic, "Labels")
    for label in markup.labels:
        _add(labels, "Labels" if is_old else "Label", label)
    _add(topic, "CreationDate", markup.date)
    _add(topic, "CreationAuthor", AUTHOR)
    _add(topic, "Description", markup.description)
    comments = root if is_old else SubElement(topic, "Comments")
    for remark in markup.remarks:
        comment = SubElement(comments, "Comment", Guid=remark.guid)
        _add(comment, "Date", markup.date)
        _add(comment, "Author", AUTHOR)
        _add(comment, "Comment", remark.text)
        SubElement(comment, "Viewpoint", Guid=markup.viewpoint_guid)
    views = root if is_old else SubElement(topic, "Viewpoints")
    view = SubElement(views, "Viewpoints" if is_old else "ViewPoint", Guid=markup.viewpoint_guid)
    _add(view, "Viewpoint", markup.viewpoint)
    _add(view, "Snapshot", markup.snapshot)
    return _text(root)


def _header(root: Element, files: Iterable[HeaderFile], *, is_old: bool) -> None:
    header = SubElement(root, "Header")
    parent = header if is_old else SubElement(header, "Files")
    for file in files:
        attributes = {"IfcProject": file.project_guid} if is_guid(file.project_guid) else {}
        entry = SubElement(
            parent, "File", attributes, **{"isExternal" if is_old else "IsExternal": "true"}
        )
        _add(entry, "Filename", file.name)
        if file.date:
            _add(entry, "Date", file.date)


def visinfo_xml(version: str, guid: str, camera: Camera, elements: Iterable[ElementRef]) -> bytes:
    """Viewpoint file: what is selected, and where to stand.

    Parameters
    ----------
    version : str
    guid : str
        Of the viewpoint.
    camera : Camera
    elements : iterable of ElementRef
        Those without a GlobalId that BCF can hold are left out.
    """
    root = Element("VisualizationInfo", Guid=guid)
    components = SubElement(root, "Components")
    guids = dict.fromkeys(ref.guid for ref in elements if is_guid(ref.guid))
    if guids:
        selection = SubElement(components, "Selection")
        for each in guids:
            SubElement(selection, "Component", IfcGuid=each)
    SubElement(components, "Visibility", DefaultVisibility="true")
    view = SubElement(root, "PerspectiveCamera")
    _add_place(view, "CameraViewPoint", camera.eye)
    _add_place(view, "CameraDirection", camera.direction)
    _add_place(view, "CameraUpVector", camera.up)
    _add(view, "FieldOfView", f"{FIELD_DEG:g}")
    if version != BCF_2_1:
        _add(view, "AspectRatio", f"{ASPECT:.{_DECIMALS}f}")
    return _text(root)


def _add_place(parent: Element, name: str, place: Point | Vector) -> None:
    node = SubElement(parent, name)
    for axis, value in zip("XYZ", place, strict=True):
        _add(node, axis, f"{round(value, _DECIMALS) + 0.0:.{_DECIMALS}f}")


def _add(parent: Element, name: str, text: str) -> None:
    SubElement(parent, name).text = for_xml(text)


def _text(root: Element) -> bytes:
    indent(root)
    text: str = tostring(root, encoding="unicode")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{text}\n'.encode()
