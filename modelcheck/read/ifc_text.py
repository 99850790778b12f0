"""The text of a model, as it lies in its file or in an archive, within limits."""

from __future__ import annotations

import re
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from lzma import LZMAError
from pathlib import Path
from tempfile import TemporaryFile

from modelcheck.errors import InputFileError

MOST_BYTES = 2 * 2**30  # of a model that comes in an archive
MOST_RATIO = 300  # times the archive; text of IFC is packed to a tenth, seldom to a hundredth

_HEAD_BYTES = 64
_TAIL_BYTES = 4096
_ZIP = b"PK"
_UTF_16 = (b"\xff\xfe", b"\xfe\xff", b"I\x00S\x00", b"\x00I\x00S")
_SCHEMAS = re.compile(rb"FILE_SCHEMA\s*\(\s*\(\s*'[^']*'(?:\s*,\s*'[^']*')*\s*\)\s*\)")
_BROKEN = (
    zipfile.BadZipFile,
    zlib.error,
    LZMAError,
    EOFError,
    OSError,
    RuntimeError,
    NotImplementedError,
    ValueError,
)


def read_text(path: Path, data: bytes) -> bytes:
    """Text of the model in a file that holds `data`, unpacked if that is an archive.

    Parameters
    ----------
    path : Path
        Of the file, to be named in errors.
    data : bytes

    Raises
    ------
    InputFileError
        If it holds no text of IFC, or one that is cut off.
    """
    text = _unpacked(path, data) if is_zipped(data) else data
    _refuse_other(path, text)
    _refuse_damaged(path, text)
    return text


def is_zipped(data: bytes) -> bool:
    """True for an archive."""
    return data.startswith(_ZIP)


@contextmanager
def laid_out(text: bytes) -> Iterator[Path]:
    """Path to read `text` at, of a file without a name: it is gone however the program ends."""
    with TemporaryFile() as file:
        file.write(text)
        file.flush()
        yield Path(f"/dev/fd/{file.fileno()}")


def _unpacked(path: Path, data: bytes) -> bytes:
    """The one IFC file of an archive; no name in it is used as a path."""
    try:
        with zipfile.ZipFile(BytesIO(data)) as archive:
            member = _model_in(archive, path)
            _refuse_large(member, path, packed_bytes=len(data))
            with archive.open(member) as file:
                return file.read(MOST_BYTES)
    except _BROKEN:
        raise InputFileError(
            "the archive is damaged or packed in an unusual way; pack the IFC file again", path=path
        ) from None


def _model_in(archive: zipfile.ZipFile, path: Path) -> zipfile.ZipInfo:
    names = {each.filename: each for each in archive.infolist() if not _is_aside(each.filename)}
    models = [name for name in names if name.lower().endswith(".ifc")]
    if len(models) > 1:
        raise InputFileError(
            f"the archive holds {len(models)} IFC files; unpack it and name them", path=path
        )
    if models:
        return names[models[0]]
    if any(name.lower().endswith((".ifcxml", ".xml")) for name in names):
        raise InputFileError(
            "the archive holds XML, not the text form of IFC; export the model as .ifc", path=path
        )
    raise InputFileError("the archive holds no file that ends in .ifc", path=path)


def _is_aside(name: str) -> bool:
    """True for what some systems lay beside each file that they pack."""
    return name.startswith("__MACOSX/") or Path(name).name.startswith("._")


def _refuse_large(member: zipfile.ZipInfo, path: Path, *, packed_bytes: int) -> None:
    if member.flag_bits & 1:
        raise InputFileError("the archive is locked by a password; unpack it first", path=path)
    if member.file_size > min(MOST_BYTES, MOST_RATIO * packed_bytes):
        raise InputFileError(
            f"the archive would unpack to {member.file_size / 1e6:,.0f} MB; "
            "if that is right, unpack it and name the IFC file",
            path=path,
        )


def _refuse_other(path: Path, text: bytes) -> None:
    """Refuse what is no text of IFC."""
    head = text[:_HEAD_BYTES].lstrip(b"\xef\xbb\xbf \t\r\n")
    if text.isspace() or not text:
        raise InputFileError("the file is empty; export the model again", path=path)
    if head.startswith((b"<", b"{", b"[")):
        raise InputFileError(
            "this is XML or JSON, not the text form of IFC; export the model as .ifc", path=path
        )
    if text.startswith(_UTF_16):
        raise InputFileError(
            "this text is in UTF-16; save it in UTF-8, or export the model again", path=path
        )
    if not head.upper().startswith(b"ISO-10303-21"):
        raise InputFileError("this is not an IFC file; name a model that ends in .ifc", path=path)


def _refuse_damaged(path: Path, text: bytes) -> None:
    """Refuse what the library would open without a word, or not come back from."""
    tail = text[-_TAIL_BYTES:].upper()
    if b"ENDSEC" not in tail or b"END-ISO-10303-21" not in tail:
        raise InputFileError(
            "the file is cut off: its data section has no end; export or copy it again", path=path
        )
    is_doubled = text.count(b"FILE_SCHEMA") > 1 and len(_SCHEMAS.findall(text)) > 1
    if text.count(b"\nHEADER;") > 1 or is_doubled:
        raise InputFileError("the file has two headers; export the model again", path=path)
    if not _SCHEMAS.search(text, 0, text.find(b"DATA;") + 1 or len(text)):
        raise InputFileError("its header names no schema; export the model again", path=path)
