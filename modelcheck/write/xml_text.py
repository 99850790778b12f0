"""Text for files that are XML inside."""

from __future__ import annotations

import re

_NO_XML = re.compile("[^\t\n\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def for_xml(text: str) -> str:
    """`text` with a mark in place of each character that XML 1.0 forbids or changes."""
    return _NO_XML.sub("\ufffd", text)
