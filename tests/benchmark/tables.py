"""What was measured, as tables that can stand in a page as they are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

Measured = dict[str, Any]
_MILLION = 1_000_000


def lines_of(measured: Measured) -> Iterator[str]:
    """All tables, line by line."""
    on = measured["machine"]
    yield (
        f"{on['processor']}, {on['cores']} cores, {on['memory_gib']} GiB, {on['system']}, Python "
        f"{on['python']}, ifcopenshell {on['ifcopenshell']}; load before: {on['load_before']}; "
        f"median (least to most) of {measured['repeats']}"
    )
    yield ""
    yield from _against_yardstick(measured["sizes"])
    yield ""
    yield from _stages(measured["sizes"])
    yield ""
    yield from _targets(measured)
    yield ""
    yield from _sizing(measured["sizes"])


def _row(cells: Sequence[object]) -> str:
    return f"| {' | '.join(map(str, cells))} |"


def _head(*names: str) -> Iterator[str]:
    yield _row(names)
    yield _row(["---"] * len(names))


def _spread(value: dict[str, float], digits: int = 2) -> str:
    median, least, most = (f"{value[key]:.{digits}f}" for key in ("median", "least", "most"))
    return f"{median} ({least} to {most})"


def _against_yardstick(sizes: Sequence[Measured]) -> Iterator[str]:
    yield from _head(
        "elements", "MB", "open + write, s", "check, s", "check / open + write",
        "processor time", "memory, MB", "memory / open + write",
    )  # fmt: skip
    for each in sizes:
        yield _row(
            [
                f"{each['elements']:,}",
                f"{each['bytes'] / 1e6:.0f}",
                _spread(each["yardstick"]["wall_s"]),
                _spread(each["check"]["wall_s"]),
                _spread(each["ratio"]["wall"]),
                _spread(each["ratio"]["cpu"]),
                _spread(each["check"]["peak_mb"], 0),
                _spread(each["ratio"]["peak"]),
            ]
        )


def _stages(sizes: Sequence[Measured]) -> Iterator[str]:
    names = list(dict.fromkeys(name for each in sizes for name in each["stages"]))
    yield from _head("stage: s, and of the processor", *(f"{each['elements']:,}" for each in sizes))
    for name in names:
        times = [each["stages"].get(name) for each in sizes]
        yield _row([name, *(f"{t['wall_s']:.2f}, {t['cpu_s']:.2f}" if t else "" for t in times)])


def _targets(measured: Measured) -> Iterator[str]:
    """What is to be reached, and what was."""
    yield from _head("measure", "to reach", "measured")
    for each in measured["sizes"]:
        of = f"of {each['elements']:,} elements, open and write = 1"
        ratio = each["ratio"]
        yield _row([f"check {of}", "at most 1.0, then 0.4", _spread(ratio["wall"])])
        yield _row([f"its memory {of}", "at most 1.2", _spread(ratio["peak"])])
        if each["elements"] >= _MILLION:
            yield _row([f"its memory {of}, MB", "8 GiB", _spread(each["check"]["peak_mb"], 0)])
    for which, told, most in (("check", "check", "1.05"), ("yardstick", "open and write", "")):
        if measured["growth"][which] is not None:
            yield _row([f"growth of {told}: k of n^k", most, measured["growth"][which]])
    for name, most in (("--help", 0.2), ("rules", 0.5)):
        yield _row([f"`modelcheck {name}`, s", f"under {most}", _spread(measured["start"][name])])
    if each := measured.get("federation"):
        told = f"{each['models']} models, {each['elements']:,} elements"
        for which, name in (("one_worker", "1 worker"), ("two_workers", "2 workers")):
            yield _row([f"{told}, {name}, s", "", _spread(each[which]["wall_s"])])
        yield _row([f"{told}: times as fast", "at least 1.7", _spread(each["faster"])])


def _sizing(sizes: Sequence[Measured]) -> Iterator[str]:
    """For the choice of machines: what one core does in an hour."""
    yield from _head(
        "elements a model", "MB a model", "models an hour a core", "memory a worker, GB"
    )
    for each in sizes:
        cpu_s, peak_mb = each["check"]["cpu_s"]["median"], each["check"]["peak_mb"]["most"]
        yield _row(
            [
                f"{each['elements']:,}",
                f"{each['bytes'] / 1e6:.0f}",
                f"{3600 / cpu_s:,.0f}",
                f"{peak_mb / 1000:.1f}",
            ]
        )
