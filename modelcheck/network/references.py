"""What a schedule's references mean in the traced network."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path

from modelcheck.errors import AmbiguousReferenceError
from modelcheck.model.element import Conduit, ElementRef, Enclosure
from modelcheck.model.run import Network, Run

Key = tuple[str, int]
_MOST_CANDIDATES = 5


@dataclass(frozen=True, slots=True)
class Stop:
    """A box, or another thing that runs end at."""

    key: Key


Step = Stop | Run


class References:
    """Finds what a GlobalId, Tag or unique Name of a conduit or box means."""

    def __init__(
        self,
        network: Network,
        conduits: Sequence[Conduit],
        enclosures: Sequence[Enclosure],
        *,
        path: Path | str,
    ) -> None:
        self._path = path
        self._boxes = {box.ref.key for box in enclosures}
        self._runs: dict[Key, list[Run]] = {}
        ends: dict[Key, ElementRef] = {}
        for run in network.runs:
            for ref in dict.fromkeys(run.elements):
                self._runs.setdefault(ref.key, []).append(run)
            ends |= {end.ref.key: end.ref for end in (run.start, run.end) if end.ref}
        self._ends = ends
        refs = [*(each.ref for each in conduits), *(each.ref for each in enclosures)]
        self._named = _by_name(refs)
        self._named_ends = _by_name(ends.values())

    def found(self, text: str) -> dict[Key, ElementRef]:
        """Conduits and boxes that `text` names; if there is none, what else ends a run."""
        return self._named.get(text) or self._named_ends.get(text, {})

    def steps(self, text: str, *, line: int) -> tuple[Step, ...]:
        """What a route that names `text` goes through; several runs for one conduit in them all.

        Raises
        ------
        AmbiguousReferenceError
            If it names nothing that was traced, or more than one thing.
        """
        found = self.found(text)
        if not found:
            close = get_close_matches(text, self._named, n=_MOST_CANDIDATES, cutoff=0.5)
            near = f"; near to it: {', '.join(close)}" if close else ""
            raise self.error(f"{text!r} names no conduit or box{near}", line=line, candidates=close)
        meanings = {self._steps(key) for key in found}
        if len(meanings) > 1:
            raise self._ambiguous(text, list(found.values()), line=line)
        (steps,) = meanings
        if not steps:
            raise self.error(f"{text!r} names an element that is in no traced run", line=line)
        return steps

    def box(self, text: str, *, line: int) -> Key:
        """Key of the box that `text` names.

        Raises
        ------
        AmbiguousReferenceError
            If it names something else, nothing, or more than one thing.
        """
        step, *more = self.steps(text, line=line)
        if more or not isinstance(step, Stop) or step.key not in self._boxes:
            raise self.error(f"{text!r} names no box", line=line)
        return step.key

    def error(
        self, message: str, *, line: int, candidates: Sequence[str] = ()
    ) -> AmbiguousReferenceError:
        """Make the error that says `message` of a row of the schedule."""
        return AmbiguousReferenceError(message, path=self._path, line=line, candidates=candidates)

    def _steps(self, key: Key) -> tuple[Step, ...]:
        if key in self._boxes:
            return (Stop(key),)
        runs = self._runs.get(key, [])
        return tuple(runs) if runs or key not in self._ends else (Stop(key),)

    def _ambiguous(
        self, text: str, found: Sequence[ElementRef], *, line: int
    ) -> AmbiguousReferenceError:
        told = sorted(f"{ref.guid} ({ref.name or ref.ifc_class}, {ref.model})" for ref in found)
        more = f" and {len(told) - _MOST_CANDIDATES} more" if len(told) > _MOST_CANDIDATES else ""
        named = ", ".join(told[:_MOST_CANDIDATES])
        message = f"{text!r} names more than one thing, give the GlobalId: {named}{more}"
        return self.error(message, line=line, candidates=told)


def _by_name(refs: Iterable[ElementRef]) -> dict[str, dict[Key, ElementRef]]:
    """Elements by each of their names: GlobalId, Tag and Name."""
    named: dict[str, dict[Key, ElementRef]] = {}
    for ref in refs:
        for name in {ref.guid, ref.tag.strip(), ref.name.strip()} - {""}:
            named.setdefault(name, {})[ref.key] = ref
    return named
