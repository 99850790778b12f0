"""The pulls of a schedule, led through the runs and boxes of the network."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from modelcheck.model.element import Conduit, Enclosure
from modelcheck.model.pull import BoxPull, Conductors, PullLegs, RunPull, ScheduleRow
from modelcheck.model.run import Network
from modelcheck.network.references import Key, References
from modelcheck.network.walks import Route, entries_at_ends, find_route


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """What each box, run and entry carries."""

    box_pulls: Mapping[Key, tuple[BoxPull, ...] | None] = field(default_factory=dict)
    run_pulls: Mapping[str, tuple[RunPull, ...]] = field(default_factory=dict)
    entry_pulls: Mapping[int, tuple[str, ...]] = field(default_factory=dict)  # by network entry
    pull_legs: tuple[PullLegs, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pull:
    """The rows of one pull, put together."""

    name: str
    route: Route
    conductors: tuple[Conductors, ...]
    splices: frozenset[Key]
    is_spare: bool
    system: str
    voltage_v: float | None
    trade_size_in: str


def box_entries(network: Network) -> dict[Key, list[int]]:
    """Numbers of the network's entries by their box: the order of ``BoxCase.entries``."""
    by_box: dict[Key, list[int]] = {}
    for number, entry in enumerate(network.entries):
        by_box.setdefault(entry.box.key, []).append(number)
    return by_box


def carry(
    schedule: Sequence[ScheduleRow],
    path: Path | str,
    network: Network,
    conduits: Sequence[Conduit],
    enclosures: Sequence[Enclosure],
) -> Carried:
    """Lead every pull of `schedule` along its route.

    Parameters
    ----------
    schedule : sequence of ScheduleRow
    path : Path or str
        Of the schedule, for errors.
    network : Network
    conduits : sequence of Conduit
    enclosures : sequence of Enclosure

    Raises
    ------
    AmbiguousReferenceError
        If a reference names nothing or more than one thing, a route jumps or can be read in two
        ways, or rows of one pull differ; with the row.
    """
    references = References(network, conduits, enclosures, path=path)
    entry_at = entries_at_ends(network)
    by_pull: dict[str, list[tuple[ScheduleRow, Route]]] = {}
    for row in schedule:
        route = find_route(row, references, entry_at)
        by_pull.setdefault(row.pull, []).append((row, route))
    pulls = [_pull(rows, references) for rows in by_pull.values()]
    return _carried(pulls, network, enclosures)


def _pull(rows: Sequence[tuple[ScheduleRow, Route]], references: References) -> _Pull:
    first, route = rows[0]
    for row, other in rows:
        if other.sameness != route.sameness:
            raise references.error(
                f"pull {row.pull!r} has another route on line {first.line}; "
                "rows of one pull go the same way",
                line=row.line,
            )
    lines = [row for row, _ in rows]
    return _Pull(
        name=first.pull,
        route=route,
        conductors=tuple(row.conductors for row in lines if row.conductors.count != 0),
        splices=frozenset(
            _splice(text, row, route, references) for row in lines for text in row.spliced_at
        ),
        is_spare=all(row.conductors.count == 0 for row in lines),
        system=_agreed(lines, "system", references) or "",
        voltage_v=_agreed(lines, "voltage_v", references),
        trade_size_in=_agreed(lines, "trade_size_in", references) or "",
    )


def _splice(text: str, row: ScheduleRow, route: Route, references: References) -> Key:
    box = references.box(text, line=row.line)
    if box not in {place for place, _ in route.passages}:
        message = f"pull {row.pull!r} is spliced at {text!r}, which is not on its route"
        raise references.error(message, line=row.line)
    return box


def _agreed(rows: Sequence[ScheduleRow], column: str, references: References) -> Any:  # noqa: ANN401
    """Return what the rows of a pull that fill in `column` say there, all the same."""
    given = [row for row in rows if getattr(row, column) not in ("", None)]
    for row in given:
        if getattr(row, column) != getattr(given[0], column):
            raise references.error(
                f"pull {row.pull!r} has another {column} on line {given[0].line}", line=row.line
            )
    return getattr(given[0], column) if given else None


def _carried(pulls: Sequence[_Pull], network: Network, enclosures: Sequence[Enclosure]) -> Carried:
    numbers = box_entries(network)
    by_box: dict[Key, list[BoxPull]] = {}
    by_run: dict[str, list[RunPull]] = {}
    by_entry: dict[int, set[str]] = {}
    for pull in pulls:
        for box, entries in pull.route.passages:
            places = tuple(numbers[box].index(entry) for entry in entries)
            by_box.setdefault(box, []).append(_box_pull(pull, box, places))
            for entry in entries:
                by_entry.setdefault(entry, set()).add(pull.name)
        for run in pull.route.runs:
            by_run.setdefault(run.name, []).append(_run_pull(pull))
    keys = [box.ref.key for box in enclosures]
    return Carried(
        box_pulls={key: tuple(by_box[key]) if key in by_box else None for key in keys},
        run_pulls={name: tuple(own) for name, own in by_run.items()},
        entry_pulls={entry: tuple(sorted(names)) for entry, names in by_entry.items()},
        pull_legs=tuple(
            PullLegs(
                pull=_run_pull(pull),
                legs=tuple(zip(pull.route.runs, pull.route.ways_in, strict=True)),
            )
            for pull in pulls
        ),
    )


def _box_pull(pull: _Pull, box: Key, places: tuple[int, ...]) -> BoxPull:
    return BoxPull(
        name=pull.name,
        entries=places,
        conductors=pull.conductors,
        spliced=box in pull.splices and len(places) > 1,
        is_spare=pull.is_spare,
        system=pull.system,
        voltage_v=pull.voltage_v,
    )


def _run_pull(pull: _Pull) -> RunPull:
    return RunPull(
        name=pull.name,
        conductors=pull.conductors,
        trade_size_in=pull.trade_size_in,
        system=pull.system,
        voltage_v=pull.voltage_v,
    )
