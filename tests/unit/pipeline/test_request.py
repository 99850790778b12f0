"""The hash of a request changes with all that can change its results, and with nothing else."""

from dataclasses import replace
from pathlib import Path

import pytest

from modelcheck.model.settings import Options
from modelcheck.pipeline import request as module
from modelcheck.pipeline.request import Request

ASKED = Request(models=(Path("a/one.ifc"), Path("a/two.ifc")), pulls=Path("a/PULLS.csv"))
DIGESTS = ("1", "2", "3")


@pytest.mark.parametrize(
    ("other", "digests"),
    [
        pytest.param(ASKED, ("1", "2", "4"), id="content"),
        pytest.param(ASKED, ("2", "1", "3"), id="which-file"),
        pytest.param(
            replace(ASKED, models=(Path("a/one.ifc"), Path("a/3.ifc"))), DIGESTS, id="name"
        ),
        pytest.param(replace(ASKED, options=Options(code="nec")), DIGESTS, id="option"),
        pytest.param(replace(ASKED, size_all_boxes=True), DIGESTS, id="sizes"),
    ],
)
def test_it_changes_with(other, digests):
    assert other.key(digests) != ASKED.key(DIGESTS)


def test_it_changes_with_the_role_of_a_file(tmp_path):
    file = tmp_path / "PULLS.csv"
    file.write_bytes(b"")
    schedule = replace(ASKED, pulls=file)
    settings = replace(ASKED, pulls=None, settings=file)
    assert settings.key(DIGESTS) != schedule.key(DIGESTS)


def test_it_changes_with_the_version(monkeypatch):
    before = ASKED.key(DIGESTS)
    monkeypatch.setattr(module, "__version__", "another")
    assert ASKED.key(DIGESTS) != before


def test_it_is_the_same_wherever_the_files_lie():
    moved = replace(ASKED, models=(Path("b/one.ifc"), Path("c/two.ifc")), pulls=Path("d/PULLS.csv"))
    assert moved.key(DIGESTS) == ASKED.key(DIGESTS)
