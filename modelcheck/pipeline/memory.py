"""Memory while there are many records: what holds their making up, and what is given back."""

from __future__ import annotations

import ctypes
import gc
import sys
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def no_collecting() -> Iterator[None]:
    """Make records without the collector of cycles, which walks them all again and finds none.

    Nor does it walk them afterwards, when they are told of or the program ends. What has no cycle
    goes without it as well.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.freeze()
            gc.enable()


def give_back() -> None:
    """Let the system have what the C library keeps of what was freed, where it can be asked to."""
    trim = getattr(ctypes.CDLL(None), "malloc_trim", None) if sys.platform == "linux" else None
    if trim is not None:
        trim(0)
