"""Why a finding is another one than before, as far as the tables tell."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from math import dist, hypot

from modelcheck.changes.cells import amount, apart_m, apart_on_wall_mm, number, place, sizes
from modelcheck.changes.differences import schedule_differs, settings_differences
from modelcheck.changes.matching import Pair, elements_of, subject_of
from modelcheck.model.change import Results, Row
from modelcheck.model.finding import BOX_CHECKS
from modelcheck.units import from_metres, to_metres

_NOISE_MM = 0.15  # of a length that is written to a tenth of a millimetre
_MOVED_M = 0.0015  # of a place that is written to a millimetre
_SHOWN = 3
_ROUNDING = {"mm": 0.18, "in": 0.008, "cm3": 0.14, "in3": 0.009}  # of both units together
_ON_WALL = {"x": ("y", "z"), "y": ("x", "z"), "z": ("x", "y")}  # axes of u and v


class _Tables:
    """Rows of one results by what they are about, under their new GlobalIds."""

    def __init__(self, results: Results, names: Mapping[str, str]) -> None:
        self._names = names
        self.boxes = {names.get(row["box_guid"], row["box_guid"]): row for row in results.boxes}
        self.entries: dict[str, dict[str, Row]] = defaultdict(dict)  # by box and conduit
        self.runs: dict[str, list[Row]] = defaultdict(list)  # by element
        for row in results.entries:
            box, conduit = (names.get(row[key], row[key]) for key in ("box_guid", "conduit_guid"))
            self.entries[box].setdefault(conduit, row)
        for row in results.runs:
            for guid in elements_of(row, names):
                self.runs[guid].append(row)

    def run(self, guids: frozenset[str]) -> Row | None:
        """Run that has most of these elements."""
        rows = {row["run"]: row for guid in guids for row in self.runs.get(guid, ())}
        shared = {name: len(guids & elements_of(row, self._names)) for name, row in rows.items()}
        return rows[max(shared, key=lambda name: (shared[name], name))] if shared else None


class Reasons:
    """Looks for what lies behind the changes from `old` to `new`.

    Parameters
    ----------
    old, new : Results
    names : mapping of str to str
        GlobalIds of `new` by those of `old` that they stand for, where these differ.
    """

    def __init__(self, old: Results, new: Results, names: Mapping[str, str]) -> None:
        self._old, self._new = _Tables(old, names), _Tables(new, {})
        self._names = names
        self._settings = settings_differences(old.summary, new.summary)
        self._schedule_differs = schedule_differs(old.summary, new.summary)

    def moved_m(self, old: Row, new: Row) -> float | None:
        """How far the subject of a row was moved; None if it wasn't. [m]

        A box of which one side was moved, and a run of which one end was, grew.
        """
        if new["check"] in BOX_CHECKS:
            boxes = self._boxes(new)
            moved_m = _box_moved_m(*boxes) if boxes else apart_m(old, new)
        else:
            runs = self._runs(old, new)
            moved_m = _run_moved_m(*runs) if runs else apart_m(old, new)
        return moved_m if moved_m is not None and moved_m > _MOVED_M else None

    def of(self, pair: Pair) -> tuple[str, ...]:
        """Sentences on what differs behind one row; none if nothing is known to."""
        old, new = pair.old, pair.new
        if old is None or new is None:
            row = new or old
            assert row is not None
            return tuple(self._of_single(row, is_new=old is None))
        found = [*_of_rule(old, new)]
        if new["check"] in BOX_CHECKS:
            boxes = self._boxes(new)
            found += _of_boxes(*boxes) if boxes else ()
            found += self._of_entries(old, new)
        else:
            runs = self._runs(old, new)
            found += _of_runs(*runs) if runs else ()
        if _differ(old, new):
            found += self._of_checks(new)
            if self._schedule_differs and not found:
                found.append("the pull schedule differs")
            if not found and old["working"] != new["working"]:
                found.append(f"worked as {new['working']}, before {old['working']}")
        moved_m = self.moved_m(old, new)
        if moved_m is not None:
            found.append(f"moved by {from_metres(moved_m, 'mm'):.0f} mm")
        return (*found, *_of_acceptance(old, new))

    def _boxes(self, new: Row) -> tuple[Row, Row] | None:
        guid = new["subject_guid"]
        before, after = self._old.boxes.get(guid), self._new.boxes.get(guid)
        return None if before is None or after is None else (before, after)

    def _growth_mm(self, guid: str) -> dict[str, float]:
        """How much a box grew along each of its axes; an axis that isn't known is left out."""
        before, after = self._old.boxes.get(guid, {}), self._new.boxes.get(guid, {})
        return {
            axis: b - a
            for axis, a, b in zip("xyz", sizes(before), sizes(after), strict=True)
            if a is not None and b is not None
        }

    def _runs(self, old: Row, new: Row) -> tuple[Row, Row] | None:
        before = self._old.run(elements_of(old, self._names))
        after = self._new.run(elements_of(new, {}))
        return None if before is None or after is None else (before, after)

    def _of_checks(self, row: Row) -> Iterator[str]:
        """Settings that bear on a row."""
        subject = (row["subject_guid"], row["subject_name"])
        for each in self._settings:
            if each.name in ("", *subject) and each.check in ("", row["check"]):
                yield f"setting {each.text}"

    def _of_entries(self, old: Row, new: Row) -> Iterator[str]:
        """What became of the entries of a box that two rows are about."""
        guid = new["subject_guid"]
        before, after = self._old.entries.get(guid, {}), self._new.entries.get(guid, {})
        ours = elements_of(old, self._names) | elements_of(new, {})
        for conduit in sorted(ours):
            first, second = before.get(conduit), after.get(conduit)
            if first and second:
                yield from _of_entry(first, second, self._growth_mm(guid))
                if _differ(old, new):
                    yield from _of_carried(first, second)
            elif first:
                yield f"{_entry(first)} is gone"
            elif second:
                yield f"{_entry(second)} is new"

    def _of_single(self, row: Row, *, is_new: bool) -> Iterator[str]:
        """Why a row has no other: its subject or its elements have none, else the checks differ."""
        word = "new" if is_new else "gone"
        found = [f"{what} is {word}" for what in self._missing(row, is_new=is_new)]
        if not found:
            found = [*self._of_checks(row)]
            found += ["the pull schedule differs"] * self._schedule_differs
        yield from found

    def _missing(self, row: Row, *, is_new: bool) -> Iterator[str]:
        """What of a row the other results don't have."""
        there, own = (self._old, self._new) if is_new else (self._new, self._old)
        names = {} if is_new else self._names
        subject, guids = subject_of(row, names), elements_of(row, names)
        if row["check"] in BOX_CHECKS:
            if subject not in there.boxes:
                yield "the box"
                return
            entries = own.entries.get(subject, {})
            missing = sorted(guids - there.entries.get(subject, {}).keys())
            yield from (_entry(entries[guid]) for guid in missing if guid in entries)
            return
        run = own.run(guids)
        if run and not elements_of(run, names) & there.runs.keys():
            yield "the run"
        else:
            yield from (f"element {guid}" for guid in sorted(guids - there.runs.keys())[:_SHOWN])


