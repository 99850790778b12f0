"""Opens the models; what can't be opened is told in one sentence."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import ifcopenshell

from modelcheck.errors import InputFileError
from modelcheck.read.file_damage import FileDamage, damage_of, statements_in

_SCHEMAS = ("IFC2X3", "IFC4", "IFC4X3")
_HEAD_BYTES = 64
_TAIL_BYTES = 4096


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelFile:
    """One opened model."""

    model: str  # as the tables show it; unique among the inputs
    path: Path
    sha256: str
    schema: str
    handle: ifcopenshell.file
    damage: FileDamage = field(default_factory=FileDamage)

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
        twice.
    """
    seen: dict[Path, Path] = {}
    for path in paths:
        real = path.resolve()
        if real in seen:
            raise InputFileError("the same model is given twice; name it once", path=path)
        seen[real] = path
    names = _told_apart([path.resolve() for path in paths])
    return tuple(_opened(path, name) for path, name in zip(paths, names, strict=True))


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
    try:
        text = path.read_bytes()
    except FileNotFoundError:
        raise InputFileError("there is no such file; check the path", path=path) from None
    except IsADirectoryError:
        raise InputFileError("this is a folder; name the IFC file in it", path=path) from None
    except OSError as error:
        reason = (error.strerror or "it can't be read").lower()
        raise InputFileError(f"the file can't be read: {reason}", path=path) from None
    _refuse_damaged(path, text)
    ifcopenshell.get_log()  # of what was done before
    try:
        handle = ifcopenshell.open(str(path), ".ifc")
    except ifcopenshell.SchemaError as error:
        name = str(error).rsplit(":", 1)[-1].strip()
        raise InputFileError(
            f"the schema {name} can't be read; export the model as IFC2X3, IFC4 or IFC4X3",
            path=path,
        ) from None
    except (ifcopenshell.Error, RuntimeError, OSError, ValueError, IndexError):
        raise InputFileError(
            "the text is not a readable IFC file; export the model again", path=path
        ) from None
    if handle.schema not in _SCHEMAS:
        raise InputFileError(
            f"the schema {handle.schema} can't be read; export the model as IFC2X3, IFC4 or IFC4X3",
            path=path,
        )
    if not handle.entity_names() and statements_in(text):
        raise InputFileError(
            "none of its statements can be read; export the model again", path=path
        )
    return ModelFile(
        model=model,
        path=path,
        sha256=hashlib.sha256(text).hexdigest(),
        schema=handle.schema_identifier,
        handle=handle,
        damage=damage_of(handle, ifcopenshell.get_log(), text),
    )


def _refuse_damaged(path: Path, text: bytes) -> None:
    """Refuse what the library would open without a word, or with a misleading one."""
    head = text[:_HEAD_BYTES].lstrip(b"\xef\xbb\xbf \t\r\n")
    if not text.strip():
        raise InputFileError("the file is empty; export the model again", path=path)
    if head.startswith(b"PK"):
        raise InputFileError("this is a ZIP archive; unpack it and name the IFC file", path=path)
    if head.startswith((b"<", b"{", b"[")):
        raise InputFileError(
            "this is XML or JSON, not the text form of IFC; export the model as .ifc", path=path
        )
    if not head.upper().startswith(b"ISO-10303-21"):
        raise InputFileError("this is not an IFC file; name a model that ends in .ifc", path=path)
    tail = text[-_TAIL_BYTES:].upper()
    if b"ENDSEC" not in tail or b"END-ISO-10303-21" not in tail:
        raise InputFileError(
            "the file is cut off: its data section has no end; export or copy it again", path=path
        )
