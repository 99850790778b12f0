"""Habits such that any two values of two axes meet in one of them, where they can."""

from __future__ import annotations

import csv
from itertools import combinations
from pathlib import Path
from random import Random

import numpy as np

from tests.builders.habits import AXES, Habit, contradictions, habit_of

MATRIX = Path(__file__).parents[1] / "habits" / "matrix.csv"
Row = tuple[int, ...]  # place of the value of each axis in `AXES`
_SEED, _POOL, _TRIES = 20260101, 6000, 400


def values_of(row: Row) -> dict[str, object]:
    """Name the values of a row."""
    return {axis: AXES[axis][place] for axis, place in zip(AXES, row, strict=True)}


def make_matrix() -> list[dict[str, object]]:
    """Pick rows from a pool of sound ones, always the one with most pairs not seen yet."""
    random = Random(_SEED)
    pool = [row for row in (_sound_row(random) for _ in range(_POOL)) if row is not None]
    numbers: dict[tuple[int, ...], int] = {}
    pairs = np.array(
        [
            [
                numbers.setdefault((a, b, row[a], row[b]), len(numbers))
                for a, b in combinations(range(len(row)), 2)
            ]
            for row in pool
        ]
    )
    left = np.ones(len(numbers), bool)
    picked = []
    while left.any():
        best = int(left[pairs].sum(axis=1).argmax())
        left[pairs[best]] = False
        picked.append(values_of(pool[best]))
    return picked


def _sound_row(random: Random) -> Row | None:
    """Draw a row at random and draw single axes again until it has no contradiction."""
    sizes = [len(values) for values in AXES.values()]
    row = [random.randrange(size) for size in sizes]
    best = len(contradictions(habit_of(values_of(tuple(row)))))
    for _ in range(_TRIES):
        if best == 0:
            return tuple(row)
        axis = random.randrange(len(row))
        trial = [*row]
        trial[axis] = random.randrange(sizes[axis])
        faults = len(contradictions(habit_of(values_of(tuple(trial)))))
        if faults <= best:
            row, best = trial, faults
    return None


def write_matrix(rows: list[dict[str, object]], path: Path = MATRIX) -> None:
    """Keep the rows as a table, so that a row has the same number for good."""
    with path.open("w", encoding="utf-8", newline="") as file:
        table = csv.DictWriter(file, ["habit", *AXES], lineterminator="\n")
        table.writeheader()
        for number, row in enumerate(rows, 1):
            table.writerow({"habit": f"H{number:03}", **row})


def read_matrix(path: Path = MATRIX) -> list[Habit]:
    """Habits of the table, in its order."""
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file, strict=True))
    return [
        habit_of(
            {axis: _typed(axis, text) for axis, text in row.items() if axis in AXES},
            row["habit"],
        )
        for row in rows
    ]


def _typed(axis: str, text: str) -> object:
    return next(value for value in AXES[axis] if str(value) == text)
