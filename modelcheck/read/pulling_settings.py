"""Table ``[pulling]`` of SETTINGS.toml: with it advice on pulling is given."""

from __future__ import annotations

from modelcheck.model.settings import Pulling
from modelcheck.read.toml_table import TomlTable
from modelcheck.rules.conductors import conductor_size
from modelcheck.units import (
    KG_PER_POUND,
    M_PER_FOOT,
    N_PER_M_PER_POUND_FORCE_PER_FOOT,
    N_PER_POUND_FORCE,
)

ATTACHMENTS = ("pulling-eye", "basket-grip")


def read_pulling(table: TomlTable) -> Pulling:
    """Read how conductors are pulled; what the table doesn't name keeps its default.

    Raises
    ------
    InputFileError
        If a key or value of it can't be used.
    """
    pulling = Pulling(
        friction=table.positive("friction"),
        weights_kg_per_m=_weights(table),
        feed_n=_of_two(table, "feed_n", "feed_lbf", N_PER_POUND_FORCE) or 0.0,
        attachment=table.choice("attachment", ATTACHMENTS) or ATTACHMENTS[0],
        sidewall_n_per_m=_of_two(
            table, "sidewall_n_per_m", "sidewall_lbf_per_ft", N_PER_M_PER_POUND_FORCE_PER_FOOT
        ),
    )
    table.done()
    return pulling


def _of_two(table: TomlTable, key: str, other: str, factor: float) -> float | None:
    """Figure at `key`, or at `other` in another unit."""
    one, two = table.positive(key), table.positive(other)
    if one is not None and two is not None:
        raise table.error(f"is also given as {key}, give one of the two", key=other)
    return one if two is None else two * factor


def _weights(table: TomlTable) -> tuple[tuple[str, float], ...]:
    """Weight of each conductor by its size, or by size and insulation."""
    units = {"weights_kg_per_m": 1.0, "weights_lb_per_ft": KG_PER_POUND / M_PER_FOOT}
    weights: dict[str, float] = {}
    for key, factor in units.items():
        named = table.table(key)
        for name in named:
            size, insulation = _split(name)
            if conductor_size(size) is None:
                raise named.error("is no conductor size, such as 250 kcmil", key=name)
            full = f"{size} {insulation}".strip()
            if full in weights:
                raise named.error("is also given in the other unit", key=name)
            weights[full] = (named.positive(name) or 0.0) * factor
    return tuple(weights.items())


def _split(name: str) -> tuple[str, str]:
    """Split ``250 kcmil RW90`` into size and insulation."""
    words = name.split()
    for count in (2, 1):
        size = conductor_size(" ".join(words[:count]))
        if size is not None:
            return size.size, " ".join(words[count:]).upper()
    return name, ""
