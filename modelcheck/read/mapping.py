"""The words and property names of ``mapping.toml``, ready to be looked up."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Mapping, Sequence
from functools import cache, lru_cache
from importlib.resources import files

from modelcheck.read.property_values import plain_name

_TRAILING_ID = re.compile(r":\d{4,}\s*$")
_LETTER_CHANGE = re.compile(r"(?<=[a-z])(?=[A-Z])|(?<=[A-Za-z])(?=\d)")


@cache
def entries(table: str) -> Mapping[str, tuple[str, ...]]:
    """Lists of one table of ``mapping.toml``."""
    text = (files("modelcheck.read") / "mapping.toml").read_text(encoding="utf-8")
    return {key: tuple(words) for key, words in tomllib.loads(text)[table].items()}


@cache
def ranked(key: str, first: tuple[str, ...] = ()) -> Mapping[str, int]:
    """Rank of each property name of `key`, those that the settings name `first`."""
    names = dict.fromkeys(plain_name(name) for name in (*first, *entries("properties")[key]))
    return {name: rank for rank, name in enumerate(names)}


@lru_cache(maxsize=65536)
def plain_words(text: str) -> str:
    """`text` in small letters, accents off, hyphens as spaces, ``PullBox`` as two words."""
    apart = _LETTER_CHANGE.sub(" ", text.replace("_", " "))
    if text.isascii():
        return apart.lower()
    bare = unicodedata.normalize("NFKD", apart.casefold())
    return "".join(letter for letter in bare if not unicodedata.combining(letter))


def without_id(name: str) -> str:
    """`name` without the instance number that some exporters end it with: ``EMT:443813``."""
    return _TRAILING_ID.sub("", name)


def any_of(words: Sequence[str]) -> re.Pattern[str]:
    """Pattern of any of `words`, or its plural, as words of their own; longer ones first."""
    longest_first = sorted(words, key=lambda word: (-len(word), word))
    spelled = "|".join(re.escape(word).replace(r"\ ", r"[\s-]+") for word in longest_first)
    return re.compile(rf"(?<![a-z0-9])({spelled})(?:e?s)?(?![a-z0-9])")
