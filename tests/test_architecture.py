"""What the linters can't say of the package."""

import ast
import re
import tomllib
from pathlib import Path
from tokenize import NUMBER, tokenize

import pytest

import modelcheck

PACKAGE = Path(modelcheck.__file__).parent
ROOT = Path(__file__).parents[1]
SOURCES = sorted(PACKAGE.rglob("*.py"))
CONVERSIONS = {"25.4", "0.0254", "304.8", "0.3048", "1000", "1000.0"}
MOST_LINES = 400  # over 300 it is time to split


def source_id(path):
    return str(path.relative_to(PACKAGE))


@pytest.mark.parametrize(
    "path", [each for each in SOURCES if each.name != "units.py"], ids=source_id
)
def test_units_change_in_one_place_only(path):
    with path.open("rb") as source:
        numbers = {each.string for each in tokenize(source.readline) if each.type == NUMBER}
    assert not numbers & CONVERSIONS


@pytest.mark.parametrize("path", SOURCES, ids=source_id)
def test_a_file_can_be_read_at_one_go(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= MOST_LINES


@pytest.mark.parametrize("path", SOURCES, ids=source_id)
def test_nothing_is_caught_unnamed(path):
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ExceptHandler):
            assert node.type is not None
            assert "Exception" not in {
                name.id for name in ast.walk(node.type) if isinstance(name, ast.Name)
            }


def test_the_version_is_the_same_everywhere():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["version"] == modelcheck.__version__
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    changes = readme.split("\n## Changes\n")
    assert len(changes) == 2
    assert re.search(r"^### (\S+)$", changes[1], re.MULTILINE)[1] == modelcheck.__version__


def test_every_dependency_says_what_it_is_for():
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    block = re.search(r"^dependencies = \[\n(.*?)^\]", text, re.MULTILINE | re.DOTALL)[1]
    assert all(re.search(r'",\s+# \w+', line) for line in block.splitlines())


def test_the_lock_file_has_every_dependency_at_one_version_and_no_local_place():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lock = (ROOT / "scripts" / "requirements.lock").read_text(encoding="utf-8")
    locked = set(re.findall(r"^([a-z0-9-]+)==", lock, re.MULTILINE))
    extras = project["optional-dependencies"].values()
    wanted = [*project["dependencies"], *(each for extra in extras for each in extra)]
    names = {re.match(r"[A-Za-z0-9-]+", each)[0].lower() for each in wanted}
    assert names - {project["name"]} <= locked
    assert not re.search(r"file:|https?:|index-url|@ ", lock)
