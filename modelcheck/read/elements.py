"""Everything of the models that this job is about, as records."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from modelcheck.geometry.neighbours import close_pairs
from modelcheck.model.element import Conduit, ElementRef, Enclosure, NotUnderstood
from modelcheck.model.settings import Settings
from modelcheck.read.drawn_sizes import as_others_are_drawn
from modelcheck.read.engine import Engine
from modelcheck.read.file_reader import Candidate, FileReader, Found
from modelcheck.read.ifc_file import ModelFile
from modelcheck.read.lost import without_lost
from modelcheck.read.recognised import Recognised
from modelcheck.read.shares import Share, shares_of, worked


@dataclass(slots=True)
class Elements:
    """What was read of all files together."""

    conduits: tuple[Conduit, ...] = ()
    enclosures: tuple[Enclosure, ...] = ()
    not_understood: tuple[NotUnderstood, ...] = ()
    candidates: tuple[Candidate, ...] = ()
    considered: tuple[tuple[ElementRef, Recognised], ...] = ()  # all but walls and the like
    notes: tuple[str, ...] = ()  # what is damaged in a whole file


def read_elements(files: Sequence[ModelFile], settings: Settings, *, workers: int = 1) -> Elements:
    """Read the conduits and boxes of every file.

    Parameters
    ----------
    files : sequence of ModelFile
    settings : Settings
    workers : int
        Processes that share the elements; what is read doesn't hang on it. [-]
    """
    counts = [len(file.handle.by_type("IfcElement")) for file in files]
    shares = worked(partial(_read_share, files, settings), shares_of(counts, workers))
    parts = [part for share in shares for part in share]
    tentative = {key for part in parts for key in part.tentative}
    found = as_others_are_drawn([each for part in parts for each in part.conduits])
    conduits = _settled(found, tentative, settings.tolerances.near_m)
    boxes = [each for part in parts for each in part.enclosures]
    lost = [each for part in parts for each in part.lost]
    dropped = tentative - {each.ref.key for each in conduits}
    considered = [each for part in parts for each in part.considered]
    not_understood = [each for part in parts for each in part.not_understood]
    not_understood += [
        NotUnderstood(ref=ref, reason=recognised.reason, remedy=recognised.remedy)
        for ref, recognised in considered
        if ref.key in dropped and recognised.reason
    ]
    return Elements(
        conduits=conduits,
        enclosures=without_lost(
            boxes,
            lost,
            sum(file.damage.lost for file in files),
            [end.point for each in conduits for end in each.ends],
        ),
        not_understood=tuple(not_understood),
        candidates=tuple(each for part in parts for each in part.candidates),
        considered=tuple(considered),
        notes=tuple(dict.fromkeys(note for part in parts for note in part.notes)),
    )


def _read_share(files: Sequence[ModelFile], settings: Settings, share: Share) -> list[Found]:
    engine = Engine()
    found = []
    for number, first, last in share:
        reader = FileReader(files[number], settings, engine)
        reader.read(first, last)
        found.append(reader.found())
    return found


def _settled(
    conduits: Sequence[Conduit], tentative: set[tuple[str, int]], near_m: float
) -> tuple[Conduit, ...]:
    """`conduits` without the fittings of unknown trade that come near no conduit."""
    if not tentative:
        return tuple(conduits)
    ends = [(place, end.point) for place, each in enumerate(conduits) for end in each.ends]
    beside: dict[int, set[int]] = defaultdict(set)
    for a, b in close_pairs([point for _, point in ends], near_m):
        beside[ends[a][0]].add(ends[b][0])
        beside[ends[b][0]].add(ends[a][0])
    kept = {place for place, each in enumerate(conduits) if each.ref.key not in tentative}
    fresh = kept
    while fresh:
        fresh = {other for place in fresh for other in beside[place]} - kept
        kept |= fresh
    return tuple(conduits[place] for place in sorted(kept))