def _box_moved_m(old: Row, new: Row) -> float | None:
    apart = apart_m(old, new)
    growth_mm = [
        (a - b) / 2
        for a, b in zip(sizes(old), sizes(new), strict=True)
        if a is not None and b is not None
    ]
    allowed = to_metres(hypot(*growth_mm), "mm")
    return None if apart is None or apart <= allowed + _MOVED_M else apart


def _run_moved_m(old: Row, new: Row) -> float | None:
    """How far the end that moved less lies from where it was, whichever end is the start."""
    ends = [place(row, prefix) for row in (old, new) for prefix in ("", "end_")]
    a, b, c, d = ends
    if a is None or b is None or c is None or d is None:
        return None
    ways = ((dist(a, c), dist(b, d)), (dist(a, d), dist(b, c)))
    return min(min(ways, key=max))


def _of_rule(old: Row, new: Row) -> Iterator[str]:
    rules = [f"{row['code']} {row['edition']}" for row in (old, new)]
    if rules[0] != rules[1]:
        yield f"by {rules[1]}, before by {rules[0]}"
    elif old["clause"] != new["clause"]:
        yield f"by clause {new['clause']}, before by {old['clause']}"


def _of_boxes(old: Row, new: Row) -> Iterator[str]:
    steps = {
        axis: (a, b)
        for axis, a, b in zip("xyz", sizes(old), sizes(new), strict=True)
        if a != b and (a is None or b is None or abs(a - b) > _NOISE_MM)
    }
    known = [b - a for a, b in steps.values() if a is not None and b is not None]
    if steps:
        word = "was resized"
        if len(known) == len(steps):
            word = "grew" if min(known) > 0 else "shrank" if max(known) < 0 else word
        told = ", ".join(f"{axis} {_mm(a)} to {_mm(b)}" for axis, (a, b) in steps.items())
        yield f"the box {word}: {told} mm"
        if old["size_from"] != new["size_from"]:
            yield f"its size rests on {new['size_from']}, before on {old['size_from']}"
    if old["cover"] != new["cover"]:
        yield f"its cover is {new['cover']}, before {old['cover']}"


