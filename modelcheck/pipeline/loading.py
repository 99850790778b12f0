"""Modules that load slowly, loaded while something else is waited for."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from threading import Thread


@contextmanager
def loading(*names: str) -> Iterator[None]:
    """Load modules on another core: a library that opens a model leaves Python to others."""

    def load() -> None:
        for name in names:
            import_module(name)

    thread = Thread(target=load)
    thread.start()
    try:
        yield
    finally:
        thread.join()
