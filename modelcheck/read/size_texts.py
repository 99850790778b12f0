"""Trade sizes read from texts: what each could mean, likeliest first.

A name needs a mark (``"``, in, mm, DN, MD) to say a size; the text of a size property does not.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache, lru_cache

from modelcheck.read.lengths import NUMBER, number_value, plain_signs
from modelcheck.read.mapping import any_of, entries
from modelcheck.read.size_lengths import (
    Alternatives,
    of_designator,
    of_dn,
    of_inches,
    sizes_of_length,
)
from modelcheck.units import to_metres

# Not inside a word, tag, date or length: a number stands free or right after two letters (EMT-2").
_START = r"(?:(?<=[a-z]{2})|(?<=[a-z]{2}-)|(?<![\w./'-]))"
_MARKED = re.compile(
    rf"{_START}(?P<inch>{NUMBER})\s*(?:\"|-?\s*inch(?:es)?(?![a-z])|-?\s*(?P<word>in)(?![a-z]))"
    rf"|(?<![a-z0-9])(?:dn|md|nd|nb)[\s.-]?(?P<dn>\d{{1,4}})(?![\w.])"
    rf"|{_START}(?P<md>\d{{1,4}})\s*md(?![a-z0-9])"
    rf"|{_START}(?P<mm>\d{{1,4}}(?:\.\d{{1,6}})?)\s*mm(?![a-z])"
    rf"|(?<![a-z])(?:trade size|nps|size)\s*[:=]?\s*(?P<size>{NUMBER})(?![\w.])"
)
_BARE = re.compile(rf"(?<![\w./'-])({NUMBER})(?![\w.])")
_LENGTH = rf"(?:{NUMBER})\s*(?:\"|mm|inch(?:es)?|in)?"
_NOT_SIZES = re.compile(
    r"\d+(?:\.\d+)?\s*(?:\u00b0|deg(?:ree)?s?(?![a-z]))"  # angles
    rf"|\d+\s*'(?:\s*-?\s*(?:{NUMBER})\s*\")?"  # feet and inches
    rf"|(?<![a-z])(?:[rl]\s*[=:]|(?:radius|rad|length)\s*[=:.]?)\s*{_LENGTH}(?![\w/])"
    rf"|{_LENGTH}\s*(?:radius|rad|length|deep|wide)(?![a-z])(?!\s*[=:]?\s*\d)"
    rf"|{_LENGTH}\s*(?:long|lg)(?![a-z])(?!\s*(?:radius|rad|sweep|turn))"
    r"|(?<![a-z])(?:pvc|sch(?:ed(?:ule)?)?\.?)\s*-?\s*[48]0(?=\s+\d)"  # a schedule before a size
)


# What a plain name must hold to tell a size; most hold none of it and need no closer look.
_SIGN = re.compile(r"[\"']|in|mm|md|size|nps|(?:dn|nd|nb)[\s.-]?\d", re.IGNORECASE)


@lru_cache(maxsize=16384)
def sizes_in_name(text: str) -> tuple[Alternatives, ...]:
    """Sizes that a name tells, each once; only those with a unit or mark."""
    if text.isascii() and not _SIGN.search(text):
        return ()
    return each_once(_marked(_plain(text), in_name=True))


@lru_cache(maxsize=4096)
def sizes_in_value(text: str) -> tuple[Alternatives, ...]:
    """Sizes that the text of a size property tells, each once; ``78`` and ``1-1/4`` are sizes."""
    plain = _plain(text)
    if _MARKED.search(plain):
        return each_once(_marked(plain, in_name=False))
    return each_once(_of_bare(match[1]) for match in _BARE.finditer(plain))


def _plain(text: str) -> str:
    """`text` with plain signs, without angles and lengths; ``2"-1"`` and ``2"x1"`` as two."""
    apart = re.sub(r"(?<=[\"m)])\s*-\s*(?=\d)|(?<=[\"m)\d])x(?=\d)", " x ", plain_signs(text))
    return _NOT_SIZES.sub(" ", apart)


def _marked(plain: str, *, in_name: bool) -> Iterator[Alternatives]:
    for found in _MARKED.finditer(plain):
        if found["word"] and in_name and not _ends_size().match(plain, found.end()):
            continue
        if found["inch"]:
            yield of_inches(number_value(found["inch"]))
        elif found["dn"]:
            yield of_dn(int(found["dn"]))
        elif found["md"]:
            yield of_designator(float(found["md"]))
        elif found["mm"]:
            yield sizes_of_length(to_metres(float(found["mm"]), "mm"))
        else:
            yield _of_bare(found["size"])


def each_once(found: Iterable[Alternatives]) -> tuple[Alternatives, ...]:
    """Sizes found, without those that mean nothing and those told before: ``53 (2")`` is one."""
    several: list[Alternatives] = []
    for alternatives in found:
        if alternatives and not any(alternatives[0] in each for each in several):
            several.append(alternatives)
    return tuple(several)


def _of_bare(number: str) -> Alternatives:
    return of_inches(number_value(number)) or of_designator(number_value(number))


@cache
def _ends_size() -> re.Pattern[str]:
    """What may follow ``2 in`` in a name: its end, a sign, or a word of the trade."""
    words = [
        word
        for table in ("words", "raceway_types", "size_words")
        for each in entries(table).values()
        for word in each
    ]
    return re.compile(rf"\.|\s*(?:$|[^\sa-z0-9])|\s*{any_of(words).pattern}")
