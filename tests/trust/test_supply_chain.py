"""What the program is made of besides itself: few, pinned, and under licences that are known."""

from __future__ import annotations

import re
import tomllib
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

import pytest
from packaging.requirements import Requirement

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
LOCK = (ROOT / "scripts" / "requirements.lock").read_text(encoding="utf-8")

# Everything that comes in with the program, and the licence that it states.
LICENCES = {
    "absl-py": "Apache-2.0",
    "charset-normalizer": "MIT",
    "click": "BSD-3-Clause",
    "ezdxf": "MIT",
    "fonttools": "MIT",
    "ifcopenshell": "LGPL-3.0-or-later",
    "immutabledict": "MIT",
    "isodate": "BSD-3-Clause",
    "jinja2": "BSD-3-Clause",
    "lark": "MIT",
    "markdown-it-py": "MIT",
    "markupsafe": "BSD-3-Clause",
    "mdurl": "MIT",
    "numpy": "BSD-3-Clause",
    "ortools": "Apache-2.0",
    "pandas": "BSD-3-Clause",
    "pillow": "MIT-CMU",
    "protobuf": "BSD-3-Clause",
    "pygments": "BSD-2-Clause",
    "pyparsing": "MIT",
    "python-dateutil": "BSD-3-Clause",
    "reportlab": "BSD-3-Clause",
    "rich": "MIT",
    "scipy": "BSD-3-Clause",
    "shapely": "BSD-3-Clause",
    "six": "MIT",
    "typing-extensions": "PSF-2.0",
    "tzdata": "Apache-2.0",
    "xlsxwriter": "BSD-2-Clause",
}
# What the extra `cluster` adds.
OF_CLUSTER = {
    "cloudpickle": "BSD-3-Clause",
    "dask": "BSD-3-Clause",
    "distributed": "BSD-3-Clause",
    "fsspec": "BSD-3-Clause",
    "importlib-metadata": "Apache-2.0",
    "lazy-importer": "Apache-2.0",
    "locket": "BSD-2-Clause",
    "msgpack": "Apache-2.0",
    "packaging": "Apache-2.0",
    "partd": "BSD-3-Clause",
    "psutil": "BSD-3-Clause",
    "pyyaml": "MIT",
    "sortedcontainers": "Apache-2.0",
    "tblib": "BSD-2-Clause",
    "toolz": "BSD-3-Clause",
    "tornado": "Apache-2.0",
    "zict": "BSD-3-Clause",
    "zipp": "MIT",
}
# What a program under MIT that is passed on as source may use. A library under the LGPL stays one
# that a user can exchange. What is under a licence that isn't here doesn't come in.
ALLOWED = {
    "Apache-2.0": "apache",
    "BSD-2-Clause": "bsd",
    "BSD-3-Clause": "bsd",
    "LGPL-3.0-or-later": "lgpl",
    "MIT": "mit",
    "MIT-CMU": "mit-cmu",
    "PSF-2.0": "psf",
}
ELSEWHERE = {"colorama", "six", "tzdata", "importlib-metadata", "zipp"}  # not on every system


def plain(name):
    return re.sub(r"[-_.]+", "-", name).lower()


def installed(extra):
    """Distributions that this one needs to run, and what those need."""
    own = [*PROJECT["dependencies"], *PROJECT["optional-dependencies"].get(extra, [])]
    found, waiting = {}, [("modelcheck", set(), own)]
    while waiting:
        name, extras, requires = waiting.pop()
        for text in requires:
            wanted = Requirement(text)
            asked = wanted.marker is None or any(
                wanted.marker.evaluate({"extra": each}) for each in {"", *extras}
            )
            key = plain(wanted.name)
            if not asked or key in found:
                continue
            try:
                found[key] = distribution(key)
            except PackageNotFoundError:
                pytest.fail(f"{key} is needed by {name} and not installed")
            waiting.append((key, wanted.extras, found[key].requires or ()))
    return found


@pytest.mark.parametrize(
    ("extra", "listed"),
    [("", LICENCES), ("cluster", LICENCES | OF_CLUSTER)],
    ids=["run", "cluster"],
)
def test_nothing_comes_in_that_is_not_listed_with_its_licence(extra, listed):
    found = installed(extra)
    assert set(found) - set(listed) - ELSEWHERE == set()
    assert set(listed) - set(found) - ELSEWHERE == set()


@pytest.mark.parametrize("name", [*LICENCES, *OF_CLUSTER])
def test_what_comes_in_states_the_licence_that_is_listed(name):
    licence = (LICENCES | OF_CLUSTER)[name]
    assert licence in ALLOWED
    try:
        stated = distribution(name).metadata
    except PackageNotFoundError:
        assert name in ELSEWHERE
        return
    texts = [stated.get("License-Expression"), stated.get("License")]
    texts += [each for each in stated.get_all("Classifier", []) if each.startswith("License")]
    told = " ".join(each for each in texts if each).lower()
    if name in ("scipy", "isodate"):  # these quote their whole licence
        assert "redistribution and use in source and binary forms" in told or "bsd" in told
    else:
        assert ALLOWED[licence] in told


def test_the_lock_file_pins_each_version_with_its_hashes():
    entries = re.findall(r"^([a-z0-9-]+)==(\S+)(.*?)(?=^[a-z0-9-]+==|\Z)", LOCK, re.M | re.S)
    assert {name for name, _, _ in entries} >= set(LICENCES) - ELSEWHERE
    for name, version, rest in entries:
        assert re.fullmatch(r"[0-9][0-9a-z.+]*", version), name
        assert "--hash=sha256:" in rest, name
    assert re.findall(r"^\S+", LOCK, re.M) == [f"{name}=={version}" for name, version, _ in entries]


def test_the_program_itself_depends_on_few():
    assert len(PROJECT["dependencies"]) <= 15
    assert PROJECT["license"] == "MIT"
