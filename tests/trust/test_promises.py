"""Every promise of the README names a test, and that test is there."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SECTION = re.search(
    r"^## What it promises\n(.*?)^## ", (ROOT / "README.md").read_text("utf-8"), re.M | re.S
)[1]
ROWS = re.findall(r"^\| (.+) \| `(tests/\S+\.py)`: (.+) \|$", SECTION, re.M)


def test_each_promise_has_a_row():
    rows = [line for line in SECTION.splitlines() if line.startswith("| ")]
    assert len(ROWS) == len(rows) - 2 >= 15  # a head, and the line below it


@pytest.mark.parametrize(
    ("file", "names"), [pytest.param(*row[1:], id=row[0][:40]) for row in ROWS]
)
def test_the_test_that_holds_it_is_there(file, names):
    tree = ast.parse((ROOT / file).read_text(encoding="utf-8"))
    known = {each.name for each in ast.walk(tree) if isinstance(each, ast.FunctionDef)}
    wanted = re.findall(r"`(\w+)`", names)
    assert wanted
    assert {f"test_{name}" for name in wanted} <= known
