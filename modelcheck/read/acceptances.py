"""Accepted exceptions of SETTINGS.toml."""

from __future__ import annotations

from modelcheck.model.acceptance import Acceptance
from modelcheck.model.finding import BOX_CHECKS
from modelcheck.read.toml_table import TomlTable

_UNITS = ("mm", "in", "deg", "cm3", "in3")


def read_acceptances(tables: tuple[TomlTable, ...]) -> tuple[Acceptance, ...]:
    """Who accepted which failing checks; each table is one of ``[[accepted]]``.

    Raises
    ------
    InputFileError
        If a key is missing, unknown or can't be used, with its line.
    """
    return tuple(_acceptance(table) for table in tables)


def _acceptance(table: TomlTable) -> Acceptance:
    if table.has("finding") == (table.has("box") or table.has("check")):
        raise table.error("must give either a finding, or a box and a check")
    named = ("finding",) if table.has("finding") else ("box", "check")
    for key in (*named, "by", "on", "why"):
        if not table.has(key):
            raise table.error(f"must give its {key}")
    on, until = table.date("on"), table.date("until")
    if until and until < on:
        raise table.error(f"is {until}, before it was accepted on {on}", key="until")
    required, provided = table.number("required"), table.number("provided")
    if (required is None) != (provided is None):
        raise table.error("must give both required and provided, or neither")
    acceptance = Acceptance(
        finding=table.text("finding"),
        box=table.text("box"),
        check=table.choice("check", BOX_CHECKS) or "",
        by=table.text("by"),
        on=on,
        why=table.text("why"),
        until=until,
        required=required,
        provided=provided,
        unit=table.choice("unit", _UNITS) or "",
    )
    table.done()
    return acceptance
