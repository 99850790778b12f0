"""A reference test says who worked its numbers out, or the whole run is refused."""

import csv
import tomllib
from pathlib import Path

import pytest
from hypothesis import settings

from modelcheck.read.engine import Engine
from modelcheck.rules.tables import sources

HOW = ("published-example", "hand", "second-method")
_OWN = tomllib.loads((Path(__file__).parent / "reference" / "sources.toml").read_text("utf-8"))
SOURCES = {*sources(), *_OWN}

settings.register_profile("any speed", deadline=None)  # no test asserts a time
settings.load_profile("any speed")


def pytest_collection_modifyitems(items):
    for item in items:
        mark = item.get_closest_marker("reference")
        if mark is None:
            if "reference" in item.path.relative_to(Path(__file__).parent).parts:
                raise pytest.UsageError(f"{item.nodeid}: no @pytest.mark.reference")
            continue
        if set(mark.kwargs) != {"source", "clause", "how"}:
            raise pytest.UsageError(f"{item.nodeid}: needs source, clause and how")
        if mark.kwargs["source"] not in SOURCES or mark.kwargs["how"] not in HOW:
            raise pytest.UsageError(f"{item.nodeid}: unknown source or how")


@pytest.fixture
def wide_cells():
    """Lets csv read cells of any length; a limit that stayed would change what other tests see."""
    before = csv.field_size_limit(10_000_000)
    yield
    csv.field_size_limit(before)


@pytest.fixture(scope="session", autouse=True)
def _meshes_worked_once():
    """What the geometry library made of a body in one test is not made again in another.

    A process that works bodies takes a second to start, and most tests check the same few models.
    """
    worked, known = Engine._asked_in_time, {}

    def remembered(engine, step_id, text, limit_s):
        key = (engine._worker, step_id, text)
        if key not in known:
            known[key] = worked(engine, step_id, text, limit_s)
        return known[key]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Engine, "_asked_in_time", remembered)
        yield
