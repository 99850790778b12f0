import gc

import ifcopenshell
import pytest

from modelcheck.model.settings import Settings
from modelcheck.pipeline.check import check_to
from modelcheck.pipeline.memory import no_collecting
from modelcheck.pipeline.request import Request
from modelcheck.read.elements import read_elements
from modelcheck.read.ifc_file import open_models
from tests.builders.big_model import write_big_model


def test_the_collector_is_off_inside_and_on_again_after_an_error():
    seen = []

    def fail():
        with no_collecting():
            seen.append(gc.isenabled())
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail()
    assert seen == [False]
    assert gc.isenabled()


def test_a_collector_that_was_off_stays_off():
    gc.disable()
    try:
        with no_collecting():
            assert not gc.isenabled()
        assert not gc.isenabled()
    finally:
        gc.enable()


def test_what_was_made_meanwhile_is_not_walked_afterwards():
    before = gc.get_freeze_count()
    with no_collecting():
        made = [[] for _ in range(1000)]
    assert gc.get_freeze_count() >= before + len(made)


def test_reading_leaves_the_collector_nothing_that_grows_with_the_elements(tmp_path):
    """The collector is off meanwhile: what has a cycle would stay until the end."""
    write_big_model(tmp_path / "model.ifc", 1200)
    files = open_models([tmp_path / "model.ifc"])
    with no_collecting():
        gc.collect()
        elements = read_elements(files, Settings())
        assert gc.collect() < len(elements.conduits) / 2


def test_no_model_is_held_while_results_are_written(tmp_path):
    def held():
        return sum(isinstance(each, ifcopenshell.file) for each in gc.get_objects())

    write_big_model(tmp_path / "model.ifc", 40)
    before, told = held(), {}
    check_to(
        tmp_path / "out",
        Request(models=[tmp_path / "model.ifc"]),
        progress=lambda what: told.setdefault(what.split()[0], held() - before),
    )
    assert (told["checking"], told["writing"]) == (1, 0)
