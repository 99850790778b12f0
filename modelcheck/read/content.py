"""What an instance says and refers to, without its numbers: instances of one content are alike."""

from __future__ import annotations

import re
from hashlib import blake2b

from modelcheck.read.property_values import Entity

DEEPEST = 1024  # levels of instances in one another: of many more the library's walk overflows
_REFERENCE = re.compile(r"'[^']*'|#(\d+)")


def content_of(instance: Entity) -> bytes:
    """Digest of the text of `instance` and of all that it refers to, its numbers made equal.

    Raises
    ------
    ValueError
        If what it refers to goes deeper than is followed: who knows then what is alike.
    """
    lines = [each.to_string() for each in instance.file.traverse(instance, DEEPEST)]
    numbers: dict[str, str] = {}

    def renumbered(found: re.Match[str]) -> str:
        own = found[1]
        return found[0] if own is None else numbers.setdefault(own, f"#{len(numbers)}")

    text = _REFERENCE.sub(renumbered, "\n".join(lines))
    if len(numbers) > sum(line.startswith("#") for line in lines):
        raise ValueError("it goes deeper than is followed")
    return blake2b(text.encode(), digest_size=16).digest()
