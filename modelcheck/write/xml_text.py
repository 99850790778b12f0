"""Text for files that are XML inside: elements as lines, each a level deeper than what holds it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

_NO_XML = re.compile("[^\t\n\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_PLAIN = re.compile("[ !#-%'-;=?-~]*")  # a text that XML holds as it is

Lines = list[str]  # of one element; the text of a leaf may have lines of its own


def for_xml(text: str) -> str:
    """`text` with a mark in place of each character that XML 1.0 forbids or changes."""
    return _NO_XML.sub("\ufffd", text)


def escaped(text: str) -> str:
    """`text` as XML holds it between tags."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def leaf(name: str, text: str = "", /, **attributes: str) -> Lines:
    """An element that holds a text alone, or nothing."""
    start = _start(name, attributes)
    told = text if _PLAIN.fullmatch(text) else escaped(for_xml(text))
    return [f"<{start}>{told}</{name}>" if told else f"<{start} />"]


def branch(name: str, /, *inside: Lines, **attributes: str) -> Lines:
    """An element that holds others."""
    start = _start(name, attributes)
    lines = [f"  {line}" for each in inside for line in each]
    return [f"<{start}>", *lines, f"</{name}>"] if lines else [f"<{start} />"]


def xml_file(root: Iterable[str]) -> bytes:
    """Bytes of a file that holds one element."""
    return "\n".join(('<?xml version="1.0" encoding="UTF-8"?>', *root, "")).encode()


def _start(name: str, attributes: Mapping[str, str]) -> str:
    for key, value in attributes.items():
        name += f' {key}="{value if _PLAIN.fullmatch(value) else _quoted(value)}"'
    return name


def _quoted(value: str) -> str:
    told = escaped(for_xml(value)).replace('"', "&quot;")
    return told.replace("\n", "&#10;").replace("\t", "&#09;")
