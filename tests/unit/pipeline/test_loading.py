import sys
from threading import enumerate as threads
from threading import main_thread

import pytest

from modelcheck.pipeline.loading import loading


@pytest.fixture
def slow(tmp_path, monkeypatch):
    """Name of a module that tells which thread loaded it."""
    (tmp_path / "slow_to_load.py").write_text("import threading\nby = threading.current_thread()\n")
    monkeypatch.syspath_prepend(tmp_path)
    yield "slow_to_load"
    sys.modules.pop("slow_to_load", None)


def test_a_module_is_loaded_by_another_thread_that_has_ended_then(slow):
    with loading(slow):
        pass
    loader = sys.modules[slow].by
    assert loader is not main_thread()
    assert loader not in threads()  # what follows is shared by fork


def test_what_goes_wrong_meanwhile_is_told_when_it_is_loaded(slow):
    with pytest.raises(ZeroDivisionError), loading(slow):
        raise ZeroDivisionError
    assert slow in sys.modules
