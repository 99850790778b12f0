import gc

import pytest

from modelcheck.pipeline.collecting import no_collecting


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
