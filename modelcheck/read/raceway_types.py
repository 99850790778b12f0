"""Raceway types as names, properties and materials call them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache, lru_cache

from modelcheck.read.mapping import any_of, entries, plain_words
from modelcheck.read.words import with_equal_numbers


@lru_cache(maxsize=16384)
def raceway_types_in(text: str) -> tuple[str, ...]:
    """Raceway types that `text` tells, each once; ``EMT to RMC coupling`` tells two."""
    if not _may_tell(with_equal_numbers(text)):
        return ()
    plain = _plain(text)
    types = _types_of_words()
    found = [types[match[1]] for match in _pattern().finditer(plain)]
    if not found:
        found = [name for name in ("PVC40", "PVC80") if _is_plastic(plain, name)]
    return tuple(dict.fromkeys(found))


@lru_cache(maxsize=4096)
def _may_tell(text: str) -> bool:
    """Whether a text whose numbers aren't known holds the words of a type; most hold none."""
    return bool(_stems().search(_plain(text)))


def _plain(text: str) -> str:
    return re.sub(r"[\s.,()\[\]-]+", " ", plain_words(text))


def _is_plastic(plain: str, name: str) -> bool:
    return bool(_plastic("plastic").search(plain) and _plastic(name).search(plain))


@cache
def _types_of_words() -> Mapping[str, str]:
    return {word: name for name, words in entries("raceway_types").items() for word in words}


@cache
def _pattern() -> re.Pattern[str]:
    return any_of(tuple(_types_of_words()))


@cache
def _stems() -> re.Pattern[str]:
    """The words of `_pattern` and `_plastic` up to their first number."""
    words = [*_types_of_words(), *entries("plastic")["plastic"]]
    return any_of(tuple({re.split(r"\s*\d", word)[0] for word in words}))


@cache
def _plastic(key: str) -> re.Pattern[str]:
    return any_of(entries("plastic")[key])
