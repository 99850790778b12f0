"""What was measured, as tables that can stand in a page as they are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

Measured = dict[str, Any]


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
    yield from _others(measured)
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
    yield from _head("stage, s", *(f"{each['elements']:,}" for each in sizes))
    for name in names:
        times = [each["stages"].get(name, {"wall_s": 0.0})["wall_s"] for each in sizes]
        yield _row([name, *(f"{time_s:.2f}" for time_s in times)])


def _others(measured: Measured) -> Iterator[str]:
    yield from _head("measure", "measured")
    for which, told in (("check", "check"), ("yardstick", "open + write")):
        if measured["growth"][which] is not None:
            yield _row([f"growth of {told}: time ~ n^k", measured["growth"][which]])
    for name, value in measured["start"].items():
        yield _row([f"`modelcheck {name}`, s", _spread(value)])
    if each := measured.get("federation"):
        told = f"{each['models']} models, {each['elements']:,} elements"
        yield _row([f"{told}: 1 worker, s", _spread(each["one_worker"]["wall_s"])])
        yield _row([f"{told}: 2 workers, s", _spread(each["two_workers"]["wall_s"])])
        yield _row([f"{told}: times faster", _spread(each["faster"])])


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
                f"{3600 / max(cpu_s, each['check']['wall_s']['median']):,.0f}",
                f"{peak_mb / 1000:.1f}",
            ]
        )
