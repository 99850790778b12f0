"""Holds the tables that the program wrote against the truth."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from itertools import permutations, product
from pathlib import Path

import numpy as np

from tests.builders.expect import Expected, ExpectedBox, ExpectedEntry, ExpectedRun
from tests.builders.space import tup

Row = dict[str, str]
_RUN_CHECKS = ("bends-between-pull-points", "run-length", "conduit-fill")


@dataclass(frozen=True, slots=True, kw_only=True)
class Slack:
    """How far a figure may be off."""

    length_mm: float = 1.0
    angle_deg: float = 0.5


EXACT, MESHED = Slack(), Slack(length_mm=2.0, angle_deg=1.0)


def tables(folder: Path) -> dict[str, list[Row]]:
    """Rows of every table in a folder of results, by file name without its ending."""
    found = {}
    for path in sorted(folder.glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            found[path.stem] = list(csv.DictReader(file, strict=True))
    return found


def differences(folder: Path, expected: Expected, slack: Slack) -> list[str]:
    """Name every row that is missing, wrong or too many, one sentence each."""
    rows = tables(folder)
    names = {guid: truth_id for truth_id, guid in expected.guids.items()}
    return [
        *_runs(rows["runs"], expected.runs, slack, names),
        *_boxes(rows, expected, slack),
        *_loose(rows["findings"], expected, names),
    ]


def _runs(
    rows: list[Row], wanted: tuple[ExpectedRun, ...], slack: Slack, names: dict[str, str]
) -> list[str]:
    found = []
    by_elements = {tuple(row["element_guids"].split(";")): row for row in rows}
    for run in wanted:
        row = by_elements.pop(run.element_guids, None)
        if row is None:
            found.append(f"run {run.id}: no row with its elements in order")
            continue
        found += [f"run {run.id}: {fault}" for fault in _run_faults(row, run, slack)]
    for elements in by_elements:
        spelled = ";".join(names.get(guid, guid) for guid in elements)
        found.append(f"runs.csv: no such run {spelled}")
    return found


def _run_faults(row: Row, run: ExpectedRun, slack: Slack) -> list[str]:
    least, most = run.length_mm
    length, angle = float(row["length_mm"]), float(row["bend_total_deg"])
    wanted = {
        "start_guid": run.start_guid,
        "end_guid": run.end_guid,
        "trade_size_in": run.trade_size_in,
        "metric_designator": str(run.metric_designator),
        "bend_count": str(run.bend_count),
    }
    if run.raceway_type is not None:
        wanted["raceway_type"] = run.raceway_type
    faults = [
        f"{column} is {row[column]!r}, not {value!r}"
        for column, value in wanted.items()
        if row[column] != value
    ]
    if not least - slack.length_mm <= length <= most + slack.length_mm:
        faults.append(f"length_mm is {length}, not {least:.1f} to {most:.1f}")
    if abs(angle - run.bend_total_deg) > slack.angle_deg * max(1, run.bend_count):
        faults.append(f"bend_total_deg is {angle}, not {run.bend_total_deg}")
    return faults


def _boxes(rows: dict[str, list[Row]], expected: Expected, slack: Slack) -> list[str]:
    found = []
    by_guid = {row["box_guid"]: row for row in rows["boxes"]}
    for box in expected.boxes:
        row = by_guid.pop(box.box_guid, None)
        if row is None:
            found.append(f"box {box.id}: no row")
            continue
        entries = [entry for entry in rows["entries"] if entry["box_guid"] == box.box_guid]
        wanted = [entry for entry in expected.entries if entry.box_guid == box.box_guid]
        turns = [np.eye(3)] if expected.axes_known else _TURNS
        tries = [_box_faults((row, entries), (box, wanted), turn, slack) for turn in turns]
        found += [f"box {box.id}: {fault}" for fault in min(tries, key=len)]
    return found + [f"boxes.csv: no such box {guid}" for guid in by_guid]


def _all_turns() -> list[np.ndarray]:
    """All 24 ways to name the axes of a block, right-handed."""
    signed = (
        np.array([[sign * (k == column) for k in range(3)] for column, sign in zip(p, s)])  # noqa: B905
        for p in permutations(range(3))
        for s in product((1, -1), repeat=3)
    )
    return [turn for turn in signed if np.linalg.det(turn) > 0]


_TURNS = _all_turns()


def wall_axis(wall: str) -> np.ndarray:
    """Unit vector out through a wall."""
    return np.eye(3)["xyz".index(wall[1])] * (1 if wall[0] == "+" else -1)


def _turned_wall(wall: str, turn: np.ndarray) -> str:
    out = turn @ wall_axis(wall)
    axis = int(np.argmax(np.abs(out)))
    return "+-"[int(out[axis] < 0)] + "xyz"[axis]


def _turned_at(entry: ExpectedEntry, turn: np.ndarray) -> tuple[float, float]:
    axis = "xyz".index(entry.wall[1])
    at = turn @ np.insert(np.array([entry.u_mm, entry.v_mm]), axis, 0.0)
    gone = int(np.argmax(np.abs(turn @ wall_axis(entry.wall))))
    u, v = np.delete(at, gone)
    return float(u), float(v)


def _box_faults(
    have: tuple[Row, list[Row]],
    want: tuple[ExpectedBox, list[ExpectedEntry]],
    turn: np.ndarray,
    slack: Slack,
) -> list[str]:
    """Hold a box and its entries against the truth whose axes are renamed by `turn`."""
    (row, entries), (box, wanted) = have, want
    faults = []
    sides = tup(np.abs(turn @ np.array(box.inside_mm)))
    measured = [float(row[f"inside_{axis}_mm"] or "nan") for axis in "xyz"]
    if not all(abs(a - b) <= slack.length_mm for a, b in zip(measured, sides, strict=True)):
        faults.append(f"inside is {measured}, not {sides}")
    cover = {_turned_wall(side, turn) for side in box.cover} or {"unknown"}
    if set(row["cover"].split(";")) != cover:
        faults.append(f"cover is {row['cover']}, not {';'.join(sorted(cover))}")
    left = list(entries)
    for entry in wanted:
        match = next((have for have in left if _is_entry(have, entry, turn, slack)), None)
        if match is None:
            faults.append(f"no entry of {entry.run} at {entry.wall} {entry.u_mm}, {entry.v_mm}")
        else:
            left.remove(match)
            if match["trade_size_in"] != entry.trade_size_in:
                faults.append(f"entry of {entry.run} has size {match['trade_size_in']!r}")
    return faults + [
        f"no such entry {have['wall']} {have['u_mm']}, {have['v_mm']}" for have in left
    ]


def _is_entry(row: Row, entry: ExpectedEntry, turn: np.ndarray, slack: Slack) -> bool:
    u, v = _turned_at(entry, turn)
    near = abs(float(row["u_mm"]) - u) <= slack.length_mm
    near = near and abs(float(row["v_mm"]) - v) <= slack.length_mm
    wall = _turned_wall(entry.wall, turn)
    return near and row["wall"] == wall and row["conduit_guid"] == entry.conduit_guid


def _loose(rows: list[Row], expected: Expected, names: dict[str, str]) -> list[str]:
    have = [
        (row["outcome"], tuple(sorted(row["element_guids"].split(";"))))
        for row in rows
        if row["check"] == "run-continuity"
    ]
    found = []
    for wanted in expected.loose:
        row = (wanted.outcome, wanted.element_guids)
        if row in have:
            have.remove(row)
        else:
            spelled = [names[guid] for guid in wanted.element_guids]
            found.append(f"run-continuity: no {wanted.outcome} row for {spelled}")
    for outcome, guids in have:
        spelled = [names.get(guid, guid) for guid in guids]
        found.append(f"run-continuity: no such end, {outcome} {spelled}")
    return found


def verdicts(folder: Path, expected: Expected) -> set[tuple[str, ...]]:
    """What each row comes to, in names of the truth: check, subject, runs, outcome, required.

    Continuity is left out, `differences` holds it against the truth; and so is the radius of
    bends, which not every body shows.
    """
    names = {guid: truth_id for truth_id, guid in expected.guids.items()}
    run_of = {";".join(run.element_guids): run.id for run in expected.runs}
    found = set()
    for row in tables(folder)["findings"]:
        if row["check"] in ("run-continuity", "bend-radius"):
            continue
        subject, runs = names[row["subject_guid"]], run_of.get(row["element_guids"], "")
        if row["check"] not in _RUN_CHECKS:
            box, conduits = row["subject_guid"], row["element_guids"].split(";")
            own = [entry for entry in expected.entries if entry.box_guid == box]
            runs = ";".join(sorted({e.run for e in own if e.conduit_guid in conduits}))
        else:
            subject = runs
        found.add((row["check"], subject, runs, row["outcome"], row["required"]))
    return found
