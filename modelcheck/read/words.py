"""What a name calls a thing: conduit, elbow, pull box … read the way the trade writes names.

A name is cut into clauses (``Conduit Elbow - EMT:Standard``). In a clause the last noun says what
the thing is: a *conduit pull box* is a box, a *junction box cover* is a cover.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from modelcheck.read.mapping import any_of, entries, plain_words

_CUT = re.compile(r"[:,;()\[\]|/\n>]|\s[-\u2013\u2014]\s")
# What follows one of these is about something else. "2 in EMT" is a size.
_ASIDE = re.compile(
    r"(?<![a-z])(?:(?:with|without|for|on|at|avec|sans|pour|sur)(?![a-z])|w/o?|c/w"
    r"|(?<!\d)(?<!\d )in(?![a-z]))"
    r"[^:,;()\[\]|\n>]*?(?=[:,;()\[\]|\n>]|\s[-\u2013\u2014]\s|$)"
)
# "to pull box PB-2" is where a conduit goes; "EMT to rigid coupling" is still a coupling.
_LEADS_TO = re.compile(r"(?<![a-z])(?:to|from|vers|between)(?![a-z]).*$", re.DOTALL)
_SIZE_MARK = re.compile(r"\d\s*(?:\"|''|\u2033|\u201d|in(?![a-z])|inch|mm)", re.IGNORECASE)
_NUMBER = re.compile(r"[0-9]+")
_WHERE_ELSE = ("box", "body", "manhole")


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """What a text calls a thing."""

    kind: str = ""  # a list of [words] in mapping.toml, or empty
    term: str = ""  # the word that says so
    is_conduit: bool = False  # some word belongs to our trade
    is_pipe: bool = False  # some word is that of a pipe or duct
    is_fluid: bool = False  # some word is of what conduit never carries
    is_tray: bool = False  # some word belongs to another carrier of cables
    has_code: bool = False  # it holds the letters of a conduit body

    @property
    def is_general(self) -> bool:
        """True if a later clause or another name may say it closer."""
        return self.kind in ("", "segment") or self.term == "fitting"


def with_equal_numbers(text: str) -> str:
    """`text` with each number as 0: no word of a kind holds one, so that it is called the same."""
    return _NUMBER.sub("0", text)


@lru_cache(maxsize=16384)
def named(text: str) -> Named:
    """What `text` calls a thing; the kind is empty if it has no such word."""
    plain = plain_words(text)
    kinds = _kinds_of_words()
    found = [kinds[match[1]] for match in _pattern().finditer(_flat(plain))]
    best = _of_clauses(plain) if found else Named()
    has_code = bool(_codes().search(text))
    is_conduit = any(
        kind in ("segment", "make", "box", "body", "conduit_fitting") for kind in found
    )
    is_body = has_code and (is_conduit or bool(_SIZE_MARK.search(text)))
    if is_body and best.kind in ("", "segment", "fitting"):
        best = Named(kind="body", term=_codes().search(text)[1])  # type: ignore[index]
    return Named(
        kind=best.kind,
        term=best.term,
        is_conduit=is_conduit or is_body,
        is_pipe="pipe" in found,
        is_fluid="fluid" in found,
        is_tray="tray" in found,
        has_code=has_code,
    )


def merged(names: Sequence[Named]) -> Named:
    """What several names of one thing say together: the first that tells, or a closer one."""
    best = Named()
    for said in names:
        best = _closer(best, said)
    return replace(
        best,
        is_conduit=any(said.is_conduit for said in names),
        is_pipe=any(said.is_pipe for said in names),
        is_fluid=any(said.is_fluid for said in names),
        is_tray=any(said.is_tray for said in names),
        has_code=any(said.has_code for said in names),
    )


@lru_cache(maxsize=4096)
def box_tag(text: str) -> str:
    """Letters of a name that is nothing but the tag of a box, such as ``PB-3``; else empty."""
    letters = "|".join(entries("tags")["box"])
    found = re.fullmatch(rf"\s*({letters})[\s_.-]?\d+[A-Za-z]?\s*", text)
    return found[1] if found else ""


def _of_clauses(plain: str) -> Named:
    """What the first telling clause says, closer said by a later one."""
    best = Named()
    for clause in _CUT.split(_ASIDE.sub(" ", plain)):
        best = _closer(best, _of_clause(clause))
    return best


def _closer(best: Named, said: Named) -> Named:
    """`said` where it says closer what is so far `best`."""
    if not best.kind:
        return said
    is_closer = said.kind in _closer_than(best) and said.term != "fitting"
    return said if best.is_general and is_closer else best


def _closer_than(said: Named) -> tuple[str, ...]:
    """Kinds that a later clause may say of what is so far `said`."""
    if said.kind == "segment":
        return ("fitting", "cap", "body", "other")
    return ("fitting", "cap", "body", "box")


def _of_clause(clause: str) -> Named:
    flat = _flat(clause)
    away = _LEADS_TO.search(flat)
    words = [
        (match[1], kind)
        for match in _pattern().finditer(flat)
        if (kind := _kinds_of_words()[match[1]]) not in ("pipe", "fluid")
        and not (away and match.start() >= away.start() and kind in _WHERE_ELSE)
    ]
    if not words:
        return Named()
    return _said(words, leads=_first().match(flat.strip()) is not None)


def _said(words: list[tuple[str, str]], *, leads: bool) -> Named:
    """Kind that the words of one clause come to."""
    kinds = [kind for _, kind in words]
    term, kind = words[0] if leads else words[-1]
    if kind in ("segment", "make") or term == "fitting":
        # conduit, EMT and fitting say little: any closer noun before them says what it is
        wanted = ["body", "cap", "conduit_fitting", "fitting"]
        if term == "fitting" or kind == "make":
            wanted = ["box", "wireway", "manhole", "cover", "tray", "other", *wanted]
        for closer in wanted:
            for earlier, its_kind in reversed(words):
                if its_kind == closer and (earlier != "fitting" or kind != "fitting"):
                    return _named(earlier, its_kind)
    elif kind in ("fitting", "conduit_fitting") and "body" in kinds:
        term, kind = next(word for word in words if word[1] == "body")
    return _named(term, kind)


def _named(term: str, kind: str) -> Named:
    merged = {"make": "segment", "conduit_fitting": "fitting"}
    return Named(kind=merged.get(kind, kind), term=term)


def _flat(text: str) -> str:
    return re.sub(r"[\s-]+", " ", text)


@cache
def _kinds_of_words() -> Mapping[str, str]:
    return {
        word: kind for kind, words in entries("words").items() if kind != "first" for word in words
    }


@cache
def _pattern() -> re.Pattern[str]:
    return any_of(tuple(_kinds_of_words()))


@cache
def _first() -> re.Pattern[str]:
    return any_of(entries("words")["first"])


@cache
def _codes() -> re.Pattern[str]:
    """Letters of a conduit body as a word of its own; ``LB-12`` and ``50 LB`` are not one."""
    letters = "|".join(sorted(entries("body_codes")["codes"], key=len, reverse=True))
    unit = r"(?:\s*(?:\"|''|\u2033|\u201d|in\b|inch|mm|[-\s]\d+/|/))"
    return re.compile(rf"(?<![\w-])(?<!\d )({letters})(?![\w])(?!\s*[-#.]?\s*\d+(?![\d.]*{unit}))")
