import gc

import pytest

from modelcheck.pipeline.collecting import no_collecting


def test_the_collector_is_off_inside_and_on_again_after_an_error():
    with pytest.raises(ZeroDivisionError), no_collecting():
        assert not gc.isenabled()
        raise ZeroDivisionError
    assert gc.isenabled()


def test_a_collector_that_was_off_stays_off():
    gc.disable()
    try:
        with no_collecting():
            assert not gc.isenabled()
        assert not gc.isenabled()
    finally:
        gc.enable()
