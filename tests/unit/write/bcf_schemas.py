"""Two ways to hold the files of a BCF file against the schemas of buildingSMART.

Always: against the classes that bcf-client was made of these schemas with (``bcf.v2.model`` and
``bcf.v3.model``), element by element in their order. With ``MODELCHECK_BCF_SCHEMAS``, a folder with
``2.1`` and ``3.0`` in it that hold the ``*.xsd`` of BCF-XML as published: against these too. They
are not kept here.
"""

import os
import re
from dataclasses import MISSING, fields
from pathlib import Path
from types import NoneType, UnionType
from typing import Union, get_args, get_origin, get_type_hints
from xml.etree import ElementTree

import bcf.v2.model as v2
import bcf.v3.model as v3
import pytest
import xmlschema
from xsdata.models.datatype import XmlDateTime

SCHEMAS = {"markup.bcf": "markup", "viewpoint.bcfv": "visinfo", "project.bcfp": "project"}
ROOTS = {
    "2.1": (v2.Markup, v2.VisualizationInfo, v2.ProjectExtension, v2.Version),
    "3.0": (v3.Markup, v3.VisualizationInfo, v3.ProjectInfo, v3.Version, v3.Extensions),
}


def problems(version, text):
    """What in an XML file the classes of its schema don't have."""
    root = ElementTree.fromstring(text)
    known = {each.__name__: each for each in ROOTS[version]}
    return _problems(root, known[root.tag], root.tag)


def published(version):
    """Folder of the published schemas; skips the test where there is none."""
    folder = os.environ.get("MODELCHECK_BCF_SCHEMAS")
    if not folder:
        pytest.skip("MODELCHECK_BCF_SCHEMAS names no folder with the published schemas")
    return Path(folder) / version


def validate(version, name, text, *, extensions, tmp_path):
    """Raise what the published schema of a file says against it."""
    folder = published(version)
    base = Path(name).name
    if base == "extensions.xsd":
        return
    if base == "markup.bcf" and version == "2.1":  # as the file itself narrows its lists
        (tmp_path / "markup.xsd").write_bytes((folder / "markup.xsd").read_bytes())
        (tmp_path / "extensions.xsd").write_bytes(extensions)
        schema = tmp_path / "extensions.xsd"
    else:
        stem = {"bcf.version": "version", "extensions.xml": "extensions"}.get(base)
        schema = folder / f"{stem or SCHEMAS[base]}.xsd"
    xmlschema.XMLSchema(str(schema)).validate(text.decode())


def _problems(node, kind, path):
    hints = get_type_hints(kind)
    known = [(each, dict(each.metadata)) for each in fields(kind)]
    attributes = {meta["name"]: each for each, meta in known if meta["type"] == "Attribute"}
    elements = {meta["name"]: each for each, meta in known if meta["type"] == "Element"}
    told = [f"{path}: attribute {name}" for name in node.keys() - attributes.keys()]
    for name, each in attributes.items():
        if name in node.attrib:
            told += _value(node.attrib[name], hints[each.name], each.metadata, f"{path}@{name}")
        elif each.default is MISSING and each.default_factory is MISSING:
            told.append(f"{path}: no attribute {name}")
    order = [list(elements).index(child.tag) for child in node if child.tag in elements]
    if order != sorted(order):
        told.append(f"{path}: order of {[child.tag for child in node]}")
    told += [f"{path}: element {child.tag}" for child in node if child.tag not in elements]
    for name, each in elements.items():
        told += _children(node.findall(name), hints[each.name], each, f"{path}/{name}")
    return told


def _children(nodes, hint, field, path):
    is_list = get_origin(hint) is list
    kind = get_args(hint)[0] if is_list else _plain(hint)
    least = field.metadata.get("min_occurs", 0) if is_list else int(field.default is MISSING)
    told = [] if len(nodes) >= least else [f"{path}: missing"]
    if len(nodes) > 1 and not is_list:
        told.append(f"{path}: {len(nodes)} of it")
    for node in nodes:
        if hasattr(kind, "__dataclass_fields__") and kind is not XmlDateTime:
            told += _problems(node, kind, path)
        else:
            told += _value(node.text or "", kind, field.metadata, path)
    return told


def _plain(hint):
    if get_origin(hint) in (Union, UnionType):
        return next(each for each in get_args(hint) if each is not NoneType)
    return hint


def _value(text, hint, meta, path):
    kind = _plain(hint)
    if meta.get("white_space") == "collapse":
        text = " ".join(text.split())
    told = []
    if kind is XmlDateTime:
        told += _unread(XmlDateTime.from_string, text, path)
    elif kind is bool:
        told += [] if text in ("true", "false", "0", "1") else [f"{path}: {text!r} is no boolean"]
    elif kind in (float, int):
        told += _unread(kind, text, path)
        for name, is_kept in (
            ("min_inclusive", lambda limit: float(text) >= limit),
            ("max_inclusive", lambda limit: float(text) <= limit),
            ("min_exclusive", lambda limit: float(text) > limit),
            ("max_exclusive", lambda limit: float(text) < limit),
        ):
            told += [f"{path}: {text}"] if name in meta and not is_kept(meta[name]) else []
    if "pattern" in meta and not re.fullmatch(meta["pattern"], text):
        told.append(f"{path}: {text!r} is not {meta['pattern']}")
    if len(text) < meta.get("min_length", 0) or len(text) != meta.get("length", len(text)):
        told.append(f"{path}: length of {text!r}")
    return told


def _unread(read, text, path):
    try:
        read(text)
    except ValueError:
        return [f"{path}: {text!r} can't be read"]
    return []
