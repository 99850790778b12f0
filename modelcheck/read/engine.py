"""Bodies that aren't worked from their parameters, as triangles, by the geometry library.

The library can hang on a damaged body, or end the process it runs in. So it runs in one of its own
(`engine_worker.py`), that is started for the first such body and again after its end, and is given
each body as a small model of its own: whatever becomes of it, one element is lost and told.
"""

from __future__ import annotations

import os
import re
import struct
import subprocess
import sys
from contextlib import suppress
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from pathlib import Path
from threading import Timer
from typing import IO
from weakref import finalize

import numpy as np

from modelcheck.geometry.frames import Array
from modelcheck.read.curves import Scales, UnreadableError
from modelcheck.read.property_values import Entity

LIMIT_S = 20.0  # for all bodies of one element
_WORKER = Path(__file__).with_name("engine_worker.py")
_HEAD = struct.Struct("<QQ")  # asked: instance number, bytes of text; answered: bytes of the arrays
_MOST_HANGS = 5  # of one project; then no more time is lost

_DEEPEST = 1024  # levels of instances in one another: of many more the library's walk overflows

_TEXT = re.compile(r"'[^']*'")
_REFERENCE = re.compile(r"#(\d+)")
_NO_PATH = re.compile(r"IFCPOLYLINE\(\((#\d+)?\)\)|IFCCARTESIANPOINTLIST[23]D\(\(\)")
_MODEL = """ISO-10303-21;
HEADER;
FILE_DESCRIPTION((''),'2;1');
FILE_NAME('','',(''),(''),'','','');
FILE_SCHEMA(('{schema}'));
ENDSEC;
DATA;
{lines}
#{n[0]}=IFCDIMENSIONALEXPONENTS(1,0,0,0,0,0,0);
#{n[1]}=IFCSIUNIT(*,.LENGTHUNIT.,$,.METRE.);
#{n[2]}=IFCMEASUREWITHUNIT(IFCLENGTHMEASURE({length_m!r}),#{n[1]});
#{n[3]}=IFCCONVERSIONBASEDUNIT(#{n[0]},.LENGTHUNIT.,'length',#{n[2]});
#{n[4]}=IFCDIMENSIONALEXPONENTS(0,0,0,0,0,0,0);
#{n[5]}=IFCSIUNIT(*,.PLANEANGLEUNIT.,$,.RADIAN.);
#{n[6]}=IFCMEASUREWITHUNIT(IFCPLANEANGLEMEASURE({angle_rad!r}),#{n[5]});
#{n[7]}=IFCCONVERSIONBASEDUNIT(#{n[4]},.PLANEANGLEUNIT.,'angle',#{n[6]});
#{n[8]}=IFCUNITASSIGNMENT((#{n[3]},#{n[7]}));
#{n[9]}=IFCPROJECT('0000000000000000000000',$,$,$,$,$,$,$,#{n[8]});
ENDSEC;
END-ISO-10303-21;
"""


@dataclass(frozen=True, slots=True)
class _Process:
    """The process that runs now, with its two pipes."""

    handle: subprocess.Popen[bytes]
    asked: IO[bytes]
    answers: IO[bytes]

    def end(self) -> None:
        """Leave nothing of it, not even its exit status."""
        self.handle.kill()
        self.handle.wait()
        for pipe in (self.asked, self.answers):
            with suppress(BrokenPipeError):  # of what it didn't read
                pipe.close()


class Engine:
    """The geometry library for the models of one project.

    Parameters
    ----------
    worker : Path
        Program to ask.
    """

    def __init__(self, worker: Path = _WORKER) -> None:
        self._worker = worker
        self._process: _Process | None = None
        self._ending: finalize[[], Engine] | None = None
        self._hangs = 0

    def mesh(self, item: Entity, scales: Scales, *, limit_s: float) -> Array:
        """Triangles of `item`, shape (n, 3, 3) [m].

        Raises
        ------
        UnreadableError
            If it makes none, or none within `limit_s`.
        """
        kind = f"an {item.is_a()}"
        text = _model_of(item, scales)
        if limit_s <= 0.0 or self._hangs >= _MOST_HANGS:
            raise UnreadableError(f"{kind}, and working such bodies takes too long in this model")
        try:
            triangles = self._asked_in_time(item.id(), text, limit_s)
        except TimeoutError:
            self._hangs += 1
            raise UnreadableError(f"{kind} that takes more than {LIMIT_S:g} s to work") from None
        except (EOFError, OSError):
            raise UnreadableError(f"{kind} that breaks the geometry library") from None
        if not len(triangles):
            raise UnreadableError(f"{kind} that makes no body")
        return triangles

    def _asked_in_time(self, step_id: int, text: bytes, limit_s: float) -> Array:
        process = self._started()
        late: list[Timer] = []

        def stop() -> None:
            late.append(timer)
            process.handle.kill()

        timer = Timer(limit_s, stop)
        timer.start()
        try:
            return _asked(process, step_id, text)
        except (EOFError, OSError):
            self._end()
            if late:
                raise TimeoutError from None
            raise
        finally:
            timer.cancel()
            timer.join()
            if late:
                self._end()

    def _started(self) -> _Process:
        if self._process is None:
            handle = subprocess.Popen(
                [sys.executable, "-P", str(self._worker), str(os.getpid())],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
            )
            if handle.stdin is None or handle.stdout is None:
                raise AssertionError("a pipe was asked for")
            self._process = _Process(handle, handle.stdin, handle.stdout)
            self._ending = finalize(self, self._process.end)
        return self._process

    def _end(self) -> None:
        if self._ending is not None:
            self._ending()
        self._process = None


def _asked(process: _Process, step_id: int, text: bytes) -> Array:
    process.asked.write(_HEAD.pack(step_id, len(text)) + text)
    process.asked.flush()
    sizes = _HEAD.unpack(_read(process.answers, _HEAD.size))
    corners, faces = (_read(process.answers, size) for size in sizes)
    points: Array = np.frombuffer(corners, dtype=np.float64).reshape(-1, 3)
    return points[np.frombuffer(faces, dtype=np.int32).reshape(-1, 3)]


def _read(pipe: IO[bytes], size: int) -> bytes:
    found = pipe.read(size)
    if len(found) < size:
        raise EOFError
    return found


def _model_of(item: Entity, scales: Scales) -> bytes:
    """Text of a model that holds `item` and what it refers to, with the units of its own model."""
    lines = [part.to_string() for part in item.file.traverse(item, _DEEPEST) if part.id()]
    refers = {
        int(own): set(map(int, others))
        for own, *others in (_REFERENCE.findall(_TEXT.sub("", line)) for line in lines)
    }
    if not refers.keys() >= set().union(*refers.values()):
        raise UnreadableError(f"an {item.is_a()} of too many parts in one another")
    try:
        TopologicalSorter(refers).prepare()
    except CycleError:
        raise UnreadableError(f"an {item.is_a()} that is part of itself") from None
    if any(_NO_PATH.search(line) for line in lines):
        raise UnreadableError(f"an {item.is_a()} along a path without points")
    first = max(refers) + 1
    text = _MODEL.format(
        schema=item.file.schema_identifier,
        lines=";\n".join(lines) + ";",
        n=range(first, first + 10),
        length_m=scales.length_m,
        angle_rad=scales.angle_rad,
    )
    return text.encode()
