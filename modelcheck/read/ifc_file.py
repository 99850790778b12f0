"""Opens the models; what can't be opened is told in one sentence."""

from __future__ import annotations

import hashlib
import os
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass, field
from pathlib import Path

import ifcopenshell

from modelcheck.errors import InputFileError
from modelcheck.read.copies import Copies
from modelcheck.read.file_damage import (
    FileDamage,
    damage_of,
    lines_of_statements,
    statements_in,
)
from modelcheck.read.ifc_text import is_zipped, laid_out, read_text
from modelcheck.read.statements import statements_of

_SCHEMAS = ("IFC2X3", "IFC4", "IFC4X3")
_HEAD_BYTES = 4
_MEMORY_FACTOR = 4  # bytes of memory to one of text, at least; measured 4 to 8


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedFile:
    """One model of which its text is asked only."""

    model: str  # as the tables show it; unique among the inputs
    path: Path
    sha256: str

    @contextmanager
    def text_path(self) -> Iterator[Path]:
        """Where its text can be read meanwhile: the file itself, or what is unpacked of it."""
        with self.path.open("rb") as file:
            zipped = is_zipped(file.read(_HEAD_BYTES))
        if not zipped:
            yield self.path
            return
        with laid_out(read_text(self.path, _read(self.path))) as path:
            yield path


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelFile(ClosedFile):
    """One opened model."""

    schema: str
    handle: ifcopenshell.file
    damage: FileDamage = field(default_factory=FileDamage)
    copies: Copies = field(default_factory=Copies)

    @property
    def project_name(self) -> str:
        """Name of the project in the model; empty if it has none."""
        names = [
            each.LongName or each.Name or ""
            for each in self.handle.by_type("IfcProject", include_subtypes=False)
        ]
        return str(names[0]) if names else ""

    @property
    def project_guid(self) -> str:
        """GlobalId of the project in the model; empty if it has none."""
        guids = [
            each.GlobalId or ""
            for each in self.handle.by_type("IfcProject", include_subtypes=False)
        ]
        return str(guids[0]) if guids else ""

    @property
    def closed(self) -> ClosedFile:
        """The same without what the library holds of it."""
        return ClosedFile(model=self.model, path=self.path, sha256=self.sha256)

    @property
    def dated(self) -> str:
        """Time stamp of its header, as it stands there."""
        return str(self.handle.header.file_name.time_stamp or "")


def open_models(paths: Sequence[Path]) -> tuple[ModelFile, ...]:
    """Open every model, in the order of the command.

    Parameters
    ----------
    paths : sequence of Path

    Raises
    ------
    InputFileError
        If a file is missing, is no whole IFC file, has a schema that can't be read, or is given
        twice; or if this machine can't hold them.
    """
    _refuse_beyond_memory(paths)
    seen: dict[Path, Path] = {}
    for path in paths:
        real = path.resolve()
        if real in seen:
            raise InputFileError("the same model is given twice; name it once", path=path)
        seen[real] = path
    names = _told_apart([path.resolve() for path in paths])
    return tuple(_opened(path, name) for path, name in zip(paths, names, strict=True))


def _refuse_beyond_memory(paths: Sequence[Path]) -> None:
    """Refuse models that would have the system end the program when it is half way."""
    try:
        memory = os.sysconf("SC_PHYS_PAGES") * os.sysconf("SC_PAGE_SIZE")
    except (AttributeError, ValueError, OSError):  # not told everywhere
        return
    sizes = {path: path.stat().st_size for path in paths if path.is_file()}
    needed = _MEMORY_FACTOR * sum(sizes.values())
    if needed > memory:
        largest = max(sizes, key=lambda path: sizes[path])
        raise InputFileError(
            f"the models would take {needed / 1e9:,.1f} GB of memory or more, this machine has"
            f" {memory / 1e9:,.1f}; check them in parts, or on a larger one",
            path=largest,
        )


def _told_apart(paths: Sequence[Path]) -> list[str]:
    """File names, with as many folders before them as it takes to make them differ."""
    depth = [1] * len(paths)
    while True:
        names = ["/".join(path.parts[-deep:]) for path, deep in zip(paths, depth, strict=True)]
        often = {name for name, count in Counter(names).items() if count > 1}
        if not often:
            return names
        depth = [deep + (name in often) for name, deep in zip(names, depth, strict=True)]


def _opened(path: Path, model: str) -> ModelFile:
    data = _read(path)
    text = read_text(path, data)
    sha256, lines = hashlib.sha256(data).hexdigest(), lines_of_statements(text)
    copies = Copies.by(statements_of(text))
    with laid_out(text) if is_zipped(data) else nullcontext(path) as text_path:
        del data, text  # a fifth as large as what the library makes of it
        ifcopenshell.get_log()  # of what was done before
        handle = _handle(text_path, path)
        log, known = ifcopenshell.get_log(), len(handle.entity_names())
        unread = 0 if 0 < known == lines else statements_in(_read(text_path)) - known
    if not known and unread > 0:
        raise InputFileError("none of its statements can be read; export it again", path=path)
    return ModelFile(
        model=model,
        path=path,
        sha256=sha256,
        schema=handle.schema_identifier,
        handle=handle,
        damage=damage_of(handle, log, unread),
        copies=copies,
    )


def _read(path: Path) -> bytes:
    try:
        if path.exists() and not (path.is_file() or path.is_dir()):
            raise InputFileError("this is not a file; name the IFC file itself", path=path)
        return path.read_bytes()
    except FileNotFoundError:
        raise InputFileError("there is no such file; check the path", path=path) from None
    except IsADirectoryError:
        raise InputFileError("this is a folder; name the IFC file in it", path=path) from None
    except OSError as error:
        reason = (error.strerror or "it can't be read").lower()
        raise InputFileError(f"the file can't be read: {reason}", path=path) from None


def _handle(text_path: Path, path: Path) -> ifcopenshell.file:
    """Open the text at `text_path`; it is told of as the file at `path`."""
    try:
        handle = ifcopenshell.open(str(text_path), ".ifc")
    except ifcopenshell.SchemaError as error:
        raise _schema_error(str(error).rsplit(":", 1)[-1].strip(), path) from None
    except (ifcopenshell.Error, RuntimeError, OSError, ValueError, IndexError) as error:
        if "bad_alloc" in str(error):
            raise MemoryError from None
        raise InputFileError(
            "the text is not a readable IFC file; export the model again", path=path
        ) from None
    if handle.schema not in _SCHEMAS:
        raise _schema_error(handle.schema, path)
    return handle


def _schema_error(name: str, path: Path) -> InputFileError:
    return InputFileError(
        f"the schema {name} can't be read; export the model as IFC2X3, IFC4 or IFC4X3", path=path
    )