def _entry(row: Row) -> str:
    """Name an entry by its conduit."""
    return f"entry {row.get('conduit_name') or row['conduit_guid']}"


def _of_entry(old: Row, new: Row, growth_mm: Mapping[str, float]) -> Iterator[str]:
    apart_mm = apart_on_wall_mm(old, new)
    if old["wall"] != new["wall"]:
        yield f"{_entry(new)} moved from wall {old['wall']} to {new['wall']}"
    elif apart_mm is not None:
        # the middle of a wall that grew at one side lies elsewhere
        grown_mm = hypot(*(growth_mm.get(axis, 0.0) / 2 for axis in _ON_WALL[new["wall"][1]]))
        if min(apart_mm, abs(apart_mm - grown_mm)) > _NOISE_MM:
            yield f"{_entry(new)} moved by {apart_mm:.1f} mm on wall {new['wall']}"
    sizes_in = [row["trade_size_in"] or "unknown" for row in (old, new)]
    if sizes_in[0] != sizes_in[1]:
        yield f"{_entry(new)} has trade size {sizes_in[1]}, before {sizes_in[0]}"


def _of_carried(old: Row, new: Row) -> Iterator[str]:
    carried = [row["carries"] or "nothing known" for row in (old, new)]
    if carried[0] != carried[1]:
        yield f"{_entry(new)} carries {carried[1]}, before {carried[0]}"


def _of_runs(old: Row, new: Row) -> Iterator[str]:
    lengths = [number(row, "length_mm") or 0.0 for row in (old, new)]
    if abs(lengths[0] - lengths[1]) > _NOISE_MM:
        word = "longer" if lengths[1] > lengths[0] else "shorter"
        yield f"the run is {word}: {_mm(lengths[0])} to {_mm(lengths[1])} mm"
    bends = [f"{row['bend_count']} ({row['bend_total_deg']} deg in all)" for row in (old, new)]
    if bends[0] != bends[1]:
        yield f"number of bends {bends[1]}, before {bends[0]}"
    if old["limit_deg"] != new["limit_deg"]:
        yield f"its limit is {new['limit_deg']} deg, before {old['limit_deg']}"
    raceways = [f"{row['raceway_type']} {row['trade_size_in']}".strip() for row in (old, new)]
    if raceways[0] != raceways[1]:
        yield f"its raceway is {raceways[1] or 'unknown'}, before {raceways[0] or 'unknown'}"


def _of_acceptance(old: Row, new: Row) -> Iterator[str]:
    by = [row.get("accepted_by", "") for row in (old, new)]
    if by[1] and not by[0]:
        yield f"accepted by {by[1]}"
    elif by[0] and not by[1] and new["outcome"] == "fail":
        yield f"no longer accepted (before by {by[0]})"


def _differ(old: Row, new: Row) -> bool:
    """Whether the verdict or an amount differs by more than the rounding of two units."""
    unit = new["unit"]
    amounts = [[amount(row, name, unit) for name in ("required", "provided")] for row in (old, new)]
    slack = 0.0 if old["unit"] == unit else _ROUNDING.get(unit, 0.0)
    return old["outcome"] != new["outcome"] or any(
        a != b and (a is None or b is None or abs(a - b) > slack)
        for a, b in zip(*amounts, strict=True)
    )


def _mm(length_mm: float | None) -> str:
    return "unknown" if length_mm is None else f"{length_mm:g}"
