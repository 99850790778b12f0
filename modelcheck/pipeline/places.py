"""Files of a batch that lie in a folder or behind a URL; only here fsspec is seen.

A place is text: a path, or a URL such as ``s3://bucket/models``.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from modelcheck.errors import InputFileError, ModelcheckError, OutputError
from modelcheck.write.output_dir import digest, parents_of, workplace

_CHUNK_BYTES = 1 << 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A file or folder in a place."""

    name: str
    is_folder: bool
    size_bytes: int


def is_url(place: str) -> bool:
    """Whether it is a URL and no path of this machine."""
    return "://" in place


def inside(place: str, name: str) -> str:
    """Give the place of a file or folder in `place`."""
    return f"{place.rstrip('/')}/{name}" if is_url(place) else str(Path(place, name))


def absolute(place: str) -> str:
    """Give a place that means the same in another folder."""
    return place if is_url(place) else str(Path(place).absolute())


def name_of(place: str) -> str:
    """Give the last part of a place."""
    return place.rstrip("/").rpartition("/")[2] if is_url(place) else Path(place).name


def entries(place: str) -> tuple[Entry, ...]:
    """List a folder, sorted by name.

    Raises
    ------
    InputFileError
        If it can't be listed.
    """
    with _asked(place):
        found = _entries_behind(place) if is_url(place) else _entries_in(Path(place))
        return tuple(sorted(found, key=lambda each: each.name))


def _entries_in(folder: Path) -> Iterator[Entry]:
    for path in folder.iterdir():
        is_folder = path.is_dir()
        size_bytes = path.stat().st_size if path.is_file() else 0
        yield Entry(name=path.name, is_folder=is_folder, size_bytes=size_bytes)


def _entries_behind(url: str) -> Iterator[Entry]:
    system, path = _system(url)
    if not system.isdir(path):
        raise NotADirectoryError if system.exists(path) else FileNotFoundError
    for each in system.ls(path, detail=True):
        name = str(each["name"]).rstrip("/").rpartition("/")[2]
        size_bytes = int(each.get("size") or 0)
        yield Entry(name=name, is_folder=each["type"] == "directory", size_bytes=size_bytes)


def read(place: str) -> bytes | None:
    """Content of a small file; None if there is none."""
    try:
        if not is_url(place):
            return Path(place).read_bytes()
        system, path = _system(place)
        return bytes(system.cat_file(path))
    except OSError:
        return None


def digest_of(place: str) -> str:
    """SHA-256 of a file in hexadecimal; empty if there is none."""
    try:
        if not is_url(place):
            return digest(Path(place))
        system, path = _system(place)
        found = sha256()
        with system.open(path, "rb") as handle:
            while chunk := handle.read(_CHUNK_BYTES):
                found.update(chunk)
        return found.hexdigest()
    except OSError:
        return ""


def fetched(place: str, folder: Path) -> Path:
    """Give a file as one of this machine: itself, or a copy in `folder`.

    Raises
    ------
    InputFileError
        If it can't be had.
    """
    if not is_url(place):
        return Path(place)
    folder.mkdir(parents=True, exist_ok=True)
    copy = folder / name_of(place)
    with _asked(place):
        system, path = _system(place)
        system.get_file(path, str(copy))
    return copy


def store(folder: Path, url: str, *, last: str, outdated: Sequence[str]) -> None:
    """Copy the files of `folder` behind `url`; `last` is missing there until all others stand.

    Raises
    ------
    OutputError
        If that can't be done.
    """
    with _given(url):
        system, path = _system(url)
        system.makedirs(path, exist_ok=True)
        if system.exists(f"{path}/{last}"):
            system.rm_file(f"{path}/{last}")
        names = sorted(each.name for each in folder.iterdir())
        for name in (*(each for each in names if each != last), last):
            system.put_file(str(folder / name), f"{path}/{name}")
        for name in outdated:
            if system.exists(f"{path}/{name}"):
                system.rm_file(f"{path}/{name}")


@contextmanager
def held(place: str) -> Iterator[None]:
    """Make a folder before several write to it; it goes again if nobody does.

    Raises
    ------
    OutputError
        If that can't be done.
    """
    with ExitStack() as stack:
        if not is_url(place):
            if Path(place).is_file():
                raise OutputError(f"{place}: this is a file; give a folder for the results")
            with _given(place):
                stack.enter_context(parents_of(Path(place).absolute() / "results"))
        yield


def write_whole(place: str, text: bytes) -> None:
    """Write a small file, whole or not at all, in place of an earlier one.

    Raises
    ------
    OutputError
        If that can't be done.
    """
    with _given(place):
        if is_url(place):
            system, path = _system(place)
            system.makedirs(path.rpartition("/")[0], exist_ok=True)
            system.pipe_file(path, text)
            return
        target = Path(place)
        with workplace(target.with_name(f".{target.name}.modelcheck"), target) as work:
            part = work / "part"
            with part.open("wb") as handle:
                handle.write(text)
                handle.flush()
                os.fsync(handle.fileno())
            part.replace(target)


def _system(url: str) -> tuple[Any, str]:
    """File system behind a URL, and the path there."""
    try:
        import fsspec  # noqa: PLC0415 - an extra that only URLs need
    except ModuleNotFoundError:
        raise ModelcheckError(
            f"{url}: files behind URLs need the extra modelcheck[cluster]; run pip install "
            "'.[cluster]' where this program was installed from"
        ) from None
    try:
        system, path = fsspec.core.url_to_fs(url)
    except (ImportError, ValueError) as error:
        raise ModelcheckError(f"{url}: nothing here reads such a URL: {error}") from None
    system.invalidate_cache()  # others write there
    return system, str(path)


@contextmanager
def _asked(place: str) -> Iterator[None]:
    """Say in one sentence why nothing can be read."""
    try:
        yield
    except FileNotFoundError:
        raise InputFileError("there is no such file or folder", path=place) from None
    except NotADirectoryError:
        raise InputFileError("this is no folder; give one with models in it", path=place) from None
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise InputFileError(f"it can't be read: {reason}", path=place) from None


@contextmanager
def _given(place: str) -> Iterator[None]:
    """Say in one sentence why nothing can be written."""
    try:
        yield
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise OutputError(f"{place}: the results can't be written there: {reason}") from None
