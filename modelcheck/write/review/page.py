"""``review.html``: one file with everything in it, to be looked at without a network."""

from __future__ import annotations

import json
import tomllib
from base64 import b64encode
from collections.abc import Iterable, Iterator
from functools import cache
from hashlib import sha256
from importlib.resources import files
from itertools import chain, islice
from pathlib import Path
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from modelcheck.model.report import Report
from modelcheck.write.review.content import Content
from modelcheck.write.review.head import head

REVIEW = "review.html"
_SCRIPTS = (  # in the order in which they build on each other
    "dom.js",
    "subjects.js",
    "figures.js",
    "box_drawing.js",
    "run_drawing.js",
    "detail.js",
    "table.js",
    "scene.js",
    "plan.js",
    "space.js",
    "page.js",
)
_AT_ONCE = 256  # values of a list
_DRAWN_IN_SPACE = "three.bundle.js"


def write_review(report: Report, folder: Path) -> None:
    """Write the page into `folder`.

    Parameters
    ----------
    report : Report
    folder : Path
    """
    with (folder / REVIEW).open("wb") as file:
        file.writelines(text.encode("utf-8", errors="replace") for text in _texts(report))


def review_html(report: Report) -> str:
    """Text of the page: the same for the same report.

    Parameters
    ----------
    report : Report
    """
    return "".join(_texts(report))


def _texts(report: Report) -> Iterator[str]:
    """Parts of the page, the largest on its own: many times as large as the rest."""
    template, style, library, script = _parts()
    texts = tomllib.loads(_file("texts.toml"))
    policy = (
        "default-src 'none'; base-uri 'none'; form-action 'none'; img-src data:;"
        f" script-src {_hash(library)} {_hash(script)}; style-src {_hash(style)}"
    )
    page = Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True).from_string(template)
    return page.generate(
        policy=policy,
        style=Markup(style),
        library=Markup(library),
        script=Markup(script),
        texts=texts,
        texts_json=_data(texts),
        content_json=_members(chain([("head", head(report))], Content(report).members())),
    )


@cache
def _parts() -> tuple[str, str, str, str]:
    """Template, style, library and script: parts of the program, without a word of any model."""
    script = "\n".join(_file(name) for name in _SCRIPTS)
    wrapped = f'(() => {{\n"use strict";\n{script}\n}})();\n'
    return _file("page.html.j2"), _file("page.css"), _file(_DRAWN_IN_SPACE), wrapped


def _file(name: str) -> str:
    return (files("modelcheck.write.review") / name).read_text(encoding="utf-8")


def _hash(text: str) -> str:
    """Source of a content security policy that lets just this text run."""
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode('ascii')}'"


def _members(members: Iterable[tuple[str, Any]]) -> Iterator[Markup]:
    """JSON of an object in parts; of a long list some values at a time, so that none is held."""
    before = "{"
    for name, value in members:
        yield Markup(f'{before}"{name}":')
        before = ","
        if isinstance(value, Iterator):
            yield from _values(value)
        else:
            yield _data(value)
    yield Markup("}")


def _values(values: Iterator[Any]) -> Iterator[Markup]:
    yield Markup("[")
    before = ""
    while some := list(islice(values, _AT_ONCE)):
        yield Markup(f"{before}{_data(some)[1:-1]}")
        before = ","
    yield Markup("]")


def _data(content: Any) -> Markup:  # noqa: ANN401
    """JSON that can end no script and start no markup."""
    text = json.dumps(content, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    for letter in "<>&\u2028\u2029":
        text = text.replace(letter, f"\\u{ord(letter):04x}")
    return Markup(text)
