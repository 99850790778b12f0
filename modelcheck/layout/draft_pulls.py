"""A draft of a pull schedule: the likeliest pairs of every box strung together along the runs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from modelcheck.layout.likeliest import LikelyPair, likeliest_pairs
from modelcheck.model.element import ElementRef
from modelcheck.model.pull import BoxCase
from modelcheck.model.run import Run

_Side = tuple[tuple[str, int], int]  # key of a box, and a place in its entries


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftPull:
    """One pull of the draft: its runs in order, the boxes between, and why they were joined."""

    runs: tuple[Run, ...]
    boxes: tuple[ElementRef, ...]  # one less than `runs`
    because: tuple[str, ...]

    @property
    def system(self) -> str:
        """System of its runs, where they have just one."""
        systems = {run.system for run in self.runs}
        return systems.pop() if len(systems) == 1 else ""


@dataclass(frozen=True, slots=True)
class _Link:
    """The way on from one entry of a box to another."""

    to: _Side
    because: str


def draft_pulls(cases: Sequence[BoxCase], runs: Sequence[Run]) -> tuple[DraftPull, ...]:
    """String the likeliest pairs together; every entry of every box is in a pull.

    Parameters
    ----------
    cases : sequence of BoxCase
        Every box; an entry names its run.
    runs : sequence of Run
    """
    by_name = {run.name: run for run in runs}
    sides = _sides(cases)
    links: dict[_Side, _Link] = {}
    shared: list[tuple[_Side, _Link]] = []
    for case in cases:
        for pair in _pairs(case, by_name):
            one, other = ((case.enclosure.ref.key, place) for place in (pair.first, pair.second))
            if pair.is_shared:
                shared.append((one, _Link(other, pair.because)))
            else:
                links[one], links[other] = _Link(other, pair.because), _Link(one, pair.because)
    strings = _Strings(cases, by_name, sides, links)
    branches = [strings.branch(*each) for each in shared]
    held = [{run.name for run in each.runs} for each in branches]
    main = [
        pull
        for pull in strings.main()
        if not any({run.name for run in pull.runs} <= names for names in held)
    ]
    return (*main, *branches)


def _pairs(case: BoxCase, runs: Mapping[str, Run]) -> tuple[LikelyPair, ...]:
    systems = [runs[each.run].system if each.run in runs else "" for each in case.entries]
    return likeliest_pairs(case, systems)


def _sides(cases: Sequence[BoxCase]) -> dict[str, list[_Side]]:
    sides: dict[str, list[_Side]] = {}
    for case in cases:
        for place, entry in enumerate(case.entries):
            sides.setdefault(entry.run, []).append((case.enclosure.ref.key, place))
    return sides


class _Strings:
    """Runs strung together from box to box."""

    def __init__(
        self,
        cases: Sequence[BoxCase],
        runs: Mapping[str, Run],
        sides: Mapping[str, list[_Side]],
        links: Mapping[_Side, _Link],
    ) -> None:
        self._cases = {case.enclosure.ref.key: case for case in cases}
        self._runs, self._sides, self._links = runs, sides, links

    def main(self) -> list[DraftPull]:
        """Every run in one pull, each pull as far as its pairs go."""
        pulls, done = [], set[str]()
        for name, sides in sorted(self._sides.items()):
            if name in done:
                continue
            back = self._onward(name, sides[0], seen={name})
            seen = {name, *(run for run, _, _ in back)}
            on = self._onward(name, sides[1], seen=seen) if len(sides) > 1 else []
            names = [*(run for run, _, _ in reversed(back)), name, *(run for run, _, _ in on)]
            joints = [*((box, why) for _, box, why in reversed(back)), *((b, w) for _, b, w in on)]
            done |= set(names)
            pulls.append(self._pull(names, joints))
        return pulls

    def branch(self, left: _Side, link: _Link) -> DraftPull:
        """Pull of an entry that was left over: from it on along the pull of its partner."""
        own, partner = self._run_at(left), self._run_at(link.to)
        back = self._onward(own, self._far_side(own, left), seen={own, partner})
        seen = {own, partner, *(run for run, _, _ in back)}
        on = self._onward(partner, self._far_side(partner, link.to), seen=seen)
        names = [*(run for run, _, _ in reversed(back)), own, partner, *(run for run, _, _ in on)]
        joints = [
            *((box, why) for _, box, why in reversed(back)),
            (left[0], link.because),
            *((box, why) for _, box, why in on),
        ]
        return self._pull(names, joints)

    def _onward(
        self, name: str, side: _Side | None, *, seen: set[str]
    ) -> list[tuple[str, tuple[str, int], str]]:
        """Runs that follow at one side of a run, each with the box before it and why."""
        found: list[tuple[str, tuple[str, int], str]] = []
        seen = set(seen)
        while side is not None and side in self._links:
            link = self._links[side]
            name = self._run_at(link.to)
            if name in seen or not name:
                break
            seen.add(name)
            found.append((name, side[0], link.because))
            side = self._far_side(name, link.to)
        return found

    def _far_side(self, name: str, side: _Side) -> _Side | None:
        return next((each for each in self._sides[name] if each != side), None)

    def _run_at(self, side: _Side) -> str:
        return self._cases[side[0]].entries[side[1]].run

    def _pull(
        self, names: Sequence[str], joints: Sequence[tuple[tuple[str, int], str]]
    ) -> DraftPull:
        if names[-1] < names[0]:
            names, joints = names[::-1], joints[::-1]
        boxes = [self._cases[key].enclosure.ref for key, _ in joints]
        reasons = [
            f"{box.name or box.guid}: {why}" for box, (_, why) in zip(boxes, joints, strict=True)
        ]
        return DraftPull(
            runs=tuple(self._runs[name] for name in names),
            boxes=tuple(boxes),
            because=tuple(reasons),
        )
