"""The process that the geometry library runs in; started by `engine`, knows nothing of the rest."""

from __future__ import annotations

import ctypes
import os
import signal
import struct
import sys
from typing import IO, Any

import ifcopenshell
import ifcopenshell.geom

_HEAD = struct.Struct("<QQ")  # before every message, as `engine` has it
_DIE_WITH_PARENT = 1  # PR_SET_PDEATHSIG of Linux
_MOST_BYTES = 4 * 2**30  # of memory; a body that needs more is no piece of raceway


def _bind(parent: int) -> None:
    """End with the process that asks, also where it is killed, and take no more than a share."""
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(_DIE_WITH_PARENT, signal.SIGKILL)
    if sys.platform != "win32":
        import resource  # noqa: PLC0415 - not everywhere

        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        resource.setrlimit(resource.RLIMIT_AS, (_MOST_BYTES, _MOST_BYTES))
        if os.getppid() != parent:
            sys.exit()


def _mesh(text: str, step_id: int) -> tuple[bytes, bytes]:
    model = ifcopenshell.file.from_string(text)
    try:
        body = model.by_id(step_id)
        mesh: Any = ifcopenshell.geom.create_shape(ifcopenshell.geom.settings(), body)
    except RuntimeError:  # makes no body
        return b"", b""
    return bytes(mesh.verts_buffer), bytes(mesh.faces_buffer)


def _serve(asked: IO[bytes], answers: IO[bytes]) -> None:
    while len(head := asked.read(_HEAD.size)) == _HEAD.size:
        step_id, size = _HEAD.unpack(head)
        corners, faces = _mesh(asked.read(size).decode(), step_id)
        answers.write(_HEAD.pack(len(corners), len(faces)) + corners + faces)
        answers.flush()


if __name__ == "__main__":
    _bind(int(sys.argv[1]))
    with os.fdopen(os.dup(1), "wb") as own_answers:
        os.dup2(2, 1)  # the library may print
        _serve(sys.stdin.buffer, own_answers)
